"""A load chart makes sense: it falls, never rises, with length and with extensions."""

from __future__ import annotations

from cache_check.checks import say
from cache_check.checks.facts import Findings, Mustered
from cache_check.loads.capacity import answered, flaws_by
from cache_check.loads.chart import Flaw
from cache_check.model.family import Chart
from cache_check.model.rule import Rule


def check(facts: Mustered, rule: Rule) -> Findings:
    """A finding for each cell or row that calls a chart in doubt, in the charts of the families on the rig."""
    for chart in facts.charts_on_book():
        if not facts.muster.book.is_on(rule.id, (chart.family,)):
            continue
        for flaw in flaws_by(rule, chart, facts.muster.cache.catalogue, facts.muster.book):
            if not answered(chart, flaw):
                yield facts.finding(
                    rule, what=f"chart {chart.id}: {_says(facts, chart, flaw)}",
                    effect="the whole chart is in doubt, so nothing rests on it: unrated until it is put right",
                    figures=(("row_nm", chart.rows[flaw.row].length),),
                )  # fmt: skip


load = check


def _says(facts: Mustered, chart: Chart, flaw: Flaw) -> str:
    if flaw.kind == "design factor larger than any likely one" and chart.factor is not None:
        return f"rated at {say.ratio(chart.factor)}, a {flaw.kind}"
    row = f"row {facts.length(chart.rows[flaw.row].length, 'nearest')}"
    if flaw.extensions is None:
        return f"{row}: {flaw.kind}"
    cell = f"{row} with {say.several(flaw.extensions, 'extension')}"
    load = chart.rows[flaw.row].loads[flaw.extensions]
    shown = "blank" if load is None else facts.force(load, "nearest")
    bounds = [
        f"{side} {facts.force(bound, 'nearest')} expected"
        for side, bound in (("at least", flaw.least), ("at most", flaw.most))
        if bound is not None
    ]
    return ", ".join([f"{cell}: {shown} {flaw.kind}", *bounds])
