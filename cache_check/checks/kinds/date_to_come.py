"""Books dated after today, and pieces of which something is said to have been done on a day to come."""

from __future__ import annotations

from collections.abc import Iterator

from cache_check.checks import pieces, say
from cache_check.checks.facts import Facts
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule


def check(facts: Facts, rule: Rule) -> Iterator[Finding]:
    """A finding for each book of a day to come, and for the pieces with such a day."""
    for rig, day in facts.muster.cache.book_dates:
        if day is not None and day > facts.muster.on:
            yield say.finding(
                facts, rule, what=f"the book of {rig} is dated {day.isoformat()}, which is to come",
                effect="nobody can have counted this rig on that day: when it was counted is not known", rig=rig,
            )  # fmt: skip
    yield from pieces.check(facts, rule)
