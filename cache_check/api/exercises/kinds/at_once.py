"""How many more can be restrained at a length once some struts are set up?"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from cache_check.api.exercises.draw import Draw
from cache_check.api.exercises.ground import Ground, card
from cache_check.model.exercise import Card, Level

LEVEL: Level = "usual"


def cards(ground: Ground, draw: Draw) -> Iterator[Card]:
    """One or two struts of the proven most are set up; what can still be restrained is asked of what is left."""
    lengths = ground.asked
    while lengths:
        at = lengths.pop(draw.below(len(lengths)))
        most = ground.at(at)
        if not (most.count("restrained") or 0) > 1:
            continue
        assembly, number = most.best.assemblies[0]
        up = 1 + draw.below(min(number, 2))
        taken = Counter({part: up * n for part, n in Counter(assembly.parts).items()})
        taken.update({part: up * n for part, n in assembly.pins})
        for part, n in most.best.ties:
            taken[part] += n * up // most.best.count
        left = ground.at(at, tuple(taken.items()))
        more = left.count("restrained") or 0
        all_of_them = left.count("assembled at once") or 0
        yielded = card(
            draw, "at once", LEVEL,
            f"{up} x {ground.stack(assembly.parts)} are set up, each restrained. How many more can be restrained "
            f"at {ground.length(at)} at the same time?",
            str(more), [str(n) for n in (all_of_them, most.best.count, more + 1, max(0, more - 1), more + 2)],
            f"Their pieces are gone ({_pieces(ground, taken)}); what is left makes {all_of_them} at once, "
            f"{more} of them restrained.",
            "step: restrained",
            f"cache-check reach CACHE --at '{ground.length(at)}' "
            + " ".join(f"--without {ground.names[part]}={n}" for part, n in taken.items()),
        )  # fmt: skip
        if yielded is not None:
            yield yielded


def _pieces(ground: Ground, taken: Counter[str]) -> str:
    return ", ".join(f"{n} x {ground.names[part]}" for part, n in taken.items())
