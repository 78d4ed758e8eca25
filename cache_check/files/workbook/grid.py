"""A sheet as cells, that of a CSV file too; where each stood; and the data that is put together from them."""

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import field
from datetime import date, datetime, time, timedelta
from functools import reduce
from hashlib import sha256
from operator import getitem
from pathlib import Path
from typing import Any

from cache_check.errors import Mistake, NotReadError, refused
from cache_check.files.mistakes import Page, Route, Spot, shown_route
from cache_check.files.text import decoded, read_bytes
from cache_check.frozen import dataclass

MOST_ROWS = 20_000
MOST_COLUMNS = 200
LONGEST_CELL = 10_000
MOST_FILES = 60
_MARKS = "=+-@\t\r'"  # what a spreadsheet takes for the start of a formula in a CSV file, and what prevents it
_TELLING = 40  # so many lines tell the separator of a file
_ROWS = 10_000_000  # more than any sheet has, so that sheet and row make one number to sort by
Raw = str | int | float | bool | date | datetime | time | timedelta | NotReadError | None
"""What a cell holds, an error where that cannot mean anything.  A ``datetime`` is also a ``date``."""


@dataclass
class Grid:
    """A sheet: names, rows that are not blank, each with its number from 1, and the day from which dates count."""

    name: str
    label: str
    rows: list[tuple[int, list[Raw]]] = field(default_factory=list)
    epoch: date | None = None
    # Rows and columns, from 1, of cells that have their words from a cell merged over them.
    spread: set[tuple[int, int]] = field(default_factory=set)
    comments: list[tuple[int, str]] = field(default_factory=list)  # rows and names of cells with a comment

    def add(self, number: int, cells: Sequence[Raw], file: object) -> bool:
        """Add a row unless it is blank; whether it was added.  InputError where it lies out of bounds."""
        if number > MOST_ROWS:
            right = "delete the rows below the data and save it again"
            raise refused(file, f"{self.label} goes on below row {MOST_ROWS:,}", right)
        if not all(map(blank, cells[MOST_COLUMNS:])):
            raise refused(file, f"{self.label} goes on beyond column {MOST_COLUMNS}", "delete what is there")
        long = NotReadError("is too long a text", "shorten it")
        kept = [long if isinstance(one, str) and len(one) > LONGEST_CELL else one for one in cells[:MOST_COLUMNS]]
        if all(map(blank, kept)):
            return False
        self.rows.append((number, kept))
        return True


def blank(value: Raw) -> bool:
    """Whether a cell holds nothing but spaces."""
    return value is None or (isinstance(value, str) and not value.strip(" \t\r\n\u00a0"))


def column_letters(column: int) -> str:
    """The letters of a column that counts from 1, two at most: "A", "Z", "AA"."""
    tens, ones = divmod(column - 1, 26)
    return chr(64 + tens) * bool(tens) + chr(65 + ones)


class TablePage(Page):
    """A workbook or folder of CSV files that was read: its data, put together from cells, and where each came from."""

    def __init__(self, name: str, sha256: str, start: Spot) -> None:
        super().__init__(name, sha256, [], lambda: {(): start}, {})
        self.data: dict[str, Any] = {}

    def put(self, route: Route, value: Any, cell: Spot) -> None:
        """Set a value at a route; what lies on the way, and blanks before it in a list, are placed at the same cell."""
        holder: Any = self.data
        for n, step in enumerate(route, 1):
            if route[:n] not in self.spots:
                fresh = value if n == len(route) else [] if isinstance(route[n], int) else {}
                if isinstance(holder, dict):
                    holder[step] = fresh
                else:
                    self.spots |= {(*route[: n - 1], gap): cell for gap in range(len(holder), int(step))}
                    holder += [None] * (int(step) - len(holder)) + [fresh]
                self._place(route[:n], fresh, cell)
            holder = holder[step]

    def _place(self, route: Route, value: Any, cell: Spot) -> None:
        self.spots[route] = cell
        inside = value.items() if isinstance(value, dict) else enumerate(value if isinstance(value, list) else ())
        for key, one in inside:
            self._place((*route, key), one, cell)

    def value(self, route: Route) -> Any:
        """What stands at a route; None where nothing does."""
        whole: Any = self.data
        return reduce(getitem, route, whole) if route in self.spots else None

    def at(self, line: int, column: int, what: str, right: str = "", route: str = "") -> Mistake:
        """A mistake about the whole file: tables have no lines."""
        return Mistake(self.name, what, right, route)

    def mistake(self, route: Route, what: str, right: str = "") -> Mistake:
        """A mistake at the cell of a route, or of as much of it as is there."""
        walked = self.nearest(route)
        return self.in_cell(self.spots[walked], what, right, walked)

    def in_cell(self, spot: Spot, what: str, right: str = "", route: Iterable[str | int] = ()) -> Mistake:
        """A mistake at a cell, of which line and column are its row and column, counted from 1."""
        cell = f", cell {column_letters(spot.column)}{spot.line}" if spot.line else ""
        line = spot.order * _ROWS + spot.line
        return Mistake(self.name, what, right, shown_route(route), line, spot.column, cell=f"{spot.sheet}{cell}")


def read_grids(folder: Path) -> tuple[list[Grid], str]:
    """The CSV files of a folder as grids, and one SHA-256 over names and bytes; InputError as of ``read_grid``."""
    try:
        paths = sorted(path for path in folder.iterdir() if path.suffix.casefold() in (".csv", ".tsv"))
    except OSError as error:
        raise refused(folder, f"cannot be read: {(error.strerror or '').lower()}") from None
    if not paths:
        raise refused(folder, "is a folder without CSV files", "name a file, or a folder that has about.csv")
    if len(paths) > MOST_FILES:
        raise refused(folder, f"has {len(paths)} CSV files", f"{MOST_FILES} at most are read")
    digest = sha256()
    grids = []
    for path in paths:
        raw = read_bytes(path, str(path))
        digest.update(path.name.encode() + b"\0" + sha256(raw).digest())
        grids.append(read_grid(raw, path))
    return grids, digest.hexdigest()


def read_grid(raw: bytes, path: Path) -> Grid:
    """A CSV file as a grid, parted by what most of its first lines hold; InputError of no UTF-8, or out of bounds."""
    text = decoded(raw, str(path), "save it as CSV UTF-8")
    lines = [line for line in text.splitlines() if line.strip()][:_TELLING]
    # A name may hold more semicolons than its line has commas; not every line does.
    mark = max(",;\t", key=lambda mark: (sum(mark in line for line in lines), lines[0].count(mark) if lines else 0))
    grid = Grid(path.stem.replace("_", " ").replace("-", " "), path.name)
    try:
        for number, row in enumerate(csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True), 1):
            grid.add(number, [cell[1:] if cell[:1] == "'" and cell[1:2] in [*_MARKS] else cell for cell in row], path)
    except csv.Error as error:
        raise refused(path, f"is not a CSV file: {error}", "save it as CSV UTF-8") from None
    return grid


def csv_text(rows: Sequence[Sequence[Raw]]) -> str:
    """Rows as CSV text; what a spreadsheet would take for a formula gets an apostrophe before it."""
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(map(_written, row) for row in rows)
    return out.getvalue()


def _written(value: Raw) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return format(value, ".15g")
    if isinstance(value, date):
        return value.isoformat()
    text = str(value)
    return f"'{text}" if text[:1] and text[0] in _MARKS else text
