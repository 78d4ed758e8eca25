"""The sheet "compartments": where ready sets lie."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cache_check.files.place import Route
from cache_check.files.workbook.columns import Column, Table
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.sheets.entry import Cells, entries, named, of_entry, put_row
from cache_check.files.workbook.table import Sheet

TABLE = Table(
    "compartments",
    "Where ready sets lie. Clearance is what the latch and your hands need.",
    (
        Column("compartment", ("compartment",), note="its name", wide=16),
        Column("length", ("length",), "length", "clear length inside"),
        Column("width", ("width",), "length", "clear width inside, if you know it"),
        Column("height", ("height",), "length", "clear height inside, if you know it"),
        Column("clearance", ("clearance",), "length", "what must stay free"),
        Column("carries", ("carries",), "mass", "the most it may carry, if it says so"),
        Column("diagonal", ("diagonal",), "flag", "whether a set may lie across", ("yes", "no")),
    ),
)


def read(sheet: Sheet, draft: Draft, at: Route) -> None:
    """Put each row at its compartment's name."""
    for row in sheet.rows():
        route = named(sheet, draft, at, row, "compartment")
        if route is not None:
            put_row(draft, route, row, TABLE.columns[1:])


def rows(compartments: Any) -> Iterator[Cells]:
    """A row for each compartment."""
    for name, entry in entries(compartments).items():
        yield {"compartment": name} | of_entry(entry, TABLE)
