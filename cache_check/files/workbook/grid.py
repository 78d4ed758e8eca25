"""A sheet as cells, whichever file it came from; where each stood; and the data that is put together from them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import field
from datetime import date, datetime, time, timedelta
from typing import Any

from cache_check.errors import Mistake
from cache_check.files.place import Page, Route, Spot, shown_route
from cache_check.frozen import dataclass

MOST_ROWS = 20_000
MOST_COLUMNS = 200
LONGEST_CELL = 10_000


@dataclass(frozen=True)
class Bad:
    """A cell that cannot mean anything: what is wrong, and what would be right."""

    what: str
    right: str = ""


Raw = str | int | float | bool | date | datetime | time | timedelta | Bad | None
"""What a cell holds.  A ``datetime`` is also a ``date``."""


@dataclass
class Grid:
    """A sheet: its name, what people call it, and its rows that are not blank, each with its number from 1."""

    name: str
    label: str
    rows: list[tuple[int, list[Raw]]] = field(default_factory=list)
    epoch_1904: bool = False
    dates_by_number: bool = False


def blank(value: Raw) -> bool:
    """Whether a cell holds nothing but spaces."""
    return value is None or (isinstance(value, str) and not value.strip(" \t\r\n\u00a0"))


_ROWS = 10_000_000
"""More than any sheet has, so that sheet and row make one number to sort by."""


def column_letters(column: int) -> str:
    """The letters of a column that counts from 1: "A", "Z", "AA"."""
    letters = ""
    while column > 0:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


@dataclass(frozen=True)
class CellMistake(Mistake):
    """A mistake in a cell of a sheet.  ``line`` and ``column`` only sort; people are told sheet and cell."""

    sheet: str = ""
    cell: str = ""

    def __str__(self) -> str:
        place = ", ".join(text for text in (self.sheet, f"cell {self.cell}" if self.cell else "") if text)
        route = f" {self.route}:" if self.route else ""
        right = f"; {self.right}" if self.right else ""
        return f"{self.file}: {place}:{route} {self.what}{right}"


@dataclass(frozen=True)
class CellSpot:
    """A cell: ``line`` is its row and ``column`` its column, both counted from 1; ``order`` is its sheet's place."""

    line: int
    column: int
    sheet: str
    order: int


class TablePage(Page):
    """A workbook or folder of CSV files that was read: its data, put together from cells, and where each came from."""

    def __init__(self, name: str, sha256: str, start: CellSpot) -> None:
        super().__init__(name, sha256, [], Spot(0, 1))
        self.data: dict[str, Any] = {}
        self.cells: dict[Route, CellSpot] = {(): start}

    def put(self, route: Route, value: Any, cell: CellSpot) -> None:
        """Set a value at a route; what lies on the way is made, placed at the same cell."""
        holder: Any = self.data
        for n, step in enumerate(route, 1):
            if route[:n] not in self.cells:
                fresh = value if n == len(route) else [] if isinstance(route[n], int) else {}
                if isinstance(holder, list):
                    holder.append(fresh)
                else:
                    holder[step] = fresh
                self._place(route[:n], fresh, cell)
            holder = holder[step]

    def _place(self, route: Route, value: Any, cell: CellSpot) -> None:
        """Place a value, and whatever is inside it, at the cell that it came from."""
        self.cells[route] = cell
        for key, one in (
            value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
        ):
            self._place((*route, key), one, cell)

    def has(self, route: Route) -> bool:
        """Whether anything stands at a route."""
        return route in self.cells

    def value(self, route: Route) -> Any:
        """What stands at a route that is there."""
        holder: Any = self.data
        for step in route:
            holder = holder[step]
        return holder

    def count(self, route: Route) -> int:
        """How many entries the list at a route has; 0 where there is none."""
        return len(self.value(route)) if self.has(route) else 0

    def drop(self, key: str) -> None:
        """Take out what stands under a key."""
        del self.data[key], self.cells[key,]

    def at(self, line: int, column: int, what: str, right: str = "", route: str = "") -> Mistake:
        """A mistake about the whole file: tables have no lines."""
        return Mistake(self.name, what, right, route)

    def mistake(self, route: Route, what: str, right: str = "") -> Mistake:
        """A mistake at the cell of a route, or of as much of it as is there."""
        walked: Route = ()
        for part in route:
            walked = (*walked, part) if (*walked, part) in self.cells else walked
        return self.in_cell(self.cells[walked], what, right, walked)

    def in_cell(self, spot: CellSpot, what: str, right: str = "", route: Iterable[str | int] = ()) -> CellMistake:
        """A mistake at a cell."""
        return CellMistake(
            self.name, what, right, shown_route(route), spot.order * _ROWS + spot.line, spot.column,
            sheet=spot.sheet, cell=f"{column_letters(spot.column)}{spot.line}" if spot.line else "",
        )  # fmt: skip
