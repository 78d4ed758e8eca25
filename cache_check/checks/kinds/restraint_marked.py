"""Attachment points and hardware carry a limit."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from cache_check.checks import say
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule

if TYPE_CHECKING:
    from cache_check.checks.load import LoadFacts


def load(facts: LoadFacts, rule: Rule) -> Iterator[Finding]:
    """One finding for each link of the best assembly's restraint whose limit is not known."""
    best = facts.best
    counts = facts.muster.book.value(rule.id, "unknown_counts")
    for link in best.links if best is not None else ():
        if link.kind in ("point", "hardware") and link.rated is None:
            yield say.finding(
                facts, rule, what=f"{link.link}: no limit on the book"
                + (f", {say.force(facts, link.demand, 'up')} on each" if link.demand is not None else ""),
                effect="what it holds is unknown and no part of any margin here" if counts else "it holds nothing here",
            )  # fmt: skip
