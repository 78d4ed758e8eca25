"""The sheet "ready sets": assemblies that are left built."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cache_check.files.place import Route
from cache_check.files.workbook.columns import Column, Table
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.sheets.entry import Cells, entries, named, of_entry, put_row
from cache_check.files.workbook.table import Sheet

TABLE = Table(
    "ready sets",
    "Assemblies left built on the rig: their parts, from the ground to the load.",
    (
        Column("ready set", ("ready set",), note="its name", wide=12),
        Column("parts", ("parts",), "list", "from the ground to the load, parted by semicolons", wide=44),
        Column("where", ("where",), note="the compartment it lies in", wide=16),
        Column("serials", ("serials",), "list", "serials of its pieces, parted by semicolons", wide=24),
    ),
)


def read(sheet: Sheet, draft: Draft, at: Route) -> None:
    """Put each row at its set's name."""
    for row in sheet.rows():
        route = named(sheet, draft, at, row, "ready set")
        if route is not None:
            put_row(draft, route, row, TABLE.columns[1:])


def rows(ready_sets: Any) -> Iterator[Cells]:
    """A row for each ready set."""
    for name, entry in entries(ready_sets).items():
        yield {"ready set": name} | of_entry(entry, TABLE)
