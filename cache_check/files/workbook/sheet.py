"""A grid matched with the headings it should have: rows by heading, and everything that is wrong with it.

Most sheets have a row of heads; some are lines, each a word and its value: what a file is, a situation, and the head of
a count sheet.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from cache_check.errors import NotReadError
from cache_check.files.mistakes import Route, Spot, did_you_mean, listed, shown
from cache_check.files.workbook import cells
from cache_check.files.workbook.grid import Grid, Raw, TablePage, blank
from cache_check.files.workbook.layout import Cells, Heading, Layout, folded
from cache_check.frozen import dataclass
from cache_check.units import BARE, System

OTHER_TEXT = "#"
"""A column whose head begins with this is the owner's own and is not read."""
_CASED = {"kn": "kN", "n": "N", "dan": "daN"}


@dataclass
class SheetRow:
    """One row: its first cell, and the value of each heading that is not blank there, with its cell."""

    spot: Spot
    values: dict[Heading, Any]
    spots: dict[Heading, Spot]

    def get(self, head: str) -> Any:
        """The value under a head, None where the cell is blank."""
        return next((value for heading, value in self.values.items() if heading.head == head), None)

    def at(self, head: str) -> Spot:
        """The cell under a head, else the row's first."""
        return next((spot for heading, spot in self.spots.items() if heading.head == head), self.spot)

    def put(self, page: TablePage, at: Route, headings: Iterable[Heading]) -> None:
        """Put the values under these headings at their routes below ``at``."""
        for heading in headings:
            if heading in self.values:
                page.put((*at, *heading.route), self.values[heading], self.spots[heading])


@dataclass
class SheetReader:
    """A grid read by a layout; mistakes go to the page."""

    grid: Grid
    layout: Layout
    page: TablePage
    order: int
    units: System | None

    def spot(self, line: int, column: int) -> Spot:
        """A cell of this sheet."""
        return Spot(line, column, self.grid.label, self.order)

    def fault(self, spot: Spot, what: str, right: str = "") -> None:
        """Note a mistake in a cell."""
        self.page.note(self.page.in_cell(spot, what, right))

    def rows(self) -> Iterator[SheetRow]:
        """The rows below the heads, blank ones left out."""
        self._skip_banner()
        if not self.grid.rows:
            return
        line, heads = self.grid.rows[0]
        headings = self._headings(line, heads)
        for number, row in self.grid.rows[1:]:
            found = self._row(number, row, headings)
            if found.spots:
                yield found

    def going_on(self, head: str, right: str) -> Iterator[tuple[str, SheetRow]]:
        """The rows, each with the name under a head; where that is blank it goes on with the row above."""
        name = ""
        for row in self.rows():
            name = str(row.get(head) or name)
            if name:
                yield name, row
            else:
                self.fault(row.spot, f"this row has no {head!r}", right)

    def put_once(self, route: Route, row: SheetRow, heading: Heading, what: str, right: str) -> None:
        """Put the value under a heading at a route where there is none; one that differs is a mistake."""
        if heading in row.values and not self.page.has(route):
            self.page.put(route, row.values[heading], row.spots[heading])
        elif heading in row.values and self.page.value(route) != row.values[heading]:
            self.fault(row.spots[heading], what, right)

    def _skip_banner(self) -> None:
        """Leave out rows with a single filled cell that stand over the heads: a title, say."""
        while len(self.grid.rows) > 1:
            filled = [raw for raw in self.grid.rows[0][1] if not blank(raw)]
            if len(filled) != 1 or (isinstance(filled[0], str) and self.layout.meant(filled[0])):
                return
            self.grid.rows = self.grid.rows[1:]

    def _headings(self, line: int, heads: list[Raw]) -> dict[int, tuple[Heading, str] | None]:
        """The heading and unit of each place that has a head; None of one that is not read, or was refused."""
        headings: dict[int, tuple[Heading, str] | None] = {}
        for place, raw in enumerate(heads):
            if blank(raw):
                continue
            spot = self.spot(line, place + 1)
            found = self._heading(spot, raw)
            if found is not None and any(known and known[0] is found[0] for known in headings.values()):
                self.fault(spot, f"the column {found[0].head!r} is there twice", "keep one of them")
                found = None
            headings[place] = found
        return headings

    def _heading(self, spot: Spot, raw: Raw) -> tuple[Heading, str] | None:
        try:
            text = cells.plain(raw)
        except NotReadError as error:
            self.fault(spot, error.what, error.right)
            return None
        found = None if text.startswith(OTHER_TEXT) else self.layout.meant(text)
        if found is None and not text.startswith(OTHER_TEXT):
            heads = [heading.head for heading in self.layout.headings]
            right = did_you_mean(text.partition(",")[0], heads) or f"the columns here are {listed(heads)}"
            self.fault(spot, f"{shown(text)} is not a column here", f"{right}; begin a column of your own with #")
        return found

    def _row(self, number: int, row: list[Raw], headings: dict[int, tuple[Heading, str] | None]) -> SheetRow:
        found = SheetRow(self.spot(number, 1), {}, {})
        for place, raw in enumerate(row):
            if blank(raw):
                continue
            spot = self.spot(number, place + 1)
            if place not in headings:
                self.fault(spot, "stands in a column without a head", "write the head, or clear the cell")
            elif (meant := headings[place]) is not None:
                heading, unit = meant
                found.spots[heading] = spot
                try:
                    found.values[heading] = self._value(heading, unit, raw)
                except NotReadError as error:
                    self.fault(spot, f"{heading.head}: {error.what}", error.right)
        return found

    def _value(self, heading: Heading, unit: str, raw: Raw) -> Any:
        value = cells.READERS[heading.reads](raw, self.grid)
        if not unit or heading.dimension is None or not _bare(value):
            return value
        own = BARE[heading.dimension][self.units] if self.units else ""
        return value if unit == own.casefold() else f"{value} {_CASED.get(unit, unit)}"


def _bare(value: Any) -> bool:
    """Whether a quantity is a number without a unit of its own."""
    return isinstance(value, int) or (isinstance(value, str) and not re.search(r"^$|[^\W\d_]|['\"″′]", value))


@dataclass(frozen=True)
class Lines(Layout):
    """A sheet of these lines; further columns only explain.  ``others`` True passes other lines over."""

    lines: tuple[Heading, ...] = ()
    others: bool = False

    def read(self, sheet: SheetReader, at: Route) -> None:
        """Put every line at its key."""
        by_head = {folded(line.head): line for line in self.lines}
        for place, (number, row) in enumerate(sheet.grid.rows):
            word = _word(row[0])
            line = by_head.get(folded(word))
            if (place == 0 and folded(word) == "what") or (line is None and self.others):
                continue
            if blank(row[0]):
                filled = next(place for place, raw in enumerate(row) if not blank(raw))
                sheet.fault(sheet.spot(number, filled + 1), "stands beside no word", "write what it is before it")
            elif line is None:
                right = did_you_mean(word, by_head) or f"the lines are {listed(by_head)}"
                sheet.fault(sheet.spot(number, 1), f"{shown(word)} is not a line here", right)
            elif len(row) > 1 and not blank(row[1]):
                _put(sheet, (*at, *line.route), line, number, row[1])

    def rows(self, data: Any) -> Iterator[Cells]:
        """A line for each key that is there."""
        for line in self.lines:
            value = data.get(line.route[0])
            if value is not None:
                yield {"what": line.head, "value": cells.written(line.reads, value), "explained": line.note}


def _word(raw: Raw) -> str:
    try:
        return cells.plain(raw)
    except NotReadError:
        return "a date or an error"


def _put(sheet: SheetReader, route: Route, line: Heading, number: int, raw: Raw) -> None:
    spot = sheet.spot(number, 2)
    if sheet.page.has(route):
        sheet.fault(spot, f"{line.head!r} is written twice", "keep one of them")
        return
    try:
        sheet.page.put(route, cells.READERS[line.reads](raw, sheet.grid), spot)
    except NotReadError as error:
        sheet.fault(spot, f"{line.head}: {error.what}", error.right)
