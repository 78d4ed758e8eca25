"""The sheet "situation": one situation on scene, a line for each thing known of it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cache_check.files.place import Route
from cache_check.files.words import did_you_mean, listed, shown
from cache_check.files.workbook import cells, cells_out
from cache_check.files.workbook.columns import Column, Table, folded
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.grid import blank
from cache_check.files.workbook.sheets.entry import Cells
from cache_check.files.workbook.table import Sheet
from cache_check.model.situation import Situation

TABLE = Table(
    "situation",
    "One situation. One line each; several values are parted by semicolons, the three of an anchor by commas.",
    (Column("what", ("what",), wide=20), Column("value", ("value",), wide=34)),
)
_FLAGS = ("one_end_pivots", "sure")
_TRIPLES = ("anchors",)
_TEXTS = ("title", "why")


def _lines() -> dict[str, str]:
    """The names of the entries, by the head that stands for each."""
    return {folded(name): name for name in Situation.model_fields}


def read(sheet: Sheet, draft: Draft, at: Route) -> None:
    """Put every line at its entry."""
    lines = _lines()
    for row in sheet.rows():
        head = row.get("what")
        name = lines.get(folded(str(head))) if head else None
        spot = row.at("value")
        if name is None:
            right = did_you_mean(str(head or ""), lines) or f"the lines are {listed(lines)}"
            sheet.fault(row.at("what"), f"{shown(head)} is not a line here", right)
        elif draft.has((*at, name)):
            sheet.fault(spot, f"{head!r} is written twice", "keep one of them")
        elif "value" in [column.head for column in row.values]:
            _put(sheet, draft, (*at, name), name, row.get("value"), row.at("value"))


def _put(sheet: Sheet, draft: Draft, route: Route, name: str, written: Any, spot: Any) -> None:
    try:
        draft.put(route, _value(sheet, name, written), spot)
    except cells.NotReadError as error:
        sheet.fault(spot, f"{name.replace('_', ' ')}: {error.what}", error.right)


def _value(sheet: Sheet, name: str, written: str) -> Any:
    if name in _TEXTS:
        return written
    if name in _FLAGS:
        return cells.READERS["flag"](written, sheet.grid)
    if name in _TRIPLES:
        places = [place for place in written.split(";") if not blank(place)]
        return [[cells.READERS["number"](one, sheet.grid) for one in place.split(",")] for place in places]
    value = cells.READERS["value"](written, sheet.grid)
    return [cells.READERS["number"](one, sheet.grid) for one in value] if isinstance(value, list) else value


def rows(data: Any) -> Iterator[Cells]:
    """A line for each entry that is there."""
    for name in Situation.model_fields:
        value = data.get(name)
        if value is None:
            continue
        if name in _TRIPLES:
            text: Any = "; ".join(", ".join(map(str, _triple(place))) for place in value)
        elif isinstance(value, list):
            text = "; ".join(map(str, value)) + (";" if len(value) == 1 else "")
        else:
            text = cells_out.written("flag" if name in _FLAGS else "text", value)
        yield {"what": name.replace("_", " "), "value": text}


def _triple(place: Any) -> list[Any]:
    return [place[axis] for axis in "xyz"] if isinstance(place, dict) else list(place)
