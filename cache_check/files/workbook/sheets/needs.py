"""The sheet "needs": the struts that each scene wants at once."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cache_check.files.place import Route
from cache_check.files.workbook.columns import Column, Table
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.sheets.entry import Cells, of_entry, put_row
from cache_check.files.workbook.table import Row, Sheet

_SCENE = Column("scene", (), note="its short name; blank goes on with the one above", wide=16)
_OF_SCENE = (
    Column("scene title", ("title",), note="in the first row of a scene", wide=28),
    Column("weight", ("weight",), "number", "how often it is met, beside the others"),
)
_OF_NEED = (
    Column("need", ("id",), note="its name within the scene", wide=16),
    Column("count", ("count",), "number", "how many struts"),
    Column("length", ("length",), "length", "one length, or from and to"),
    Column("from", ("from",), "length", "each strut covers from"),
    Column("to", ("to",), "length", "to this, without rebuilding"),
    Column("load", ("load",), "force", "what each strut must carry"),
    Column("factor", ("factor",), "factor", "design factor, as 2; blank is the policy's"),
    Column("restrained", ("restrained",), "flag", "no asks for no restraint", ("yes", "no")),
    Column("contact", ("contact",), note="what the head stands against, as edge; blank is not stated"),
    Column("note", ("note",), wide=24),
)
TABLE = Table(
    "needs",
    "The struts that a scene wants at once. Scenes are alternatives.",
    (_SCENE, *_OF_SCENE, *_OF_NEED),
)


def read(sheet: Sheet, draft: Draft, at: Route) -> None:
    """Put each row into the scene it names or goes on with."""
    scene: str | None = None
    for row in sheet.rows():
        scene = str(row.get("scene") or scene or "")
        if not scene:
            sheet.fault(row.spot, "this row has no 'scene'", "write its name, or clear the row")
            continue
        route = (*at, scene)
        if not draft.has(route):
            draft.put(route, {"needs": []}, row.at("scene"))
        _put_of_scene(sheet, draft, route, row)
        if any(column in row.spots for column in _OF_NEED):
            number = len(draft.at((*route, "needs")))
            draft.put((*route, "needs", number), {}, row.at("need"))
            put_row(draft, (*route, "needs", number), row, _OF_NEED)


def _put_of_scene(sheet: Sheet, draft: Draft, route: Route, row: Row) -> None:
    for column in _OF_SCENE:
        if column not in row.values:
            continue
        place = (*route, *column.route)
        if draft.has(place) and draft.at(place) != row.values[column]:
            what = f"{column.head!r} is not what an earlier row of this scene says"
            sheet.fault(row.spots[column], what, "write it in the first row only")
        elif not draft.has(place):
            draft.put(place, row.values[column], row.spots[column])


def rows(scenes: Any) -> Iterator[Cells]:
    """A row for each need of every scene."""
    for name, scene in (scenes or {}).items():
        first = {"scene": name} | of_entry(scene, Table("", "", _OF_SCENE), skip=0)
        for need in scene["needs"]:
            yield first | of_entry(need, Table("", "", _OF_NEED), skip=0)
            first = {"scene": name}
