"""Where everything stood in tables, a route of keys to sheet and cell; and data being put together from cells."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import field
from typing import Any

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


@dataclass
class Draft:
    """Plain data and, beside it, the tree of spots that ``Page`` looks routes up in."""

    root: CellSpot
    data: dict[str, Any] = field(default_factory=dict)

    def put(self, route: Route, value: Any, spot: CellSpot) -> None:
        """Set a value at a route; what lies on the way is made, placed at the same cell."""
        holder: Any = self.data
        place: Spot = self.root
        for step, after in zip(route, (*route[1:], None), strict=True):
            inside = place.inside if place.inside is not None else _like(step)
            place.inside = inside
            if not _has(holder, step):
                fresh = value if after is None else ([] if isinstance(after, int) else {})
                _add(holder, step, fresh)
                _add(inside, step, CellSpot(spot.line, spot.column, _inside(fresh, spot), spot.sheet, spot.order))
            holder = holder[step]
            place = inside[step]  # type: ignore[index]

    def has(self, route: Route) -> bool:
        """Whether anything stands at a route."""
        holder: Any = self.data
        for step in route:
            if not _has(holder, step):
                return False
            holder = holder[step]
        return True

    def at(self, route: Route) -> Any:
        """What stands at a route that is there."""
        holder: Any = self.data
        for step in route:
            holder = holder[step]
        return holder

    def count(self, route: Route) -> int:
        """How many entries the list at a route has; 0 where there is none."""
        return len(self.at(route)) if self.has(route) else 0

    def drop(self, key: str) -> None:
        """Take out what stands under a key."""
        del self.data[key]
        assert isinstance(self.root.inside, dict)
        del self.root.inside[key]


def _like(step: str | int) -> dict[str, Spot] | list[Spot]:
    return [] if isinstance(step, int) else {}


def _inside(value: Any, spot: CellSpot) -> dict[str, Spot] | list[Spot] | None:
    """The spots of what is inside a value that came from one cell: that cell."""
    here = (spot.line, spot.column)
    if isinstance(value, dict):
        return {key: CellSpot(*here, _inside(one, spot), spot.sheet, spot.order) for key, one in value.items()}
    if isinstance(value, list):
        return [CellSpot(*here, _inside(one, spot), spot.sheet, spot.order) for one in value]
    return None


def _has(holder: Any, step: str | int) -> bool:
    if isinstance(step, int):
        return isinstance(holder, list) and step < len(holder)
    return isinstance(holder, dict) and step in holder


def _add(holder: Any, step: str | int, value: Any) -> None:
    if isinstance(holder, list):
        assert step == len(holder)
        holder.append(value)
    else:
        holder[step] = value
