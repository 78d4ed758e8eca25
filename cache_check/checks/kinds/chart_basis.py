"""A load chart says what it rests on: its edition, its date, and the design factor of its rated loads."""

from __future__ import annotations

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings
from cache_check.model.family import Chart
from cache_check.model.rule import Rule


def check(facts: Facts, rule: Rule) -> Findings:
    """A finding for each chart of the families on the rig that leaves something unsaid, or is answered for."""
    for chart in facts.charts_on_book():
        unsaid = _unsaid(chart)
        if unsaid:
            factor = "design factor" in unsaid
            yield facts.finding(
                rule, what=f"chart {chart.id} of family {chart.family}: {say.listed(unsaid)} not stated",
                effect="its loads cannot be brought to any design factor, so nothing rests on it: unrated"
                if factor
                else "nobody can tell whether it is the maker's current sheet",
            )  # fmt: skip
        if chart.sure:
            yield facts.finding(
                rule, what=f"chart {chart.id} of family {chart.family} says sure: {chart.why.strip()}",
                effect="figures that the rules would call unlikely are counted as they stand",
            )  # fmt: skip


def _unsaid(chart: Chart) -> list[str]:
    blank = {
        "edition": not chart.edition.strip(),
        "date": chart.dated is None,
        "design factor": chart.states == "rated load" and chart.factor is None,
    }
    return [what for what, missing in blank.items() if missing]
