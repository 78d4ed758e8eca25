"""A load chart makes sense: it falls, never rises, with length and with extensions."""

from __future__ import annotations

from collections.abc import Iterator

from cache_check.checks import say
from cache_check.checks.builds import families_on_book
from cache_check.checks.facts import Facts
from cache_check.loads.chart import Flaw, Row, flaws
from cache_check.model.family import Chart
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule


def check(facts: Facts, rule: Rule) -> Iterator[Finding]:
    """A finding for each cell or row that makes no sense, in the charts of the families on the rig."""
    for family in families_on_book(facts):
        record = facts.muster.cache.catalogue.family.get(family)
        for chart in record.charts if record else ():
            for flaw in flaws([Row(row.length, row.loads) for row in chart.rows]):
                yield say.finding(
                    facts, rule, what=f"chart {chart.id}: {_says(facts, chart, flaw)}",
                    effect="every rated count that rests on this chart is in doubt",
                    figures=(("row_nm", chart.rows[flaw.row].length),),
                )  # fmt: skip


def _says(facts: Facts, chart: Chart, flaw: Flaw) -> str:
    row = f"row {say.length(facts, chart.rows[flaw.row].length, 'nearest')}"
    if flaw.extensions is None:
        return f"{row}: {flaw.kind}"
    cell = f"{row} with {say.several(flaw.extensions, 'extension')}"
    loads = chart.rows[flaw.row].loads
    load = loads[flaw.extensions] if flaw.extensions < len(loads) else None
    shown = "blank" if load is None else say.force(facts, load, "nearest")
    bounds = [
        f"{side} {say.force(facts, bound, 'nearest')} expected"
        for side, bound in (("at least", flaw.least), ("at most", flaw.most))
        if bound is not None
    ]
    return ", ".join([f"{cell}: {shown} {flaw.kind}", *bounds])
