"""The sheet "parts": how many of each type are on the rig, and how many of them are out."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args

from cache_check.files.place import Route
from cache_check.files.workbook.columns import Column, Table
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.sheets.entry import Cells, entries, named, of_entry, put_row
from cache_check.files.workbook.table import Sheet
from cache_check.model.cache import Label, Status

OUT: tuple[Status, ...] = tuple(status for status in get_args(Status) if status != "in service")
TABLE = Table(
    "parts",
    "What is on the rig. Write unknown where nobody counted: blank is never taken as fine.",
    (
        Column("part", ("part",), note="a type of the sheet before, or of a family", wide=18),
        Column("count", ("count",), "number", "all pieces, those with serials too; unknown where nobody counted"),
        Column("where", ("where",), note="the place they lie in", wide=16),
        Column("inspected", ("inspected",), "date", "their last inspection, if not as the sheet about has it"),
        Column("label", ("label",), note="can they be read? if not as about has it", choices=get_args(Label)),
        Column("made", ("made",), "date", "straps: the day of the oldest, if not as about has it"),
        *(Column(status, ("out", status), "number", f"pieces without serials: {status}", wide=11) for status in OUT),
    ),
)


def read(sheet: Sheet, draft: Draft, at: Route) -> None:
    """Put each row at its part's name; a row with a count alone is a count alone."""
    for row in sheet.rows():
        route = named(sheet, draft, at, row, "part")
        if route is not None:
            put_row(draft, route, row, TABLE.columns[1:])


def rows(parts: Any) -> Iterator[Cells]:
    """A row for each counted part."""
    for name, entry in entries(parts).items():
        whole = entry if isinstance(entry, dict) else {"count": entry}
        found = of_entry(whole, TABLE)
        yield {"part": name, "count": "unknown"} | found
