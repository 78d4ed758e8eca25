"""Pieces that are on the book and not there to use: at repair, loaned, tagged."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from cache_check.checks import say
from cache_check.checks.facts import Facts
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule


def check(facts: Facts, rule: Rule) -> Iterator[Finding]:
    """A finding for each piece with a serial, and for each lot without, whose state is not a usable one."""
    for line in facts.muster.cache.stock:
        counts = facts.muster.book.value(rule.id, "counts", facts.family_of(line.part))
        for item in line.items:
            if item.status not in counts:
                what = f"{say.name(facts, item.part)} {item.serial}: {item.status}"
                where = item.where or line.where
                yield replace(_out(facts, rule, what, line.part, item.rig, where, 1), serial=item.serial)
        for status, number in line.out.items():
            if status not in counts and number:
                what = f"{say.pieces(facts, line.part, number)}: {status}"
                yield _out(facts, rule, what, line.part, line.rig, line.where, number)


def _out(facts: Facts, rule: Rule, what: str, part: str, rig: str, where: str, number: int) -> Finding:
    left, booked = facts.muster.usable.counts[part], facts.muster.cache.counted.get(part, 0)
    return say.finding(
        facts, rule, what=what,
        effect=f"not usable; {left} of {booked} {say.name(facts, part)} left to use",
        figures=(("out_count", number), ("usable_count", left)), part=part, where=where, rig=rig,
    )  # fmt: skip
