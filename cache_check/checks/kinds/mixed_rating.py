"""Struts of more than one family, which nobody rated."""

from __future__ import annotations

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings
from cache_check.model.rule import Rule


def check(facts: Facts, rule: Rule) -> Findings:
    """A finding for each mix of families that the usable parts can build and the rule leaves unrated."""
    book = facts.muster.book
    mixes = {block.shape.families for block in facts.muster.joined.blocks if len(block.shape.families) > 1}
    for families in sorted(sorted(mix) for mix in mixes):
        if book.is_on(rule.id, families) and not book.value(rule.id, "rated", families):
            yield facts.finding(
                rule, what=f"builds that mix families {say.listed(families)} can be made; they are unrated",
                effect="they count as assembled at once and restrained, never as rated",
            )  # fmt: skip
