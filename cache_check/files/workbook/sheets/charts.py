"""The sheet "charts": load charts as the maker's current sheet prints them, one row for each length."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cache_check.files.place import Route
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.layout import YES_NO, Cells, Heading, Layout, of_entry
from cache_check.files.workbook.sheet import Row, Sheet

UNRATED = "unrated"
_MOST_EXTENSIONS = 9
_OF_CHART = (
    Heading("chart", ("id",), note="its name; blank goes on with the one above", wide=12),
    Heading("states", ("states",), note="what the loads are", choices=("failure load", "rated load")),
    Heading("factor", ("factor",), "factor", "the design factor of rated loads, if the sheet states it"),
    Heading("edition", ("edition",), note="as the sheet prints it", wide=18),
    Heading("dated", ("dated",), "date", "year-month-day"),
    Heading("bodies", ("bodies",), "list", "the bodies it is for; blank is all of the family", wide=18),
    Heading("sure", ("sure",), "flag", "yes if unlikely figures are right as they stand", YES_NO),
    Heading("why sure", ("why",), note="who looked, and where it says so", wide=18),
)
_LENGTH = Heading("up to length", ("length",), "length", "at or under this length of the whole strut")
_LOADS = tuple(
    Heading(f"{n} extension{'' if n == 1 else 's'}", ("loads", n), "force", f"the load with {n}; {UNRATED} if none")
    for n in range(_MOST_EXTENSIONS + 1)
)


class _Charts(Layout):
    def read(self, sheet: Sheet, draft: Draft, at: Route) -> None:
        """Put each row into the chart that it names or goes on with."""
        chart: Route | None = None
        for row in sheet.rows():
            name = row.get("chart")
            if chart is None or (name and name != draft.at(chart).get("id")):
                chart = (*at, draft.count(at))
                draft.put(chart, {}, row.at("chart"))
                row.put(draft, chart, _OF_CHART)
            else:
                _goes_on(sheet, draft, chart, row)
            _put_loads(draft, chart, row)

    def rows(self, data: Any) -> Iterator[Cells]:
        """A row for each length of every chart."""
        for chart in data or ():
            first = of_entry(chart, _OF_CHART)
            for line in chart.get("rows") or ():
                loads = {_LOADS[n].head: UNRATED if load is None else load for n, load in enumerate(line["loads"])}
                yield first | {_LENGTH.head: line["length"]} | loads
                first = {}


def _goes_on(sheet: Sheet, draft: Draft, chart: Route, row: Row) -> None:
    """A further row of a chart may repeat what the chart says, not change it."""
    for heading in _OF_CHART:
        if heading in row.values and draft.at(chart).get(heading.route[0]) != row.values[heading]:
            what = f"{heading.head!r} is not what the first row of this chart says"
            sheet.fault(row.spots[heading], what, "write it in the first row only, or give the chart another name")


def _put_loads(draft: Draft, chart: Route, row: Row) -> None:
    """One row of a chart; a blank before a load is unrated, a blank after the last is nothing."""
    if not any(heading in row.spots for heading in (_LENGTH, *_LOADS)):
        return
    route = (*chart, "rows", draft.count((*chart, "rows")))
    draft.put(route, {"loads": []}, row.at(_LENGTH.head))
    row.put(draft, route, [_LENGTH])
    last = max((n for n, heading in enumerate(_LOADS) if heading in row.spots), default=-1)
    for n, heading in enumerate(_LOADS[: last + 1]):
        value = row.values.get(heading)
        unrated = isinstance(value, str) and value.casefold() in (UNRATED, "-", "–", "n/a")
        draft.put((*route, "loads", n), None if unrated else value, row.spots.get(heading, row.spot))


def shown(headings: tuple[Heading, ...], filled: list[dict[Heading, Any]]) -> tuple[Heading, ...]:
    """All headings; of a chart's loads only as many as are filled, three at least."""
    last = max((n for n, load in enumerate(_LOADS) for row in filled if row.get(load) is not None), default=2)
    return tuple(one for one in headings if one not in _LOADS[max(2, last) + 1 :])


LAYOUT = _Charts(
    "charts",
    "Load charts: up to each length, the load with 0, 1 ... extensions. Without a chart nothing is rated.",
    (*_OF_CHART, _LENGTH, *_LOADS),
)
