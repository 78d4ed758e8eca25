"""A grid matched with the headings it should have: rows by heading, and everything that is wrong with it.

Most sheets have a row of heads; some are lines, each a word and its value: what a file is, a situation, and the head of
a count sheet.
"""

import re
from collections.abc import Iterable, Iterator
from typing import Any

from cache_check.errors import NotReadError, did_you_mean
from cache_check.files.mistakes import Route, Spot, listed, shown
from cache_check.files.workbook import cells
from cache_check.files.workbook.grid import Grid, Raw, TablePage, blank
from cache_check.files.workbook.layout import Heading, Layout, folded
from cache_check.frozen import dataclass
from cache_check.units import BARE, System

OTHER_TEXT = "#"
"""A column whose head begins with this is the owner's own and is not read."""
_CASED = {"kn": "kN", "n": "N", "dan": "daN"}
_Meant = tuple[Heading, str] | None
"""A heading and the unit that its head names; None of one that is not read, or was refused."""


@dataclass
class SheetRow:
    """One row: its first cell, and by head the value of each cell that is not blank, and its place."""

    spot: Spot
    values: dict[str, Any]
    spots: dict[str, Spot]

    def at(self, head: str) -> Spot:
        """The cell under a head, else the row's first."""
        return self.spots.get(head, self.spot)

    def put(self, page: TablePage, at: Route, headings: Iterable[Heading]) -> None:
        """Put the values under these headings at their routes below ``at``."""
        for one in headings:
            if one.head in self.values:
                page.put((*at, *one.route), self.values[one.head], self.spots[one.head])


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
            found = SheetRow(self.spot(number, 1), {}, {})
            for place, raw in enumerate(row):
                spot = self.spot(number, place + 1)
                if place in headings:
                    self._take(found, headings[place], spot, raw)
                elif not blank(raw):
                    self.fault(spot, "stands in a column without a head", "write the head, or clear the cell")
            if found.spots:
                yield found

    def line(self) -> SheetRow:
        """The values of a sheet of lines, by the word before each; further columns only explain."""
        found = SheetRow(self.spot(1, 1), {}, {})
        for place, (number, row) in enumerate(self.grid.rows):
            if blank(row[0]):
                filled = next(place for place, raw in enumerate(row) if not blank(raw))
                self.fault(self.spot(number, filled + 1), "stands beside no word", "write what it is before it")
            elif place or folded(str(row[0])) != "what":
                self._take(found, self._heading(self.spot(number, 1), row[0]), self.spot(number, 2), *row[1:2])
        return found

    def _skip_banner(self) -> None:
        """Leave out rows with a single filled cell that stand over the heads: a title, say."""
        while len(self.grid.rows) > 1:
            filled = [raw for raw in self.grid.rows[0][1] if not blank(raw)]
            if len(filled) != 1 or (isinstance(filled[0], str) and self.layout.meant(filled[0])):
                return
            self.grid.rows = self.grid.rows[1:]

    def _headings(self, line: int, heads: list[Raw]) -> dict[int, _Meant]:
        """The heading and unit of each place that has a head."""
        headings: dict[int, _Meant] = {}
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

    def _heading(self, spot: Spot, raw: Raw) -> _Meant:
        try:
            text = cells.plain(raw)
        except NotReadError as error:
            self.fault(spot, error.what, error.right)
            return None
        lines = self.layout.lines
        found = None if text.startswith(OTHER_TEXT) and not lines else self.layout.meant(text)
        if found is None and not (self.layout.others if lines else text.startswith(OTHER_TEXT)):
            heads, noun = [one.head for one in lines or self.layout.headings], "line" if lines else "column"
            right = did_you_mean(text.partition(",")[0], heads) or f"the {noun}s here are {listed(heads)}"
            right += "" if lines else "; begin a column of your own with #"
            self.fault(spot, f"{shown(text)} is not a {noun} here", right)
        return found

    def _take(self, row: SheetRow, meant: _Meant, spot: Spot, raw: Raw = None) -> None:
        """Read a cell into a row; what cannot be read is noted."""
        if meant is None or blank(raw):
            return
        heading, unit = meant
        if heading.head in row.spots:
            self.fault(spot, f"{heading.head!r} is written twice", "keep one of them")
            return
        row.spots[heading.head] = spot
        try:
            row.values[heading.head] = self._value(heading, unit, raw)
        except NotReadError as error:
            self.fault(spot, f"{heading.head}: {error.what}", error.right)

    def _value(self, heading: Heading, unit: str, raw: Raw) -> Any:
        value = cells.READERS[heading.reads](raw, self.grid)
        if not unit or heading.dimension is None or not _bare(value):
            return value
        own = BARE[heading.dimension][self.units] if self.units else ""
        return value if unit == own.casefold() else f"{value} {_CASED.get(unit, unit)}"


def _bare(value: Any) -> bool:
    """Whether a quantity is a number without a unit of its own."""
    return isinstance(value, int) or (isinstance(value, str) and not re.search(r"^$|[^\W\d_]|['\"″′]", value))
