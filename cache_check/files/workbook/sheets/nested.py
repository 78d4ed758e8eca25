"""The sheets whose rows go into lists: pieces of a part, joints, lengths of a chart, needs of a scene."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cache_check.files.place import Route
from cache_check.files.words import did_you_mean
from cache_check.files.workbook.layout import Cells, Heading, Layout, entries, headings, layout, named, of_entry
from cache_check.files.workbook.sheet import SheetReader, SheetRow


class _Items(Layout):
    def read(self, sheet: SheetReader, at: Route) -> None:
        """Put each row into the list of its part."""
        known = sheet.page.value(at) if sheet.page.has(at) else {}
        for row in sheet.rows():
            part = _part(sheet, row, known)
            if part is not None:
                route = (*at, part, "items", sheet.page.count((*at, part, "items")))
                sheet.page.put(route, {}, row.at("serial"))
                row.put(sheet.page, route, self.headings[1:])

    def rows(self, data: Any) -> Iterator[Cells]:
        """A row for each piece of every counted part."""
        for name, entry in entries(data).items():
            for item in (entry.get("items") or ()) if isinstance(entry, dict) else ():
                yield {"part": name} | of_entry(item, self.headings[1:])


def _part(sheet: SheetReader, row: SheetRow, known: dict[str, Any]) -> str | None:
    """The name under which the part of a row is counted."""
    name = str(row.get("part") or "")
    if not name:
        named(sheet, (), row, "part")
    if not name or name in known:
        return name or None
    short = [one for one in known if one.rpartition("/")[2] == name.rpartition("/")[2]]
    if len(short) == 1 and "" in (name.rpartition("/")[0], short[0].rpartition("/")[0]):
        return short[0]
    right = did_you_mean(name, known) or "count it in the sheet parts first"
    sheet.fault(row.at("part"), f"{name!r} has no row in the sheet parts", right)
    return None


ITEMS = layout("items", _Items)


class _Pins(Layout):
    """An entry of the mapping is the pin itself."""

    def read(self, sheet: SheetReader, at: Route) -> None:
        for row in sheet.rows():
            route = named(sheet, at, row, "connector")
            if route is not None:
                sheet.page.put(route, row.get("pin"), row.at("pin"))


class _Mates(Layout):
    """The rows are a list."""

    def read(self, sheet: SheetReader, at: Route) -> None:
        for number, row in enumerate(sheet.rows()):
            if {"one end", "other end"} <= {heading.head for heading in row.spots}:
                sheet.page.put((*at, number), {}, row.spot)
                row.put(sheet.page, (*at, number), self.headings)
            else:
                sheet.fault(row.spot, "this row has only one end", "write both, or clear the row")

    def rows(self, data: Any) -> Iterator[Cells]:
        return (of_entry(mate, self.headings) for mate in data or ())


CONNECTORS = layout("connectors", _Pins, short="pin")
MATES = layout("mates", _Mates)


UNRATED = "unrated"
_MOST_EXTENSIONS = 9
*_CHART, _LENGTH = headings("charts")
_OF_CHART = tuple(_CHART)
_LOADS = tuple(
    Heading(f"{n} extension{'' if n == 1 else 's'}", ("loads", n), "force", f"the load with {n}; {UNRATED} if none")
    for n in range(_MOST_EXTENSIONS + 1)
)


class _Charts(Layout):
    def read(self, sheet: SheetReader, at: Route) -> None:
        """Put each row into the chart that it names or goes on with."""
        chart: Route | None = None
        for row in sheet.rows():
            name = row.get("chart")
            if chart is None or (name and name != sheet.page.value(chart).get("id")):
                chart = (*at, sheet.page.count(at))
                sheet.page.put(chart, {}, row.at("chart"))
                row.put(sheet.page, chart, _OF_CHART)
            else:
                _goes_on(sheet, chart, row)
            _put_loads(sheet, chart, row)

    def rows(self, data: Any) -> Iterator[Cells]:
        """A row for each length of every chart."""
        for chart in data or ():
            first = of_entry(chart, _OF_CHART)
            for line in chart.get("rows") or ():
                loads = {_LOADS[n].head: UNRATED if load is None else load for n, load in enumerate(line["loads"])}
                yield first | {_LENGTH.head: line["length"]} | loads
                first = {}


def _goes_on(sheet: SheetReader, chart: Route, row: SheetRow) -> None:
    """A further row of a chart may repeat what the chart says, not change it."""
    for heading in _OF_CHART:
        if heading in row.values and sheet.page.value(chart).get(heading.route[0]) != row.values[heading]:
            what = f"{heading.head!r} is not what the first row of this chart says"
            sheet.fault(row.spots[heading], what, "write it in the first row only, or give the chart another name")


def _put_loads(sheet: SheetReader, chart: Route, row: SheetRow) -> None:
    """One row of a chart; a blank before a load is unrated, a blank after the last is nothing."""
    if not any(heading in row.spots for heading in (_LENGTH, *_LOADS)):
        return
    route = (*chart, "rows", sheet.page.count((*chart, "rows")))
    sheet.page.put(route, {"loads": []}, row.at(_LENGTH.head))
    row.put(sheet.page, route, [_LENGTH])
    last = max((n for n, heading in enumerate(_LOADS) if heading in row.spots), default=-1)
    for n, heading in enumerate(_LOADS[: last + 1]):
        value = row.values.get(heading)
        unrated = isinstance(value, str) and value.casefold() in (UNRATED, "-", "–", "n/a")
        sheet.page.put((*route, "loads", n), None if unrated else value, row.spots.get(heading, row.spot))


def shown(headings: tuple[Heading, ...], filled: list[dict[Heading, Any]]) -> tuple[Heading, ...]:
    """All headings; of a chart's loads only as many as are filled, three at least."""
    last = max((n for n, load in enumerate(_LOADS) for row in filled if row.get(load) is not None), default=2)
    return tuple(one for one in headings if one not in _LOADS[max(2, last) + 1 :])


CHARTS = layout("charts", _Charts, *_LOADS)


_SCENE = headings("needs")
_OF_SCENE, _OF_NEED = _SCENE[1:3], _SCENE[3:]


class _Scenes(Layout):
    def read(self, sheet: SheetReader, at: Route) -> None:
        """Put each row into the scene that it names or goes on with."""
        for scene, row in sheet.going_on("scene", "write its name, or clear the row"):
            route = (*at, scene)
            if not sheet.page.has(route):
                sheet.page.put(route, {"needs": []}, row.at("scene"))
            for heading in _OF_SCENE:
                what = f"{heading.head!r} is not what an earlier row of this scene says"
                sheet.put_once((*route, *heading.route), row, heading, what, "write it in the first row only")
            if any(heading in row.spots for heading in _OF_NEED):
                need = (*route, "needs", sheet.page.count((*route, "needs")))
                sheet.page.put(need, {}, row.at("need"))
                row.put(sheet.page, need, _OF_NEED)

    def rows(self, data: Any) -> Iterator[Cells]:
        """A row for each need of every scene."""
        for name, scene in entries(data).items():
            first = {"scene": name} | of_entry(scene, _OF_SCENE)
            for need in scene["needs"]:
                yield first | of_entry(need, _OF_NEED)
                first = {"scene": name}


NEEDS = layout("needs", _Scenes)
