"""Data being put together from cells, with the cell of each value kept."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from cache_check.files.place import Route, Spot
from cache_check.files.workbook.place import CellSpot


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
