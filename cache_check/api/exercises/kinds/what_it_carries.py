"""What does this strut carry at this length?"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cache_check.api.exercises.draw import Draw
from cache_check.api.exercises.ground import Ground, card
from cache_check.model.assembly import Assembly
from cache_check.model.exercise import Card, Level
from cache_check.units import show

LEVEL: Level = "usual"


def cards(ground: Ground, draw: Draw) -> Iterator[Card]:
    """The rated load along one strut; wrong are the rows beside, another column, and the factor taken twice or not."""
    muster = ground.muster
    factor = muster.factor()
    built = list(ground.assemblies)
    while built:
        one = built.pop(draw.below(len(built)))
        lengths = ground.lengths(one.spans)
        if not lengths:
            continue
        at = draw.one(lengths)
        rated = muster.capacity.rated(one, at, at, factor)
        if rated is None:
            continue
        drawn = card(
            draw, "what it carries", LEVEL,
            f"{ground.stack(one.parts)}, set to {ground.length(at)}. What is it rated for along the strut at "
            f"{float(factor.k):g}:1, by its chart?",
            _load(ground, rated), [_load(ground, load) for load in _near(ground, one, at, rated)],
            f"The row at or above {ground.length(at)}, the column for {one.extensions} extensions, at "
            f"{float(factor.k):g}:1; never between rows, never the row below.",
            "CAP-1", f"cache-check reach CACHE --at '{ground.length(at)}' --load '{_load(ground, rated)}'",
        )  # fmt: skip
        if drawn is not None:
            yield drawn


def _near(ground: Ground, one: Assembly, at: int, rated: Fraction) -> list[Fraction]:
    """What is read where the wrong row or column is taken, or the factor is taken twice or not at all."""
    factor = ground.muster.factor()
    elsewhere = [ground.muster.capacity.rated(one, other, other, factor) for other in (one.closed, one.open)]
    alike = [
        ground.muster.capacity.rated(other, at, at, factor)
        for other in ground.assemblies
        if other.body == one.body and other.extensions != one.extensions
    ]
    return [*(load for load in (*elsewhere, *alike) if load), rated / factor.k, rated * factor.k]


def _load(ground: Ground, newtons: Fraction) -> str:
    return show(newtons, "force", ground.cache.units, "down")
