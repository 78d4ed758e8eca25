"""How a check says what it found: the rule's own words around the figures."""

from __future__ import annotations

from cache_check.checks.facts import Facts
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule


def finding(
    facts: Facts,
    rule: Rule,
    *,
    what: str,
    effect: str,
    figures: tuple[tuple[str, int | str], ...] = (),
    part: str = "",
    where: str = "",
    rig: str = "",
) -> Finding:
    """A finding of a rule; severity, title, remedy and source are the rule's in force."""
    return Finding(
        rule=rule.id,
        title=rule.title,
        severity=facts.muster.book.severity(rule.id),
        rig=rig or facts.muster.cache.title,
        what=what,
        effect=effect,
        remedy=rule.remedy,
        source=rule.source,
        figures=figures,
        part=part,
        where=where,
    )
