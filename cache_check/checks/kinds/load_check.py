"""The load that a need asks for is no more than the charts allow at the length used."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from typing import TYPE_CHECKING

from cache_check.checks import say
from cache_check.checks.builds import asked
from cache_check.checks.facts import Facts
from cache_check.model.finding import Finding
from cache_check.model.result import Rung
from cache_check.model.rule import Rule

if TYPE_CHECKING:
    from cache_check.checks.load import LoadFacts


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


def load(facts: LoadFacts, rule: Rule) -> Iterator[Finding]:
    """One finding when enough struts stand for a situation, and too few of them carry it with their whole chain."""
    ladder = facts.result.ladder
    below: Rung = "restrained" if facts.result.situation.ties != "none" else "standing"
    rated, wanted, there = ladder.count("rated"), ladder.wanted or 1, ladder.count(below) or 0
    if rated is None or ladder.load is None or ladder.factor is None or not rated < wanted <= there:
        return
    best = facts.best
    governs = "" if best is None else f"; in the best of them {best.refused or best.governing.link} governs"
    yield say.finding(
        facts, rule,
        what=f"{say.several(there, 'strut')} {below} {say.over(facts, ladder.shortest, ladder.longest)}, {rated} of "
        f"{say.several(wanted, 'wanted strut')} rated for {say.force(facts, ladder.load, 'up')} each at "
        f"{say.ratio(ladder.factor)}",
        effect=f"{wanted - rated} {say.verb(wanted - rated, 'is', 'are')} missing{governs}",
        figures=(("want_count", wanted), ("have_count", rated)),
    )  # fmt: skip
