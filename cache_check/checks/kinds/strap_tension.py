"""The straps or chains of a base are rated for the thrust."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from cache_check.checks import say
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule

if TYPE_CHECKING:
    from cache_check.checks.load import LoadFacts


def load(facts: LoadFacts, rule: Rule) -> Iterator[Finding]:
    """One finding when none of those allowed holds it, and one for each whose limit is not known."""
    result = facts.result
    if result.forces is not None and result.ties and all(way.per_base is None for way in result.ties):
        thrust = say.force(facts, result.forces.thrust_checked, "up")
        yield say.finding(
            facts, rule, what=f"no strap or chain here holds a thrust of {thrust} with ten or fewer to a base",
            effect="nothing is counted as restrained or rated here",
        )  # fmt: skip
    for way in result.ties:
        if way.rated is None and way.usable:
            yield say.finding(
                facts, rule, what=f"{say.pieces(facts, way.part, way.usable)}: {way.rated_by}",
                effect="it holds no base here", part=way.part,
            )  # fmt: skip
