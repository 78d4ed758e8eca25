"""The layouts of sheets, each with ``read(sheet, at)`` and ``rows(data)``, both ways of one meaning.

``read`` puts what the rows say into the sheet's page under the route ``at``; ``rows`` gives, for each row to write,
the value of every column by its head.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args

from cache_check.files.mistakes import Route, did_you_mean
from cache_check.files.settings import RESERVED
from cache_check.files.workbook.layout import Cells, Heading, Layout, Reads, entries, headings, layout, named, of_entry
from cache_check.files.workbook.sheet import Lines, SheetReader, SheetRow
from cache_check.frozen import dataclass
from cache_check.model.cache import Status
from cache_check.model.situation import Situation


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


class _Pins(Layout):
    """An entry of the mapping is the pin itself."""

    def read(self, sheet: SheetReader, at: Route) -> None:
        for row in sheet.rows():
            route = named(sheet, at, row, "connector")
            if route is not None:
                sheet.page.put(route, row.get("pin"), row.at("pin"))


@dataclass(frozen=True)
class _Listed(Layout):
    """The rows are the entries of a list; one that does not say all of ``both`` is a mistake."""

    both: frozenset[str] = frozenset()

    def read(self, sheet: SheetReader, at: Route) -> None:
        for row in sheet.rows():
            if not self.both <= {heading.head for heading in row.spots}:
                sheet.fault(row.spot, "this row has only one end", "write both, or clear the row")
                continue
            route = (*at, sheet.page.count(at))
            sheet.page.put(route, {}, row.at(self.headings[0].head))
            row.put(sheet.page, route, self.headings)

    def rows(self, data: Any) -> Iterator[Cells]:
        return (of_entry(one, self.headings) for one in data or ())


UNRATED = "unrated"
_MOST_EXTENSIONS = 9
*_CHART, _LENGTH = headings("charts")
_LOADS = tuple(
    Heading(f"{n} extension{'' if n == 1 else 's'}", ("loads", n), "force", f"the load with {n}; {UNRATED} if none")
    for n in range(_MOST_EXTENSIONS + 1)
)


@dataclass(frozen=True)
class _Grouped(Layout):
    """Rows that go on with the entry that a row above them names; those that say more are the list ``inside`` it.

    The first headings are those ``of_entry``; what they say need not be said again.
    """

    inside: str = ""
    of_entry: tuple[Heading, ...] = ()

    @property
    def of_list(self) -> list[Heading]:
        """The headings of one of the list."""
        return [one for one in self.headings if one.route and one not in self.of_entry]

    def read(self, sheet: SheetReader, at: Route) -> None:
        """Put each row into the entry that it names or goes on with."""
        places: dict[str, Route] = {}
        for name, row in sheet.going_on(self.headings[0].head, "write its name, or clear the row"):
            if name not in places:
                places[name] = (*at, len(places) if self.inside == "rows" else name)
                sheet.page.put(places[name], {self.inside: []}, row.at(self.headings[0].head))
            for heading in self.of_entry:
                what = f"{heading.head!r} is not what an earlier row of {name!r} says"
                right = "write it in the first row only, or give this one another name"
                sheet.put_once((*places[name], *heading.route), row, heading, what, right)
            inside = (*places[name], self.inside)
            if any(heading in row.spots for heading in self.of_list):
                self.put(sheet, (*inside, sheet.page.count(inside)), row)

    def put(self, sheet: SheetReader, route: Route, row: SheetRow) -> None:
        """One of the list."""
        sheet.page.put(route, {}, row.spot)
        row.put(sheet.page, route, self.of_list)


class _Charts(_Grouped):
    def put(self, sheet: SheetReader, route: Route, row: SheetRow) -> None:
        """One row of a chart; a blank before a load is unrated, a blank after the last is nothing."""
        sheet.page.put(route, {"loads": []}, row.at(_LENGTH.head))
        row.put(sheet.page, route, [_LENGTH])
        last = max((n for n, heading in enumerate(_LOADS) if heading in row.spots), default=-1)
        for n, heading in enumerate(_LOADS[: last + 1]):
            value = row.values.get(heading)
            unrated = isinstance(value, str) and value.casefold() in (UNRATED, "-", "–", "n/a")
            sheet.page.put((*route, "loads", n), None if unrated else value, row.spots.get(heading, row.spot))

    def rows(self, data: Any) -> Iterator[Cells]:
        """A row for each length of every chart."""
        for chart in data or ():
            first = of_entry(chart, self.of_entry)
            for line in chart.get("rows") or ():
                loads = {_LOADS[n].head: UNRATED if load is None else load for n, load in enumerate(line["loads"])}
                yield first | {_LENGTH.head: line["length"]} | loads
                first = {}


def shown(headings: tuple[Heading, ...], filled: list[dict[Heading, Any]]) -> tuple[Heading, ...]:
    """All headings; of a chart's loads only as many as are filled, three at least."""
    last = max((n for n, load in enumerate(_LOADS) for row in filled if row.get(load) is not None), default=2)
    return tuple(one for one in headings if one not in _LOADS[max(2, last) + 1 :])


class _Scenes(_Grouped):
    def rows(self, data: Any) -> Iterator[Cells]:
        """A row for each need of every scene."""
        for name, scene in entries(data).items():
            first = {"scene": name} | of_entry(scene, self.of_entry)
            for need in scene["needs"]:
                yield first | of_entry(need, tuple(self.of_list))
                first = {"scene": name}


_, *_RULE, _, _VALUE, _WHY = headings("rules")
_OF_RULE = tuple(_RULE)


class _Settings(Layout):
    def read(self, sheet: SheetReader, at: Route) -> None:
        """Put each row at its rule."""
        for rule, row in sheet.going_on("rule", "write its id, or clear the row"):
            if not sheet.page.has((*at, rule)):
                sheet.page.put((*at, rule), {}, row.at("rule"))
            name = row.get("parameter")
            if name is not None and _VALUE not in row.spots:
                sheet.fault(row.at("parameter"), f"{name!r} has no value", "write it, or clear the row")
            elif name is None and _VALUE in row.spots:
                sheet.fault(row.at("value"), "a value of no parameter", "write the parameter before it")
            elif name is not None:
                _put_once(sheet, (*at, rule, str(name)), row, _VALUE)
            for heading in (*_OF_RULE, _WHY):
                _put_once(sheet, (*at, rule, *heading.route), row, heading)

    def rows(self, data: Any) -> Iterator[Cells]:
        """A row for each parameter that a setting changes, one for a setting that changes none."""
        for rule, entry in entries(data).items():
            whole = entry if isinstance(entry, dict) else {"on": entry}
            first = {"rule": rule} | {name: whole[name] for name in RESERVED if whole.get(name) is not None}
            values = {name: value for name, value in whole.items() if name not in RESERVED}
            for name, value in values.items():
                yield first | {"parameter": name, "value": value}
                first = {"rule": rule}
            if not values:
                yield first


def _put_once(sheet: SheetReader, route: Route, row: SheetRow, heading: Heading) -> None:
    sheet.put_once(route, row, heading, f"{route[-1]!r} is written twice", "keep one of them")


class _Parameters(Layout):
    def read(self, sheet: SheetReader, at: Route) -> None:
        """Put each row into the parameters of its rule."""
        known = {
            rule.get("id"): number for number, rule in enumerate(sheet.page.value(at) if sheet.page.has(at) else [])
        }
        for row in sheet.rows():
            rule, name = row.get("rule"), row.get("parameter")
            route = (*at, known.get(rule, 0), "parameters", str(name))
            if rule not in known or not name:
                sheet.fault(row.spot, "this row has no parameter of a rule in the sheet own rules", "name both")
            elif sheet.page.has(route):
                sheet.fault(row.at("parameter"), f"{name!r} is written twice", "keep one of them")
            else:
                sheet.page.put(route, {}, row.at("parameter"))
                row.put(sheet.page, route, self.headings[2:])

    def rows(self, data: Any) -> Iterator[Cells]:
        """A row for each parameter of those rules."""
        for rule in data or ():
            for name, parameter in entries(rule.get("parameters")).items():
                yield {"rule": rule["id"], "parameter": name} | of_entry(parameter, self.headings[2:])


OUT: tuple[Status, ...] = tuple(status for status in get_args(Status) if status != "in service")
_READS: dict[str, Reads] = {
    "title": "text", "why": "text", "one_end_pivots": "flag", "sure": "flag", "anchors": "places",
}  # fmt: skip
ABOUT = layout("about", Lines, lines=headings("about", "lines"))
_COUNTED_OUT = (Heading(one, ("out", one), "number", f"pieces without serials: {one}", wide=11) for one in OUT)
LAYOUTS: dict[str, Layout] = {
    one.name: one
    for one in (
        layout("types", Layout),
        layout("parts", Layout, *_COUNTED_OUT, short="count", unsaid={"count": "unknown"}),
        layout("items", _Items),
        layout("compartments", Layout),
        layout("ready sets", Layout),
        layout("charts", _Charts, *_LOADS, inside="rows", of_entry=tuple(_CHART)),
        layout("rules", _Settings),
        layout("connectors", _Pins, short="pin"),
        layout("mates", _Listed, both=frozenset({"one end", "other end"})),
        layout("needs", _Scenes, inside="needs", of_entry=headings("needs")[1:3]),
        layout("prices", Layout, short="price"),
        layout("own rules", _Listed),
        layout("own parameters", _Parameters),
        layout("situation", Lines,
               lines=tuple(Heading(name.replace("_", " "), (name,), _READS.get(name, "values"))
                           for name in Situation.model_fields)),
    )
}  # fmt: skip
"""The sheets by name; that of "about" is apart, since it says what the file is."""
