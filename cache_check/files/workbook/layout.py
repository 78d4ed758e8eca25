"""Layouts of sheets: their headings, where the values below them belong in the data, and how rows go both ways."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import field
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, TypeVar, get_args

from cache_check.files import text
from cache_check.files.mistakes import Route
from cache_check.frozen import dataclass
from cache_check.model.cache import Label, Status
from cache_check.model.part import Kind
from cache_check.model.rule import SEVERITIES
from cache_check.units import BARE, Dimension, System

if TYPE_CHECKING:
    from cache_check.files.workbook.sheet import SheetReader, SheetRow

Reads = Literal[
    "text", "number", "length", "force", "mass", "factor", "flag", "date", "list", "pieces", "points", "value",
    "values", "places",
]  # fmt: skip
_CHOICES: dict[str, tuple[str, ...]] = {
    "kind": get_args(Kind), "label": get_args(Label), "severity": SEVERITIES, "status": get_args(Status),
}  # fmt: skip
"""Sets of words that a cell may take, by the name that ``sheets.yaml`` gives them."""
Cells = dict[str, Any]
"""A row to write: plain values by heading."""
YES_NO = ("yes", "no")
_DIMENSIONS: tuple[Dimension, ...] = ("length", "force", "mass")
_UNITS: dict[str, tuple[str, ...]] = {
    "length": ("in", "inch", "inches", "ft", "feet", "mm", "cm", "m"),
    "force": ("lbf", "lb", "lbs", "kip", "n", "kn", "dan"),
    "mass": ("lb", "lbs", "kg", "g", "t"),
}
_HEAD = re.compile(r"(.*?)\s*(?:,\s*|\(\s*|\[\s*)([A-Za-z]+)\s*[\])]?")


def folded(text: str) -> str:
    """A head without case, dashes and needless spaces."""
    return " ".join(text.replace("_", " ").replace("-", " ").casefold().split())


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
        return next((one for one in _DIMENSIONS if one == self.reads), None)

    @classmethod
    def of(cls, head: str, at: str | None = None, reads: Reads = "text", choices: Any = (), **more: Any) -> Heading:
        """A heading as ``sheets.yaml`` says it."""
        steps = (head.replace(" ", "_") if at is None else at).split(".") if at != "" else ()
        route = tuple(int(step) if step.isdecimal() else step for step in steps)
        words = _CHOICES[choices] if isinstance(choices, str) else tuple(choices)
        return cls(head, route, reads, choices=words or YES_NO * (reads == "flag"), **more)

    def headed(self, system: System | None) -> str:
        """The head with the unit that bare numbers below it have."""
        unit = BARE[self.dimension][system] if self.dimension and system else ""
        return f"{self.head}, {unit}" if unit else self.head


@dataclass(frozen=True)
class Layout:
    """A sheet: its name, what it is for, its headings; each row is an entry of a mapping, under its first value.

    ``short`` is the field that an entry is of which nothing else is written, ``unsaid`` what is written of one that
    does not say it.  Sheets whose rows are otherwise say how in their own file.
    """

    name: str
    about: str
    headings: tuple[Heading, ...]
    short: str = ""
    unsaid: Mapping[str, Any] = field(default_factory=dict)

    def meant(self, written: str) -> tuple[Heading, str] | None:
        """The heading that a written head means and the unit it names ("" where none); None where it means none."""
        text = folded(written)
        split = _HEAD.fullmatch(text)
        for heading in self.headings:
            if text == folded(heading.head):
                return heading, ""
            if split and split[1] == folded(heading.head) and split[2] in _UNITS.get(heading.reads, ()):
                return heading, split[2]
        return None

    def read(self, sheet: SheetReader, at: Route) -> None:
        """Put every row where it belongs below ``at``; what is wrong is noted on the sheet."""
        for row in sheet.rows():
            route = named(sheet, at, row, self.headings[0].head)
            if route is not None:
                sheet.page.put(route, {}, row.at(self.headings[0].head))
                row.put(sheet.page, route, self.headings[1:])

    def rows(self, data: Any) -> Iterator[Cells]:
        """The rows for what stands in the data where this sheet's entries belong."""
        for name, entry in entries(data).items():
            whole = entry if isinstance(entry, dict) else {self.short: entry}
            yield {**self.unsaid, self.headings[0].head: name} | of_entry(whole, self.headings[1:])


def named(sheet: SheetReader, at: Route, row: SheetRow, head: str) -> Route | None:
    """The route of the entry that a row names; None, with a mistake, where it names none or one that is there."""
    name = row.get(head)
    if not name:
        if not any(heading.head == head for heading in row.spots):
            sheet.fault(row.spot, f"this row has no {head!r}", "write it, or clear the row")
    elif sheet.page.has((*at, str(name))):
        sheet.fault(row.at(head), f"{name!r} is written twice", "keep one of them")
    else:
        return (*at, str(name))
    return None


def of_entry(entry: Any, headings: tuple[Heading, ...]) -> Cells:
    """The values of an entry by heading."""
    found: Cells = {}
    for heading in headings:
        value = entry
        for step in heading.route:
            value = _step(value, step)
        if value is not None:
            found[heading.head] = value
    return found


def _step(value: Any, step: str | int) -> Any:
    if isinstance(value, str) and step == "connector":
        return value  # an end may be written as its connector alone
    if isinstance(value, dict):
        return value.get(str(step))
    return value[step] if isinstance(value, list) and isinstance(step, int) and step < len(value) else None


def entries(data: Any) -> dict[str, Any]:
    """A mapping, or an empty one where there is none."""
    return data if isinstance(data, dict) else {}


_all_told = cache(lambda: text.load(Path(__file__).with_name("sheets.yaml"))[0])


def told(name: str) -> dict[str, Any]:
    """What ``sheets.yaml`` says of a sheet, of the kinds of file, or for people to read."""
    return dict(_all_told()[name])


def headings(sheet: str, of: str = "headings") -> tuple[Heading, ...]:
    """The headings of a sheet, or its "lines", as ``sheets.yaml`` has them."""
    return tuple(Heading.of(**one) for one in told(sheet)[of])


Made = TypeVar("Made", bound=Layout)


def layout(sheet: str, kind: type[Made], *more: Heading, **said: Any) -> Made:
    """A sheet as ``sheets.yaml`` has it, with further headings that come from elsewhere."""
    return kind(sheet, told(sheet)["about"], (*headings(sheet), *more), **said)
