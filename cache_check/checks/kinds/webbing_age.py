"""Straps over age, and straps of unknown age where that takes them out of use."""

from __future__ import annotations

from collections.abc import Iterator

from cache_check.checks.builds import out_of_use
from cache_check.checks.facts import Facts
from cache_check.checks.inspection import left, of_piece
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule

LOOKED_AT = "usable"


def check(facts: Facts, rule: Rule) -> Iterator[Finding]:
    """A finding for each strap with a serial that its age takes out of use."""
    for line in facts.muster.cache.stock:
        for item in line.items:
            why = out_of_use(facts, item)
            if why == "over age":
                assert item.acquired is not None
                days = (facts.muster.on - item.acquired).days
                most = int(facts.muster.book.value(rule.id, "most", facts.family_of(item.part)))
                yield of_piece(
                    facts, rule, item, item.where or line.where,
                    f"acquired {item.acquired.isoformat()}, {days:,} days ago; {most:,} at most",
                    f"not usable; {left(facts, item.part)}", figures=(("age_days", days), ("most_days", most)),
                )  # fmt: skip
            elif why == "age unknown":
                yield of_piece(
                    facts, rule, item, item.where or line.where, why, f"not usable; {left(facts, item.part)}"
                )
