"""What a situation states of allowance, sideways share and pre-tension is no less than policy assumes."""

from __future__ import annotations

from fractions import Fraction

from cache_check.checks.facts import Findings, LoadFacts
from cache_check.model.rule import Rule


def load(facts: LoadFacts, rule: Rule) -> Findings:
    """One finding for each figure that is stated below the policy's: it is used, and it is told."""
    one, value = facts.result.situation, facts.muster.book.value
    figures = (
        ("dynamic allowance", one.dynamic_allowance, Fraction(value(rule.id, "allowance"))),
        ("sideways share", one.sideways_share, Fraction(value(rule.id, "sideways"))),
    )
    for what, stated, policy in figures:
        if stated is not None and stated < policy:
            yield facts.finding(
                rule, what=f"{what} of {float(stated):g} stated, policy says {float(policy):g}",
                effect="asked below policy: every force here is less than policy would take",
            )  # fmt: skip
