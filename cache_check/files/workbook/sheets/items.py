"""The sheet "items": pieces with serials; they are among the counts of the sheet "parts"."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args

from cache_check.files.place import Route
from cache_check.files.words import did_you_mean
from cache_check.files.workbook.columns import Column, Table
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.sheets.entry import Cells, entries, of_entry, put_row
from cache_check.files.workbook.table import Row, Sheet
from cache_check.model.cache import Status

TABLE = Table(
    "items",
    "Pieces with serials, if you keep them; the counts of parts hold them. Blank is as parts or about have it.",
    (
        Column("part", ("part",), note="a part that the sheet parts counts", wide=18),
        Column("serial", ("serial",), note="as on its label", wide=14),
        Column("where", ("where",), note="the place it lies in", wide=16),
        Column("status", ("status",), note="blank is in service", choices=get_args(Status)),
        Column("acquired", ("acquired",), "date", "the day on its label; blank is as parts has it"),
        Column("inspected", ("inspected",), "date", "the last inspection; blank is as parts has it"),
        Column("expires", ("expires",), "date", "its last day of use, if it has one"),
        Column("label", ("label",), note="blank is as parts has it", choices=("legible", "unreadable", "unknown")),
        Column("points usable", ("points_usable",), "number", "base: attachment points fit for use"),
        Column("measured", ("measured",), "length", "chain: the thinnest place of the worst link"),
        Column("condition", ("condition",), note="as found", wide=24),
        Column("tag", ("tag",), note="number of the tag it bears; tagged is not used"),
        Column("note", ("note",), wide=24),
    ),
)


def read(sheet: Sheet, draft: Draft, at: Route) -> None:
    """Put each row into the list of its part."""
    known = draft.at(at) if draft.has(at) else {}
    for row in sheet.rows():
        part = _part(sheet, row, known)
        if part is None:
            continue
        route = (*at, part, "items")
        number = len(draft.at(route)) if draft.has(route) else 0
        draft.put((*route, number), {}, row.at("serial"))
        put_row(draft, (*route, number), row, TABLE.columns[1:])


def _part(sheet: Sheet, row: Row, known: dict[str, Any]) -> str | None:
    """The name under which the part of a row is counted."""
    name = row.get("part")
    if not name:
        if not any(column.head == "part" for column in row.spots):
            sheet.fault(row.spot, "this row has no 'part'", "write it, or clear the row")
        return None
    name = str(name)
    if name in known:
        return name
    short = [one for one in known if one.rpartition("/")[2] == name.rpartition("/")[2]]
    if len(short) == 1 and "" in (name.rpartition("/")[0], short[0].rpartition("/")[0]):
        return short[0]
    right = did_you_mean(name, known) or "count it in the sheet parts first"
    sheet.fault(row.at("part"), f"{name!r} has no row in the sheet parts", right)
    return None


def rows(parts: Any) -> Iterator[Cells]:
    """A row for each piece of every counted part."""
    for name, entry in entries(parts).items():
        for item in (entry.get("items") or ()) if isinstance(entry, dict) else ():
            yield {"part": name} | of_entry(item, TABLE)
