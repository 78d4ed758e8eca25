"""Books that were counted too long ago; of one without its day every page says that it has none."""

from __future__ import annotations

from cache_check.checks.facts import Facts, Findings
from cache_check.model.rule import Rule


def check(facts: Facts, rule: Rule) -> Findings:
    """A finding for each rig whose book is older than the rule allows."""
    most = int(facts.value(rule, "most"))
    for rig, day in facts.muster.cache.book_dates:
        age = (facts.muster.on - day).days if day is not None else 0
        if day is not None and age > most:
            yield facts.finding(
                rule, what=f"the book of {rig} was counted on {day.isoformat()}, {age:,} days ago",
                effect=f"what is gone since it does not say, and every count here rests on it; {most:,} days at most",
                figures=(("age_days", age), ("most_days", most)), rig=rig,
            )  # fmt: skip
