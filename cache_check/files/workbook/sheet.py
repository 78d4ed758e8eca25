"""Sheets read by the headings they should have, and all of a workbook or folder together: cells to data, and back."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from cache_check.errors import Mistake, NotReadError, did_you_mean, listed, refused
from cache_check.files.mistakes import Route, Spot, shown
from cache_check.files.reading import system_of
from cache_check.files.workbook import cells
from cache_check.files.workbook.grid import Grid, Raw, TablePage, blank
from cache_check.files.workbook.layout import ABOUT, LAYOUTS, Cells, Heading, Layout, folded, told
from cache_check.frozen import dataclass
from cache_check.units import BARE, System

OTHER_TEXT = "#"  # a column whose head begins with this is the owner's own and is not read
_CASED = {"kn": "kN", "n": "N", "dan": "daN"}
_Meant = tuple[Heading, str] | None  # a heading and the unit that its head names; None: not read, or refused
Filled = tuple[str, tuple[Heading, ...], Sequence[Sequence[Raw]]]
"""A sheet to write: its name, the headings it shows, and its rows as cells, that of its heads with units first."""
NOT_READ = ("read me", "notes")  # sheets that explain, or are the owner's own; so are those named with # first
_OF_KIND: dict[str, tuple[tuple[Layout, Route], ...]] = {
    kind: tuple((LAYOUTS[name], (at,) if at else ()) for name, at in one["sheets"].items())
    for kind, one in told("kinds").items()
}
"""The sheets of each kind of file, and where in its data their rows go."""
_LINES: dict[str, list[str]] = {kind: one["lines"] for kind, one in told("kinds").items()}
"""The lines of the sheet "about" that belong to each kind of file; one workbook may be several kinds."""


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

    def twice(self, spot: Spot, name: str) -> None:
        """Note what stands twice; a cell that is merged over several rows stands in each of them."""
        merged = (spot.line, spot.column) in self.grid.spread
        what = "stands twice, as its cell is merged over several rows" if merged else "is written twice"
        right = "unmerge it and write each row's own name" if merged else "keep one of them"
        self.fault(spot, f"{name!r} {what}", right)

    def rows(self) -> Iterator[SheetRow]:
        """The rows below the heads, blank ones left out."""
        self._skip_banner()
        if not self.grid.rows:
            return
        line, heads = self.grid.rows[0]
        headings = self._headings(line, heads)
        self._refuse_comments(line)
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
        self._refuse_comments(next((number for number, row in self.grid.rows if folded(str(row[0])) == "what"), 0))
        for place, (number, row) in enumerate(self.grid.rows):
            if blank(row[0]):
                filled = next(place for place, raw in enumerate(row) if not blank(raw))
                self.fault(self.spot(number, filled + 1), "stands beside no word", "write what it is before it")
            elif place or folded(str(row[0])) != "what":
                self._take(found, self._heading(self.spot(number, 1), row[0]), self.spot(number, 2), *row[1:2])
        return found

    def _refuse_comments(self, heads: int) -> None:
        """Note comments on cells, which nobody reads, but those that explain the row of heads."""
        if told_of := [cell for row, cell in self.grid.comments if row != heads]:
            more = f" and {len(told_of) - 1:,} more" * (len(told_of) > 1)
            what = f"{self.grid.label}, cell {told_of[0]}{more}: has a comment, which is not read"
            self.page.note(Mistake(self.page.name, what, "write it in a column, a note say, and delete the comment"))

    def _skip_banner(self) -> None:
        """Leave out rows with a single filled cell that stand over the heads: a title, say."""
        while len(self.grid.rows) > 1:
            filled = [raw for raw in self.grid.rows[0][1] if not blank(raw)]
            if len(filled) != 1 or (isinstance(filled[0], str) and self.layout.meant(filled[0])):
                return
            self.grid.rows = self.grid.rows[1:]

    def _headings(self, line: int, heads: list[Raw]) -> dict[int, _Meant]:
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
        found = None if text.startswith(OTHER_TEXT) else self.layout.meant(text)
        if found is None and not text.startswith(OTHER_TEXT):
            heads, noun = [one.head for one in lines or self.layout.headings], "line" if lines else "column"
            right = did_you_mean(text.partition(",")[0], heads) or f"the {noun}s here are {listed(heads)}"
            self.fault(spot, f"{shown(text)} is not a {noun} here", f"{right}; begin a {noun} of your own with #")
        return found

    def _take(self, row: SheetRow, meant: _Meant, spot: Spot, raw: Raw = None) -> None:
        if meant is None or blank(raw):
            return
        heading, unit = meant
        if heading.head in row.spots:
            self.twice(spot, heading.head)
            return
        row.spots[heading.head] = spot
        try:
            row.values[heading.head] = self._value(heading, unit, raw)
        except NotReadError as error:
            self.fault(spot, f"{heading.head}: {error.what}", error.right)

    def _value(self, heading: Heading, unit: str, raw: Raw) -> Any:
        value = cells.READERS[heading.reads](raw, self.grid)
        # A number without a unit of its own.
        bare = isinstance(value, int) or (isinstance(value, str) and not re.search(r"^$|[^\W\d_]|['\"″′]", value))
        if not unit or heading.dimension is None or not bare:
            return value
        own = BARE[heading.dimension][self.units] if self.units else ""
        return value if unit == own.casefold() else f"{value} {_CASED.get(unit, unit)}"


def data_of(grids: Iterable[Grid], name: str, sha256: str, kind: str) -> tuple[dict[str, Any], TablePage]:
    """The data of a kind of file in a workbook or folder, its page with each cell; InputError without "about"."""
    found: dict[str, tuple[int, Grid]] = {}
    for number, grid in enumerate(grids, 1):
        if (before := found.setdefault(folded(grid.name), (number, grid))[1]) is not grid and grid.rows:
            if before.rows:
                raise refused(name, f"has {before.label} and {grid.label}, which are one", "keep one of them")
            found[folded(grid.name)] = number, grid
    if ABOUT.name not in found:
        right = "cache-check new --workbook FILE.xlsx writes one that explains itself"
        raise refused(name, 'has no sheet "about", which says what it is', right)
    number, first = found[ABOUT.name]
    page = TablePage(name, sha256, Spot(0, 1, first.label, number))
    _refuse_strangers(found, page)
    ABOUT.read(SheetReader(first, ABOUT, page, number, None), ())
    units = system_of(page.data)
    _only(page, kind)
    for layout, at in _OF_KIND.get(kind, ()):
        if layout.name in found:
            number, grid = found[layout.name]
            layout.read(SheetReader(grid, layout, page, number, units), at)
    if kind in ("needs", "prices") and kind not in page.data and _OF_KIND[kind][0][1] in page.spots:
        number, grid = found[kind]  # somebody filled it in without naming it: it is named after its sheet
        page.put((kind,), kind, Spot(1, 1, grid.label, number))
    return page.data, page


def _refuse_strangers(found: Mapping[str, tuple[int, Grid]], page: TablePage) -> None:
    known = [ABOUT.name, *LAYOUTS, *NOT_READ]
    for name, (number, grid) in found.items():
        if name not in known and not name.startswith(OTHER_TEXT) and grid.rows:
            near = did_you_mean(name, known) or f"the sheets are {listed(known)}"
            right = f"{near}; begin a sheet of your own with #"
            page.note(page.in_cell(Spot(0, 0, grid.label, number), "is not a sheet here", right))


def _only(page: TablePage, kind: str) -> None:
    """Leave of the sheet about what belongs to the kind; if it is not of this kind, what says which it is."""
    keys = _LINES.get(kind, ())
    if kind not in page.data and kind not in ("needs", "prices"):
        keys = (*keys, *_LINES)
    for key in [key for key in page.data if key not in keys]:
        del page.data[key], page.spots[key,]


def filled(files: Mapping[str, Mapping[str, Any]]) -> list[Filled]:
    """The sheets of one or more kinds of file, by kind."""
    whole = {key: data[key] for kind, data in files.items() for key in _LINES[kind] if data.get(key) is not None}
    each: list[tuple[Layout, Iterable[Cells]]] = [(ABOUT, ABOUT.rows(whole))]
    for kind, data in files.items():
        each += [(layout, layout.rows(data.get(str(at[0])) if at else data)) for layout, at in _OF_KIND[kind]]
    return [_filled(layout, rows, system_of(whole)) for layout, rows in each]


def _filled(layout: Layout, rows: Iterable[Cells], units: System | None) -> Filled:
    """A sheet to write; of the loads of charts only as many as are filled, three at least."""
    cells_of = [{one: cells.written(one.reads, row.get(one.head)) for one in layout.headings} for row in rows]
    loads = [one for one in layout.headings if one.reads == "load"]
    last = max((n for n, load in enumerate(loads) for row in cells_of if row[load] is not None), default=2)
    headings = tuple(one for one in layout.headings if one not in loads[max(2, last) + 1 :])
    shown = [[row[heading] for heading in headings] for row in cells_of]
    return layout.name, headings, [[one.headed(units) for one in headings], *shown]
