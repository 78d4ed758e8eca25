"""What hurts most when one piece of it is missing?"""

from __future__ import annotations

from collections.abc import Iterator

from cache_check.api.exercises.draw import Draw
from cache_check.api.exercises.ground import Ground, card
from cache_check.model.exercise import Card, Level

LEVEL: Level = "hard"


def cards(ground: Ground, draw: Draw) -> Iterator[Card]:
    """At a length where the loss of one kind of part alone costs a strut, which; parts of the same struts do not."""
    lengths = ground.asked
    while lengths:
        at = lengths.pop(draw.below(len(lengths)))
        most = ground.at(at)
        if len(most.lost) != 1:
            continue
        (part,) = most.lost
        used = {one for assembly, _ in most.best.assemblies for one in assembly.parts} | {
            one for one, _ in most.best.ties
        }
        drawn = card(
            draw, "what hurts most", LEVEL,
            f"At {ground.length(at)} the rig has {most.best.count} struts {most.missing_step} at once. One piece of "
            "which part, if it is missing, costs a strut?",
            ground.names[part], [ground.names[one] for one in sorted(used) if one != part],
            f"Without one {ground.names[part]} {most.count('one missing')} are left; any other single piece may be "
            "missing and none is lost.",
            "step: one missing", f"cache-check reach CACHE --at '{ground.length(at)}'",
        )  # fmt: skip
        if drawn is not None:
            yield drawn
