"""Which set reaches this contact at this angle, how long is it then, and how far out is its base?"""

from __future__ import annotations

from collections.abc import Iterator

from cache_check.api.exercises.draw import Draw
from cache_check.api.exercises.ground import Ground, card
from cache_check.loads.geometry import length_at_angle, offset_at_angle
from cache_check.model.assembly import Assembly
from cache_check.model.exercise import Card, Level
from cache_check.units import show

LEVEL: Level = "first"
ANGLES = (45, 50, 55, 60)


def cards(ground: Ground, draw: Draw) -> Iterator[Card]:
    """One build that reaches, and builds whose reach ends just short of the length or begins just beyond it."""
    built = [one for one in ground.assemblies if len(one.spans) == 1]
    heights = [at for low, high in ground.reached.reach.union for at in ground.lengths([(low * 7 // 10, high)])]
    while heights:
        height = heights.pop(draw.below(len(heights)))
        angle = draw.one(ANGLES)
        length = round(length_at_angle(height, angle))
        reaching = [one for one in built if one.closed <= length <= one.open]
        missing = [one for one in built if not one.closed <= length <= one.open]
        if not reaching or not missing:
            continue
        missing.sort(key=lambda one: min(abs(one.closed - length), abs(one.open - length)))
        drawn = card(
            draw, "which reaches", LEVEL,
            f"The contact is {ground.length(height)} above the base's seat, the strut is to stand at {angle} degrees "
            "from the horizontal. Which of these reaches?",
            _build(ground, draw.one(reaching)), [_build(ground, one) for one in missing[:8]],
            f"The strut must be {show(length, 'length', ground.cache.units, 'nearest')} long (height over the sine), "
            f"its base {show(round(offset_at_angle(height, angle)), 'length', ground.cache.units, 'nearest')} out "
            "(height over the tangent).",
            "step: buildable",
            f"cache-check load CACHE --contact-height '{ground.length(height)}' --angle {angle}",
        )  # fmt: skip
        if drawn is not None:
            yield drawn


def _build(ground: Ground, one: Assembly) -> str:
    units = ground.cache.units
    low = show(one.closed, "length", units, "up", unit=False)
    return f"{ground.stack(one.parts)} ({low} to {show(one.open, 'length', units, 'down')})"
