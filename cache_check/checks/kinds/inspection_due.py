"""Pieces past their inspection or their last day, and pieces of which nobody wrote the date."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from cache_check.checks import say
from cache_check.checks.builds import out_of_use
from cache_check.checks.facts import Facts
from cache_check.joining.kinds.inspection_due import due
from cache_check.model.cache import Item, Stock
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule

LOOKED_AT = "usable"


def check(facts: Facts, rule: Rule) -> Iterator[Finding]:
    """A finding for each piece expired or overdue, and one for each line that has pieces with a blank date.

    Pieces that are out of service for another reason have a finding of their own.
    """
    for line in facts.muster.cache.stock:
        blank = []
        for item in line.items:
            late = _late(facts, rule, item)
            if late and out_of_use(facts, item) in ("", "expired", "inspection overdue"):
                yield replace(_due(facts, rule, line, item, late), serial=item.serial)
            elif item.inspected is None and out_of_use(facts, item) in ("", "inspection date unknown"):
                blank.append(item)
        if blank:
            yield _blank(facts, rule, line, blank)


def _late(facts: Facts, rule: Rule, item: Item) -> str:
    """In words, how a piece is past its day; "" where it is not, or nobody knows."""
    on = facts.muster.on
    if item.expires is not None and item.expires < on:
        return f"expired on {item.expires.isoformat()}"
    if item.inspected is None:
        return ""
    last = due(item.inspected, int(facts.muster.book.value(rule.id, "every", facts.family_of(item.part))))
    return f"inspection was due on {last.isoformat()}" if last < on else ""


def _due(facts: Facts, rule: Rule, line: Stock, item: Item, late: str) -> Finding:
    left, booked = facts.muster.usable.counts[item.part], facts.muster.cache.counted.get(item.part, 0)
    return say.finding(
        facts, rule, what=f"{say.name(facts, item.part)} {item.serial}: {late}",
        effect=f"not usable; {left} of {booked} {say.name(facts, item.part)} left to use",
        figures=(("usable_count", left),), part=item.part, where=item.where or line.where, rig=item.rig,
    )  # fmt: skip


def _blank(facts: Facts, rule: Rule, line: Stock, items: list[Item]) -> Finding:
    counted = bool(facts.muster.book.value(rule.id, "unknown_counts", facts.family_of(line.part)))
    serials = say.listed(item.serial for item in items)
    return say.finding(
        facts, rule, what=f"{say.name(facts, line.part)} {serials}: inspection date blank, so unknown",
        effect="counted as usable all the same, as the rule is set" if counted else "not counted as usable",
        figures=(("blank_count", len(items)),), part=line.part, where=line.where, rig=line.rig,
    )  # fmt: skip
