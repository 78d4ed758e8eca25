"""The sheets whose rows go into lists: pieces of a part, joints, lengths of a chart, needs of a scene."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args

from cache_check.files.place import Route
from cache_check.files.words import did_you_mean
from cache_check.files.workbook.layout import YES_NO, Cells, Heading, Layout, entries, named, of_entry
from cache_check.files.workbook.sheet import Row, Sheet
from cache_check.model.cache import Label, Status


class _Items(Layout):
    def read(self, sheet: Sheet, at: Route) -> None:
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


def _part(sheet: Sheet, row: Row, known: dict[str, Any]) -> str | None:
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


ITEMS = _Items(
    "items",
    "Pieces with serials, if you keep them; the counts of parts hold them. Blank is as parts or about have it.",
    (
        Heading("part", ("part",), note="a part that the sheet parts counts", wide=18),
        Heading("serial", ("serial",), note="as on its label", wide=14),
        Heading("where", ("where",), note="the place it lies in", wide=16),
        Heading("status", ("status",), note="blank is in service", choices=get_args(Status)),
        Heading("acquired", ("acquired",), "date", "the day on its label; blank is as parts has it"),
        Heading("inspected", ("inspected",), "date", "the last inspection; blank is as parts has it"),
        Heading("expires", ("expires",), "date", "its last day of use, if it has one"),
        Heading("label", ("label",), note="blank is as parts has it", choices=get_args(Label)),
        Heading("points usable", ("points_usable",), "number", "base: attachment points fit for use"),
        Heading("measured", ("measured",), "length", "chain: the thinnest place of the worst link"),
        Heading("condition", ("condition",), note="as found", wide=24),
        Heading("tag", ("tag",), note="number of the tag it bears; tagged is not used"),
        Heading("note", ("note",), wide=24),
    ),
)


class _Pins(Layout):
    """An entry of the mapping is the pin itself."""

    def read(self, sheet: Sheet, at: Route) -> None:
        for row in sheet.rows():
            route = named(sheet, at, row, "connector")
            if route is not None:
                sheet.page.put(route, row.get("pin"), row.at("pin"))


class _Mates(Layout):
    """The rows are a list."""

    def read(self, sheet: Sheet, at: Route) -> None:
        for number, row in enumerate(sheet.rows()):
            if {"one end", "other end"} <= {heading.head for heading in row.spots}:
                sheet.page.put((*at, number), {}, row.spot)
                row.put(sheet.page, (*at, number), self.headings)
            else:
                sheet.fault(row.spot, "this row has only one end", "write both, or clear the row")

    def rows(self, data: Any) -> Iterator[Cells]:
        return (of_entry(mate, self.headings) for mate in data or ())


CONNECTORS = _Pins(
    "connectors",
    "Further connectors and the pin that each takes. The connector of the cache itself takes the joint pin.",
    (
        Heading("connector", ("connector",), note="without plug or socket", wide=18),
        Heading("pin", ("pin",), note="a type of kind pin, or captive", wide=18),
    ),
    short="pin",
)
MATES = _Mates(
    "mates",
    "Connectors of unlike name that mate all the same.",
    (
        Heading("one end", ("ends", 0), wide=18),
        Heading("other end", ("ends", 1), wide=18),
        Heading("pin", ("pin",), note="a type of kind pin; blank is captive", wide=18),
    ),
)


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
    def read(self, sheet: Sheet, at: Route) -> None:
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


def _goes_on(sheet: Sheet, chart: Route, row: Row) -> None:
    """A further row of a chart may repeat what the chart says, not change it."""
    for heading in _OF_CHART:
        if heading in row.values and sheet.page.value(chart).get(heading.route[0]) != row.values[heading]:
            what = f"{heading.head!r} is not what the first row of this chart says"
            sheet.fault(row.spots[heading], what, "write it in the first row only, or give the chart another name")


def _put_loads(sheet: Sheet, chart: Route, row: Row) -> None:
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


CHARTS = _Charts(
    "charts",
    "Load charts: up to each length, the load with 0, 1 ... extensions. Without a chart nothing is rated.",
    (*_OF_CHART, _LENGTH, *_LOADS),
)


_OF_SCENE = (
    Heading("scene title", ("title",), note="in the first row of a scene", wide=28),
    Heading("weight", ("weight",), "number", "how often it is met, beside the others"),
)
_OF_NEED = (
    Heading("need", ("id",), note="its name within the scene", wide=16),
    Heading("count", ("count",), "number", "how many struts"),
    Heading("length", ("length",), "length", "one length, or from and to"),
    Heading("from", ("from",), "length", "each strut covers from"),
    Heading("to", ("to",), "length", "to this, without rebuilding"),
    Heading("load", ("load",), "force", "what each strut must carry, along it"),
    Heading("vertical", ("vertical",), "force", "or upright, with height and angle"),
    Heading("height", ("height",), "length", "of the contact over the base"),
    Heading("angle", ("angle",), "value", "of the strut from the horizontal"),
    Heading("factor", ("factor",), "factor", "design factor, as 2; blank is the policy's"),
    Heading("restrained", ("restrained",), "flag", "no asks for no restraint", YES_NO),
    Heading("contact", ("contact",), note="what the head stands against, as edge; blank is not stated"),
    Heading("far anchors", ("far_anchors",), "value", note="vertical: structure, or what each holds, as 5000 lbf"),
    Heading("anchor distance", ("anchor_distance",), "length", "vertical: from base to far anchor"),
    Heading("soil", ("soil",), "value", "vertical: what the ground bears"),
    Heading("note", ("note",), wide=24),
)


class _Scenes(Layout):
    def read(self, sheet: Sheet, at: Route) -> None:
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


NEEDS = _Scenes(
    "needs",
    "The struts that a scene wants at once. Scenes are alternatives.",
    (
        Heading("scene", (), note="its short name; blank goes on with the one above", wide=16),
        *_OF_SCENE,
        *_OF_NEED,
    ),
)
