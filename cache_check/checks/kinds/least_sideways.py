"""A base is held sideways at least a little, however steep its strut."""

from __future__ import annotations

from collections.abc import Iterator

from cache_check.checks import say
from cache_check.checks.facts import LoadFacts
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule


def load(facts: LoadFacts, rule: Rule) -> Iterator[Finding]:
    """A word when the least force governs what the straps must hold."""
    forces, share = facts.result.forces, facts.muster.book.value(rule.id, "share")
    if forces is not None and forces.governs_thrust == "least sideways":
        yield say.finding(
            facts, rule,
            what=f"statics puts {say.force(facts, forces.thrust, 'up')} along the ground; "
            f"{float(share):.0%} of the vertical, {say.force(facts, forces.thrust_checked, 'up')}, is taken",
            effect="the straps are counted for that",
        )  # fmt: skip
