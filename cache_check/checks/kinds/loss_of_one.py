"""A need that is met stays met when any one usable piece is gone."""

from __future__ import annotations

from collections.abc import Iterator

from cache_check.checks import say
from cache_check.checks.builds import asked
from cache_check.checks.facts import Facts
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule


def check(facts: Facts, rule: Rule) -> Iterator[Finding]:
    """A finding for each need that is met, though not with one piece lost."""
    for need, ladder in asked(facts):
        left = ladder.count("with one lost")
        if ladder.met and left is not None and left < need.count:
            lost = say.listed((say.name(facts, part) for part in ladder.lost), "or")
            yield say.finding(
                facts, rule,
                what=f"{ladder.label}: met, but not with one {lost} lost",
                effect=f"{left} of {say.several(need.count, 'strut')} {ladder.lost_rung} would be left",
                figures=(("want_count", need.count), ("left_count", left)),
                part=ladder.lost[0] if len(ladder.lost) == 1 else "",
            )  # fmt: skip
