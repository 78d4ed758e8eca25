"""The load that a need asks for is no more than the charts allow at the length used."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from cache_check.checks import say
from cache_check.checks.builds import asked
from cache_check.checks.facts import Facts
from cache_check.model.finding import Finding
from cache_check.model.result import Rung
from cache_check.model.rule import Rule


def check(facts: Facts, rule: Rule) -> Iterator[Finding]:
    """A finding for each need that enough struts stand for, though too few of them are rated for its load."""
    for need, ladder in asked(facts):
        rated = ladder.count("rated")
        below: Rung = "restrained" if need.restrained else "standing"
        there = ladder.count(below) or 0
        if rated is None or ladder.load is None or ladder.factor is None or not rated < need.count <= there:
            continue
        why = dict(ladder.why_zero).get("rated")
        yield say.finding(
            facts, rule,
            what=f"{ladder.label}: {say.several(there, 'strut')} {below} "
            f"{say.over(facts, ladder.shortest, ladder.longest)}, {rated} rated for "
            f"{say.force(facts, ladder.load, 'up')} each at {say.ratio(ladder.factor)}",
            effect=f"{need.count - rated} of {say.several(need.count, 'wanted strut')} "
            f"{say.verb(need.count - rated, 'is', 'are')} missing for want of rating" + (f": {why}" if why else ""),
            figures=(
                ("want_count", need.count), ("have_count", rated), (f"{below}_count", there),
                ("load_n", ceil(ladder.load)), ("longest_nm", ladder.longest),
            ),
        )  # fmt: skip
