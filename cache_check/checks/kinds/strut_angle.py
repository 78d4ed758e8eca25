"""The strut stands neither too shallow nor too steep."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from cache_check.checks import say
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule

if TYPE_CHECKING:
    from cache_check.checks.load import LoadFacts


def load(facts: LoadFacts, rule: Rule) -> Iterator[Finding]:
    """One finding when the angle lies outside the band."""
    angle = facts.result.geometry.angle_deg
    least, most = facts.muster.book.value(rule.id, "min"), facts.muster.book.value(rule.id, "max")
    said = f"the strut stands at {float(angle):.4g} deg from the horizontal"
    if angle < least:
        yield say.finding(
            facts, rule, what=f"{said}, shallower than {float(least):g} deg",
            effect="it thrusts its base out hard, and straps and ground must hold that",
        )  # fmt: skip
    elif angle > most:
        yield say.finding(
            facts, rule, what=f"{said}, steeper than {float(most):g} deg",
            effect="it holds little against tipping, however much it carries upright",
        )  # fmt: skip
