"""The ground takes what comes down on it, on the base alone or on the pad given."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from cache_check.checks import say
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule
from cache_check.units import show

if TYPE_CHECKING:
    from cache_check.checks.load import LoadFacts


def load(facts: LoadFacts, rule: Rule) -> Iterator[Finding]:
    """One finding when the ground is known not to suffice, or what stands on it is not known."""
    ground = facts.result.ground
    if ground is None or ground.soil is None or ground.pad_side is None:
        return
    on = "the pad given" if ground.on == "pad" else f"{say.name(facts, ground.on)} alone"
    units = facts.muster.cache.units
    side = say.length(facts, ground.pad_side, "up")
    if ground.pressure is None:
        yield say.finding(
            facts, rule, what=f"what {on} covers on the ground is not on the book",
            effect=f"{say.force(facts, ground.bearing, 'up')} take a stiff pad of at least {side} square",
        )  # fmt: skip
    elif ground.pressure > ground.soil:
        pressed = show(ground.pressure, "pressure", units, "up")
        yield say.finding(
            facts, rule,
            what=f"{on} presses {pressed} on ground of {show(ground.soil, 'pressure', units, 'down')}",
            effect=f"it sinks; {say.force(facts, ground.bearing, 'up')} take a stiff pad of at least {side} square",
            figures=(("pad_side_nm", ground.pad_side),),
        )  # fmt: skip
