"""What stops the next strut?"""

from __future__ import annotations

from collections.abc import Iterator

from cache_check.api.exercises.draw import Draw
from cache_check.api.exercises.ground import Ground, card
from cache_check.model.exercise import Card, Level

LEVEL: Level = "hard"


def cards(ground: Ground, draw: Draw) -> Iterator[Card]:
    """At a length where some can be restrained, the one part of which one more allows the next; others do not."""
    from cache_check.api.reach import reach

    lengths = ground.asked
    while lengths:
        at = lengths.pop(draw.below(len(lengths)))
        most = reach(ground.cache, ground.book, suppose=ground.suppose, at=at).at
        if most is None or not most.best.count or len(most.binding.singles) != 1:
            continue
        (part,) = most.binding.singles
        used = {one for assembly, _ in most.best.assemblies for one in assembly.parts}
        used |= {one for one, _ in most.best.ties} | {pin for built, _ in most.best.assemblies for pin, _ in built.pins}
        drawn = card(
            draw, "what stops the next", LEVEL,
            f"{most.best.count} struts can be restrained at {ground.length(at)} at the same time. One more of which "
            "part would allow the next?",
            ground.names[part], [ground.names[one] for one in sorted(used) if one != part],
            f"With one more {ground.names[part]} there are {most.best.count + 1}; with one more of any other single "
            "part there are not.",
            "step: restrained", f"cache-check reach CACHE --at '{ground.length(at)}'",
        )  # fmt: skip
        if drawn is not None:
            yield drawn
