"""The sheet "prices": what a quote asks for each part."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cache_check.files.place import Route
from cache_check.files.workbook.columns import Column, Table
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.sheets.entry import Cells, entries, named, of_entry, put_row
from cache_check.files.workbook.table import Sheet

TABLE = Table(
    "prices",
    "What each part costs. The price is for one piece, or for the pack where there is one.",
    (
        Column("part", ("part",), wide=18),
        Column("price", ("price",), "number", "for one piece, or for the pack"),
        Column("pack", ("pack",), "number", "pieces in a pack; blank is 1"),
        Column("minimum", ("minimum",), "number", "fewest pieces in an order; blank is 1"),
        Column("fixed", ("fixed",), "number", "paid once if any are ordered, as freight"),
        Column("note", ("note",), wide=24),
    ),
)


def read(sheet: Sheet, draft: Draft, at: Route) -> None:
    """Put each row at its part's name."""
    for row in sheet.rows():
        route = named(sheet, draft, at, row, "part")
        if route is not None:
            put_row(draft, route, row, TABLE.columns[1:])


def rows(parts: Any) -> Iterator[Cells]:
    """A row for each price."""
    for name, entry in entries(parts).items():
        yield {"part": name} | of_entry(entry if isinstance(entry, dict) else {"price": entry}, TABLE)
