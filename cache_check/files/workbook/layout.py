"""Layouts of sheets: their headings, where the values below them belong in the data, and how rows go both ways."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import field
from functools import cache, reduce
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, get_args

from cache_check.errors import did_you_mean
from cache_check.files import text
from cache_check.files.mistakes import Route
from cache_check.files.workbook import cells
from cache_check.frozen import dataclass
from cache_check.model.cache import Label, Status
from cache_check.model.part import Kind
from cache_check.model.rule import SEVERITIES
from cache_check.model.situation import Situation
from cache_check.units import BARE, Dimension, System

if TYPE_CHECKING:
    from cache_check.files.workbook.sheet import SheetReader, SheetRow

Reads = Literal["text", "number", "length", "force", "load", "mass", "factor", "flag", "date", "list", "pieces",
                "points", "value", "values", "places"]  # fmt: skip
_CHOICES: dict[str, tuple[str, ...]] = {
    "kind": get_args(Kind), "label": get_args(Label), "severity": SEVERITIES, "status": get_args(Status),
}  # fmt: skip
"""Sets of words that a cell may take, by the name that ``sheets.yaml`` gives them."""
Cells = dict[str, Any]  # a row to write: plain values by heading
_DIMENSIONS: dict[str, Dimension] = {"length": "length", "force": "force", "load": "force", "mass": "mass"}
_UNITS: dict[Dimension, tuple[str, ...]] = {
    "length": ("in", "inch", "inches", "ft", "feet", "mm", "cm", "m"),
    "force": ("lbf", "lb", "lbs", "kip", "n", "kn", "dan"),
    "mass": ("lb", "lbs", "kg", "g", "t"),
}
_HEAD = re.compile(r"(.*?)\s*(?:,\s*|\(\s*|\[\s*)([A-Za-z]+)\s*[\])]?")


def folded(text: str) -> str:
    """A head without case, dashes and needless spaces."""
    return " ".join(text.replace("_", " ").replace("-", " ").casefold().split())


def _steps(at: str) -> Route:
    return tuple(int(step) if step.isdecimal() else step for step in at.split(".")) if at else ()


@dataclass(frozen=True)
class Heading:
    """The head of a column, or the word of a line.  ``route`` leads from the row's entry to the value below it."""

    head: str
    route: Route
    reads: Reads = "text"
    note: str = ""
    choices: tuple[str, ...] = ()
    wide: int = 12

    @property
    def dimension(self) -> Dimension | None:
        """The dimension of its quantities, None where it has none."""
        return _DIMENSIONS.get(self.reads)

    @classmethod
    def of(cls, head: str, at: str | None = None, reads: Reads = "text", choices: Any = (), **more: Any) -> Heading:
        """A heading as ``sheets.yaml`` says it."""
        words = _CHOICES[choices] if isinstance(choices, str) else tuple(choices)
        route = _steps(head.replace(" ", "_") if at is None else at)
        return cls(head, route, reads, choices=words or ("yes", "no") * (reads == "flag"), **more)

    def headed(self, system: System | None) -> str:
        """The head with the unit that bare numbers below it have."""
        unit = BARE[self.dimension][system] if self.dimension and system else ""
        return f"{self.head}, {unit}" if unit else self.head


@dataclass(frozen=True)
class Layout:
    """A sheet as ``sheets.yaml`` has it, which says what each of these is; by it rows are read and written."""

    name: str
    about: str
    headings: tuple[Heading, ...] = ()
    lines: tuple[Heading, ...] = ()
    key: str = ""
    goes_on: bool = False
    must: tuple[str, ...] = ()
    of: str = ""
    once: tuple[str, ...] = ()
    inside: Route | None = None
    named: str = ""
    short: str = ""
    unsaid: Mapping[str, Any] = field(default_factory=dict)

    def meant(self, written: str) -> tuple[Heading, str] | None:
        """The heading that a written head means and the unit it names ("" where none); None where it means none."""
        text = folded(written)
        split = _HEAD.fullmatch(text)
        for heading in self.lines or self.headings:
            if text == folded(heading.head):
                return heading, ""
            if split and split[1] == folded(heading.head) and heading.dimension:
                return (heading, split[2]) if split[2] in _UNITS[heading.dimension] else None
        return None

    @property
    def _of_entry(self) -> list[Heading]:
        """The headings of an entry itself: of a list its name among them, and where it has rows inside, those told."""
        own = [one for one in self.headings if one.head != self.key or one.route == ("id",)]
        return own if self.inside is None else [one for one in own if one.head in (self.key, *self.once)]

    @property
    def _of_row(self) -> list[Heading]:
        return [one for one in self.headings if one.head not in (self.key, self.named, *self.once)]

    def read(self, sheet: SheetReader, at: Route) -> None:
        """Put every row where it belongs below ``at``; what is wrong is noted on the sheet."""
        if self.lines:
            sheet.line().put(sheet.page, at, self.lines)
            return
        routes = {name: (*at, place) for place, name, _ in _each(sheet.page.value(at))}
        name = ""
        for row in sheet.rows():
            name = str(row.values.get(self.key) or (name if self.goes_on else "")) if self.key else str(len(routes))
            must = self.must or (self.key,) * (not name)
            if lacks := [one for one in must if one not in row.spots or row.values.get(one) == ""]:
                sheet.fault(row.spot, f"this row has no {lacks[0]!r}", "write it, or clear the row")
            elif name and (route := self._entry(sheet, at, routes, name, row)):
                self._told(sheet, route, name, row)
                if self.inside is not None and row.spots.keys() & {self.named, *(one.head for one in self._of_row)}:
                    self._inner(sheet, (*route, *self.inside), row)

    def _entry(self, sheet: SheetReader, at: Route, routes: dict[str, Route], name: str, row: SheetRow) -> Route | None:
        """The route of the entry of a row, made where it is new; None, with a mistake, where it may not be there."""
        if self.of:
            tails = [one for one in routes if one.rpartition("/")[2] == name.rpartition("/")[2]]
            if name not in routes and len(tails) == 1 and "" in (name.rpartition("/")[0], tails[0].rpartition("/")[0]):
                return routes[tails[0]]
            if name not in routes:
                right = did_you_mean(name, routes) or f"write it in the sheet {self.of} first"
                sheet.fault(row.at(self.key), f"{name!r} has no row in the sheet {self.of}", right)
        elif name not in routes:
            listed = not self.key or any(one.route == ("id",) for one in self._of_entry)
            routes[name] = (*at, len(routes) if listed else name)
            fresh = {self.inside[0]: []} if self.inside and not self.named else _begun(self._of_entry, row)
            sheet.page.put(routes[name], fresh, row.at(self.headings[0].head))
        elif not self.goes_on:
            sheet.twice(row.at(self.key), name)
            return None
        return routes.get(name)

    def _told(self, sheet: SheetReader, route: Route, name: str, row: SheetRow) -> None:
        """Put what a row says of its entry, which no other row may say otherwise."""
        for heading in self._of_entry:
            at = (*route, *heading.route)
            if heading.route and at not in sheet.page.spots:
                row.put(sheet.page, route, [heading])
            elif heading.route and heading.head in row.values and sheet.page.value(at) != row.values[heading.head]:
                what = f"{heading.head!r} is not what an earlier row of {name!r} says"
                right = "write it in the first row only, or give this one another name"
                sheet.fault(row.spots[heading.head], what, right)

    def _inner(self, sheet: SheetReader, at: Route, row: SheetRow) -> None:
        head = self.named or self._of_row[0].head
        route = (*at, str(row.values.get(head)) if self.named else len(sheet.page.value(at) or ()))
        if self.named and head not in row.spots:
            sheet.fault(row.spot, f"this row has no {head!r}", "write it, or clear the row")
        elif route in sheet.page.spots:
            sheet.twice(row.at(head), str(route[-1]))
        else:
            sheet.page.put(route, _begun(self._of_row, row), row.at(head))
            row.put(sheet.page, route, [one for one in self._of_row if one.route])

    def rows(self, data: Any) -> Iterator[Cells]:
        """The rows for what stands in the data where this sheet's entries belong."""
        for line in self.lines:
            if (value := data.get(line.route[0])) is not None:
                yield {"what": line.head, "value": cells.written(line.reads, value), "explained": line.note}
        for _, name, entry in () if self.lines else _each(data):
            whole = {self.short: entry} if self.short and not isinstance(entry, dict) else entry
            named = {self.key: name} if self.key else {}
            first = {**self.unsaid, **named, **of_entry(whole, self._of_entry)}
            if self.inside is None:
                yield first
                continue
            inner = [one for one in _each(reduce(_step, self.inside, whole)) if one[1] not in self.once]
            for _, key, one in inner:
                yield first | ({self.named: key} if self.named else {}) | of_entry(one, self._of_row)
                first = named
            if self.once and not inner:
                yield first


def _each(data: Any) -> Iterator[tuple[str | int, Any, Any]]:
    """The entries of a mapping or a list: where each stands, its name and what it says."""
    if isinstance(data, dict):
        yield from ((name, name, one) for name, one in data.items())
    else:
        yield from ((n, one.get("id"), one) for n, one in enumerate(data or ()))


def _begun(headings: Iterable[Heading], row: SheetRow) -> Any:
    """What an entry is before its values are put: a group, its lists empty, or the value that is all of it."""
    whole = [one.head for one in headings if not one.route]
    return row.values.get(whole[0]) if whole else {one.route[0]: [] for one in headings if one.route[1:] == (0,)}


def of_entry(entry: Any, headings: Iterable[Heading]) -> Cells:
    """The values of an entry by heading."""
    found = {heading.head: reduce(_step, heading.route, entry) for heading in headings}
    return {head: value for head, value in found.items() if value is not None}


def _step(value: Any, step: str | int) -> Any:
    if isinstance(value, str) and step == "connector":
        return value  # an end may be written as its connector alone
    if isinstance(value, dict):
        return value.get(str(step))
    if isinstance(value, list) and isinstance(step, int) and step < len(value):
        return cells.UNRATED if value[step] is None else value[step]
    return None


_all_told = cache(lambda: text.load(Path(__file__).with_name("sheets.yaml"))[0])


def told(name: str) -> dict[str, Any]:
    """What ``sheets.yaml`` says of a sheet, of the kinds of file, or for people to read."""
    return dict(_all_told()[name])


def headings(sheet: str, of: str = "headings") -> tuple[Heading, ...]:
    """The headings of a sheet, or its "lines", as ``sheets.yaml`` has them."""
    return tuple(Heading.of(**one) for one in told(sheet).get(of, ()))


def layout(sheet: str, *more: Heading, **said: Any) -> Layout:
    """A sheet as ``sheets.yaml`` has it, with further headings that come from elsewhere."""
    heads, rows = (*headings(sheet), *more), dict(told(sheet).get("rows", {}))
    if "inside" in rows:
        rows["inside"] = _steps(rows["inside"])
    return Layout(sheet, told(sheet)["about"], heads, **{"key": heads[0].head, **rows, **said})


_OUT = tuple(
    Heading(one, ("out", one), "number", f"pieces without serials: {one}", wide=11)
    for one in get_args(Status) if one != "in service"
)  # fmt: skip
_LOADS = tuple(
    Heading(f"{n} extension{'s' * (n != 1)}", ("loads", n), "load", f"the load with {n}; {cells.UNRATED} if none")
    for n in range(10)
)
_SITUATION: dict[str, Reads] = {
    "title": "text", "why": "text", "one_end_pivots": "flag", "sure": "flag", "anchors": "places",
}  # fmt: skip
_MORE = {"parts": _OUT, "charts": _LOADS}
_LINES = tuple(Heading(n.replace("_", " "), (n,), _SITUATION.get(n, "values")) for n in Situation.model_fields)
ABOUT = layout("about", lines=headings("about", "lines"))
LAYOUTS: dict[str, Layout] = {  # by name; that of "about" is apart, since it says what the file is
    name: layout(name, *_MORE.get(name, ()), lines=_LINES * (name == "situation"))
    for kind in told("kinds").values()
    for name in kind["sheets"]
}
