"""The ground pushes back at the base and at the pivot."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from cache_check.checks import say
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule

if TYPE_CHECKING:
    from cache_check.checks.load import LoadFacts


def load(facts: LoadFacts, rule: Rule) -> Iterator[Finding]:
    """One finding when straps, strut and vehicle find no balance with both on the ground."""
    from cache_check.planning.loading.loading import NO_BALANCE

    forces, refused = facts.result.forces, facts.result.refused
    if refused.startswith(NO_BALANCE):
        yield say.finding(facts, rule, what=refused, effect="no tension is given; do not build it so")
    elif forces is not None and forces.base_reaction <= 0:
        yield say.finding(
            facts, rule, what="the rising straps lift the base off the ground", effect="there is no such balance"
        )
    elif forces is not None and forces.pivot_stays_down is False:
        yield say.finding(
            facts, rule, what="the strut would lift the vehicle off its pivot", effect="there is no such balance"
        )
