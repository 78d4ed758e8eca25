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
    for need, tally in asked(facts):
        left = tally.count("one missing")
        if tally.met and left is not None and left < need.count:
            lost = say.listed((say.name(facts, part) for part in tally.lost), "or")
            yield say.finding(
                facts, rule,
                what=f"{tally.label}: met, but not with one {lost} lost",
                effect=f"{left} of {say.several(need.count, 'strut')} {tally.missing_step} would be left",
                figures=(("want_count", need.count), ("left_count", left)),
                part=tally.lost[0] if len(tally.lost) == 1 else "",
            )  # fmt: skip
