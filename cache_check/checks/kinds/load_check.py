"""The load that a need asks for is no more than the charts allow at the length used."""

from __future__ import annotations

from dataclasses import replace

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings
from cache_check.model.counting import Step
from cache_check.model.rule import Rule
from cache_check.planning.scenes import ask_of


def check(facts: Facts, rule: Rule) -> Findings:
    """A finding for each need that enough struts stand for, though too few of them are rated for its load."""
    for need, tally in facts.asked():
        rated = tally.count("rated")
        below: Step = "restrained" if need.restrained else "assembled at once"
        there = tally.count(below) or 0
        if rated is None or tally.load is None or tally.factor is None or not rated < need.count <= there:
            continue
        if tally.verdict == "not known":
            continue  # no other build helps: what is not known is to be found out, and the need says so
        by_chart = replace(ask_of(need), restrained=False, place=None)
        if facts.muster.most(by_chart, "rated").count >= need.count:
            continue  # charts rate enough of them: what holds their bases does not
        why = dict(tally.why_zero).get("rated")
        yield facts.finding(
            rule,
            what=f"{tally.label}: {say.several(there, 'strut')} {below} "
            f"{facts.over(tally.shortest, tally.longest)}, {rated} rated for "
            f"{facts.force(tally.load, 'up')} each at {say.ratio(tally.factor)}",
            effect=f"{need.count - rated} of {say.several(need.count, 'wanted strut')} "
            f"{say.verb(need.count - rated, 'is', 'are')} missing for want of rating" + (f": {why}" if why else ""),
            figures=(
                ("want_count", need.count), ("have_count", rated), (f"{below}_count", there),
                ("load_n", tally.load), ("longest_nm", tally.longest),
            ),
        )  # fmt: skip
