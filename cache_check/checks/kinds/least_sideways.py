"""A base is held sideways at least a little, however steep its strut."""

from __future__ import annotations

from cache_check.checks.facts import Findings, LoadFacts
from cache_check.model.rule import Rule


def load(facts: LoadFacts, rule: Rule) -> Findings:
    """A word when the least force governs what the straps must hold."""
    forces, share = facts.result.forces, facts.value(rule, "share")
    if forces is not None and forces.governs_thrust == "least sideways":
        yield facts.finding(
            rule,
            what=f"statics puts {facts.force(forces.thrust, 'up')} along the ground; "
            f"{float(share):.0%} of the vertical, {facts.force(forces.thrust_checked, 'up')}, is taken",
            effect="the straps are counted for that",
        )  # fmt: skip
