"""Which figures of a load chart are in doubt: against each other, against their family, against bounds of policy."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction

from cache_check.loads.chart import RISES, Flaw, Row, flaws, lowest_load
from cache_check.model.family import Catalogue, Chart
from cache_check.model.rule import Rule, RuleBook


def doubted(chart: Chart, catalogue: Catalogue, book: RuleBook) -> Iterator[tuple[str, Flaw]]:
    """(Rule, flaw) for all that the rules in force call in doubt in a chart, and its file does not answer for."""
    for rule in (*book.of_kind("chart_sane"), *book.of_kind("chart_likely")):
        if book.is_on(rule.id, (chart.family,)):
            found = flaws_by(rule, chart, catalogue, book)
            yield from ((rule.id, flaw) for flaw in found if not answered(chart, flaw))


def flaws_by(rule: Rule, chart: Chart, catalogue: Catalogue, book: RuleBook) -> list[Flaw]:
    """The flaws that a rule finds in a chart, those answered for too, by row and column."""
    return KINDS[rule.kind](rule, chart, catalogue, book)


def answered(chart: Chart, flaw: Flaw) -> bool:
    """Whether the chart's file says that an unlikely figure is right; what cannot be is never right."""
    return chart.sure and flaw.kind not in RISES


def rows_of(chart: Chart) -> list[Row]:
    """The rows of a chart, as the equations take them."""
    return [Row(row.length, row.loads) for row in chart.rows]


def _sane(_rule: Rule, chart: Chart, _catalogue: Catalogue, _book: RuleBook) -> list[Flaw]:
    return flaws(rows_of(chart))


def _likely(rule: Rule, chart: Chart, catalogue: Catalogue, book: RuleBook) -> list[Flaw]:
    mine, rows = (chart.family,), rows_of(chart)
    least, most = book.value(rule.id, "least", mine), book.value(rule.id, "most", mine)
    found = [*_out_of_bounds(rows, least, most), *_apart(rows, book.value(rule.id, "apart", mine))]
    others = [one for one in catalogue.family[chart.family].charts if one.id != chart.id]
    away = [place for other in others for place in _away(chart, other, book.value(rule.id, "family", mine))[:1]]
    if 2 * len(away) > len(others):
        found.append(Flaw("far from the other charts of its family", min(away)))
    if chart.factor is not None and chart.factor > book.value(rule.id, "factor", mine):
        found.append(Flaw("design factor larger than any likely one", 0))
    return sorted(found, key=lambda flaw: (flaw.row, flaw.extensions or 0, flaw.kind))


def _out_of_bounds(rows: Sequence[Row], least: Fraction, most: Fraction) -> Iterator[Flaw]:
    for place, row in enumerate(rows):
        for column, load in enumerate(row.loads):
            if load is not None and load < least:
                yield Flaw("smaller than any likely load", place, column, least=least)
            if load is not None and load > most:
                yield Flaw("larger than any likely load", place, column, most=most)


def _apart(rows: Sequence[Row], apart: Fraction) -> Iterator[Flaw]:
    """A cell so far over the next of its row that one of the two has a figure too many or too few."""
    for place, row in enumerate(rows):
        for column, (load, more) in enumerate(zip(row.loads, row.loads[1:], strict=False)):
            if load is not None and more is not None and load > apart * more:
                yield Flaw("far over the same row with one extension more", place, column, most=apart * more)


def _away(chart: Chart, other: Chart, apart: Fraction) -> list[int]:
    """The rows whose load with no extension is far from another chart's at that length, where both have one."""
    ends = [row.length for row in other.rows]
    found = []
    for place, row in enumerate(chart.rows):
        if ends[0] <= row.length <= ends[-1]:
            mine, theirs = row.loads[:1], lowest_load(rows_of(other), row.length, row.length, 0)
            if mine and mine[0] and theirs and not 1 / apart <= Fraction(mine[0]) / theirs <= apart:
                found.append(place)
    return found


KINDS: dict[str, Callable[[Rule, Chart, Catalogue, RuleBook], list[Flaw]]] = {
    "chart_sane": _sane,
    "chart_likely": _likely,
}
"""What calls a chart in doubt, by kind of rule."""
