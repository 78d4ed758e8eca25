"""The sheet "charts": load charts as the maker's current sheet prints them, one row for each length."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cache_check.files.place import Route
from cache_check.files.workbook.columns import Column, Table
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.sheets.entry import Cells, of_entry, put_row
from cache_check.files.workbook.table import Row, Sheet

UNRATED = "unrated"
MOST_EXTENSIONS = 9
_OF_CHART = (
    Column("chart", ("id",), note="its name; blank goes on with the one above", wide=12),
    Column("states", ("states",), note="what the loads are", choices=("failure load", "rated load")),
    Column("factor", ("factor",), "factor", "the design factor of rated loads, if the sheet states it"),
    Column("edition", ("edition",), note="as the sheet prints it", wide=18),
    Column("dated", ("dated",), "date", "year-month-day"),
    Column("bodies", ("bodies",), "list", "the bodies it is for; blank is all of the family", wide=18),
    Column("sure", ("sure",), "flag", "yes if unlikely figures are right as they stand", ("yes", "no")),
    Column("why sure", ("why",), note="who looked, and where it says so", wide=18),
)
_LENGTH = Column("up to length", ("length",), "length", "at or under this length of the whole strut")
_LOADS = tuple(
    Column(f"{n} extension{'' if n == 1 else 's'}", ("loads", n), "force", f"the load with {n}; {UNRATED} if none")
    for n in range(MOST_EXTENSIONS + 1)
)
TABLE = Table(
    "charts",
    "Load charts: up to each length, the load with 0, 1 ... extensions. Without a chart nothing is rated.",
    (*_OF_CHART, _LENGTH, *_LOADS),
)


def read(sheet: Sheet, draft: Draft, at: Route) -> None:
    """Put each row into the chart it names or goes on with."""
    chart: Route | None = None
    for row in sheet.rows():
        name = row.get("chart")
        number = len(draft.at(at)) if draft.has(at) else 0
        if chart is None or (name and name != draft.at(chart).get("id")):
            chart = (*at, number)
            draft.put(chart, {}, row.at("chart"))
            put_row(draft, chart, row, _OF_CHART)
        else:
            _goes_on(sheet, draft, chart, row)
        _put_loads(draft, chart, row)


def _goes_on(sheet: Sheet, draft: Draft, chart: Route, row: Row) -> None:
    """A further row of a chart may repeat what the chart says, not change it."""
    for column in _OF_CHART:
        if column in row.values and draft.at(chart).get(column.route[0]) != row.values[column]:
            what = f"{column.head!r} is not what the first row of this chart says"
            sheet.fault(row.spots[column], what, "write it in the first row only, or give the chart another name")


def _put_loads(draft: Draft, chart: Route, row: Row) -> None:
    """One row of a chart; a blank before a load is unrated, a blank after the last is nothing."""
    rows = (*chart, "rows")
    number = len(draft.at(rows)) if draft.has(rows) else 0
    if not any(column in row.spots for column in (_LENGTH, *_LOADS)):
        return
    route = (*rows, number)
    draft.put(route, {"loads": []}, row.at(_LENGTH.head))
    put_row(draft, route, row, [_LENGTH])
    last = max((n for n, column in enumerate(_LOADS) if column in row.spots), default=-1)
    for n, column in enumerate(_LOADS[: last + 1]):
        value = row.values.get(column)
        unrated = isinstance(value, str) and value.casefold() in (UNRATED, "-", "–", "n/a")
        draft.put((*route, "loads", n), None if unrated else value, row.spots.get(column, row.spot))


def rows(charts: Any) -> Iterator[Cells]:
    """A row for each length of every chart."""
    for chart in charts or ():
        first: Cells = of_entry(chart, Table("", "", _OF_CHART), skip=0)
        for line in chart.get("rows") or ():
            loads = {_LOADS[n].head: UNRATED if load is None else load for n, load in enumerate(line["loads"])}
            yield first | {_LENGTH.head: line["length"]} | loads
            first = {}
