"""A sheet as cells, whichever file it came from; where each stood; and the data that is put together from them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import field
from datetime import date, datetime, time, timedelta
from typing import Any

from cache_check.errors import Mistake
from cache_check.files.mistakes import Page, Route, Spot, shown_route
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


class TablePage(Page):
    """A workbook or folder of CSV files that was read: its data, put together from cells, and where each came from."""

    def __init__(self, name: str, sha256: str, start: Spot) -> None:
        super().__init__(name, sha256, [], {(): start})
        self.data: dict[str, Any] = {}

    def put(self, route: Route, value: Any, cell: Spot) -> None:
        """Set a value at a route; what lies on the way is made, placed at the same cell."""
        holder: Any = self.data
        for n, step in enumerate(route, 1):
            if route[:n] not in self.spots:
                fresh = value if n == len(route) else [] if isinstance(route[n], int) else {}
                if isinstance(holder, list):
                    holder.append(fresh)
                else:
                    holder[step] = fresh
                self._place(route[:n], fresh, cell)
            holder = holder[step]

    def _place(self, route: Route, value: Any, cell: Spot) -> None:
        """Place a value, and whatever is inside it, at the cell that it came from."""
        self.spots[route] = cell
        for key, one in (
            value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
        ):
            self._place((*route, key), one, cell)

    def has(self, route: Route) -> bool:
        """Whether anything stands at a route."""
        return route in self.spots

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
        del self.data[key], self.spots[key,]

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
        return Mistake(
            self.name, what, right, shown_route(route), spot.order * _ROWS + spot.line, spot.column,
            cell=f"{spot.sheet}{cell}",
        )  # fmt: skip
