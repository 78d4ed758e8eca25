"""Where everything stood in tables: a route of keys to sheet and cell."""

from __future__ import annotations

from collections.abc import Iterable

from cache_check.errors import Mistake
from cache_check.files.place import Page, Route, Spot, shown_route
from cache_check.frozen import dataclass

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


@dataclass(slots=True)
class CellSpot(Spot):
    """A cell: ``line`` is its row and ``column`` its column, both counted from 1."""

    sheet: str = ""
    order: int = 0


class TablePage(Page):
    """A workbook or folder of CSV files that was read, as the page that ``Reading`` asks."""

    def at(self, line: int, column: int, what: str, right: str = "", route: str = "") -> Mistake:
        """A mistake about the whole file: tables have no lines."""
        return Mistake(self.name, what, right, route)

    def mistake(self, route: Route, what: str, right: str = "") -> Mistake:
        """A mistake at the cell of a route."""
        spot, walked = self.find(route)
        assert isinstance(spot, CellSpot)
        return self.in_cell(spot, what, right, walked)

    def in_cell(self, spot: CellSpot, what: str, right: str = "", route: Iterable[str | int] = ()) -> CellMistake:
        """A mistake at a cell."""
        return CellMistake(
            self.name, what, right, shown_route(route), spot.order * _ROWS + spot.line, spot.column,
            sheet=spot.sheet, cell=f"{column_letters(spot.column)}{spot.line}" if spot.line else "",
        )  # fmt: skip
