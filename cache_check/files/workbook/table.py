"""A grid matched with the columns it should have: rows by column, and everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from cache_check.files.words import did_you_mean, listed, shown
from cache_check.files.workbook import cells
from cache_check.files.workbook.columns import Column, Table
from cache_check.files.workbook.grid import Grid, Raw, blank
from cache_check.files.workbook.place import CellSpot, TablePage
from cache_check.units import BARE, System

OTHER_TEXT = "#"
"""A column whose head begins with this is the owner's own and is not read."""


@dataclass
class Row:
    """One row: its number and the value of each column that is not blank there, with its cell."""

    number: int
    values: dict[Column, Any]
    spots: dict[Column, CellSpot]
    spot: CellSpot

    def get(self, head: str) -> Any:
        """The value under a head, None where the cell is blank."""
        return next((value for column, value in self.values.items() if column.head == head), None)

    def at(self, head: str) -> CellSpot:
        """The cell under a head, else the row's first."""
        return next((spot for column, spot in self.spots.items() if column.head == head), self.spot)


class Sheet:
    """A grid read by a table's columns; mistakes go to the page."""

    def __init__(self, grid: Grid, table: Table, page: TablePage, order: int, units: System | None) -> None:
        self.grid = grid
        self.table = table
        self.page = page
        self.order = order
        self.units = units

    def spot(self, line: int, column: int) -> CellSpot:
        """A cell of this sheet."""
        return CellSpot(line, column, None, self.grid.label, self.order)

    def fault(self, spot: CellSpot, what: str, right: str = "") -> None:
        """Note a mistake in a cell."""
        self.page.mistakes.append(self.page.in_cell(spot, what, right))

    def rows(self) -> Iterator[Row]:
        """The rows below the heads, blank ones left out."""
        self._skip_banner()
        if not self.grid.rows:
            return
        line, heads = self.grid.rows[0]
        columns = self._columns(line, heads)
        for number, row in self.grid.rows[1:]:
            found = self._row(number, row, columns)
            if found.values or found.spots:
                yield found

    def _skip_banner(self) -> None:
        """Leave out rows with a single filled cell that stand over the heads: a title, say."""
        while len(self.grid.rows) > 1:
            filled = [raw for raw in self.grid.rows[0][1] if not blank(raw)]
            if len(filled) != 1 or (isinstance(filled[0], str) and self.table.by_head(filled[0])):
                return
            self.grid.rows = self.grid.rows[1:]

    def _columns(self, line: int, heads: list[Raw]) -> dict[int, tuple[Column, str]]:
        """The column and unit of each place that has a head."""
        columns: dict[int, tuple[Column, str]] = {}
        for place, raw in enumerate(heads):
            if blank(raw):
                continue
            spot = self.spot(line, place + 1)
            found = self._headed(spot, raw)
            if found is None:
                continue
            if found[0] in [column for column, _ in columns.values()]:
                self.fault(spot, f"the column {found[0].head!r} is there twice", "keep one of them")
                continue
            columns[place] = found
        return columns

    def _headed(self, spot: CellSpot, raw: Raw) -> tuple[Column, str] | None:
        try:
            text = cells.plain(raw)
        except cells.NotReadError as error:
            self.fault(spot, error.what, error.right)
            return None
        if text.startswith(OTHER_TEXT):
            return None
        found = self.table.by_head(text)
        if found is None:
            heads = [column.head for column in self.table.columns]
            right = did_you_mean(text.partition(",")[0], heads) or f"the columns here are {listed(heads)}"
            self.fault(spot, f"{shown(text)} is not a column here", f"{right}; begin a column of your own with #")
        return found

    def _row(self, number: int, row: list[Raw], columns: dict[int, tuple[Column, str]]) -> Row:
        found = Row(number, {}, {}, self.spot(number, 1))
        for place, raw in enumerate(row):
            if blank(raw):
                continue
            spot = self.spot(number, place + 1)
            if place not in columns:
                if not self._own(place):
                    self.fault(spot, "stands in a column without a head", "write the head, or clear the cell")
                continue
            column, unit = columns[place]
            found.spots[column] = spot
            try:
                found.values[column] = self._value(column, unit, raw)
            except cells.NotReadError as error:
                self.fault(spot, f"{column.head}: {error.what}", error.right)
        return found

    def _own(self, place: int) -> bool:
        """Whether a column has a head that is not read: the owner's own, or one that was refused already."""
        heads = self.grid.rows[0][1]
        return place < len(heads) and not blank(heads[place])

    def _value(self, column: Column, unit: str, raw: Raw) -> Any:
        value = cells.READERS[column.reads](raw, self.grid)
        if not unit or column.dimension is None or not _bare(value):
            return value
        own = BARE[column.dimension][self.units] if self.units else ""
        return value if unit == own.casefold() else f"{value} {_CASED.get(unit, unit)}"


_CASED = {"kn": "kN", "n": "N", "dan": "daN"}


def _bare(value: Any) -> bool:
    """Whether a quantity is a number without a unit of its own."""
    if isinstance(value, int):
        return True
    return isinstance(value, str) and bool(value) and not any(one.isalpha() or one in "'\"″′" for one in value)
