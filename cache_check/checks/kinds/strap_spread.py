"""Straps lie on both sides of the strut, none too wide."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from cache_check.checks import say
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule

if TYPE_CHECKING:
    from cache_check.checks.load import LoadFacts


def load(facts: LoadFacts, rule: Rule) -> Iterator[Finding]:
    """One finding when the straps are refused for how they spread."""
    from cache_check.planning.loading.loading import NO_BALANCE

    refused = facts.result.refused
    if not refused or refused.startswith(NO_BALANCE):
        return
    most = facts.muster.book.value(rule.id, "max")
    yield say.finding(
        facts, rule, what=refused, effect="no tension is given, and nothing here is counted as restrained or rated; "
        f"the widest half-angle is {float(most):g} deg",
    )  # fmt: skip
