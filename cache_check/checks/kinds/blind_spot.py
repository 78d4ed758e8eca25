"""Lengths inside the reach that no build covers."""

from __future__ import annotations

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings
from cache_check.model.rule import Rule

_FEW = 4
"""More blind spots than this are counted and only the widest are named; reach shows them all."""


def check(facts: Facts, rule: Rule) -> Findings:
    """One finding for all blind spots together, the widest first."""
    spots = sorted(facts.reach.blind_spots, key=lambda spot: (spot[0] - spot[1], spot[0]))
    if spots:
        named = [f"{facts.length(low, 'down')} to {facts.length(high, 'up')}" for low, high in sorted(spots[:_FEW])]
        named += [f"{len(spots) - _FEW} more"] if len(spots) > _FEW else []
        widest = spots[0]
        yield facts.finding(
            rule,
            what=f"{say.several(len(spots), 'blind spot')} inside the reach: {say.listed(named)}",
            effect="no strut can be set to these lengths; both ends of each are reached",
            figures=(("spots_count", len(spots)), ("widest_nm", widest[1] - widest[0])),
        )  # fmt: skip
