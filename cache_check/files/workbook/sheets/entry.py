"""What the sheets share: an entry that is one row, and the way a row's values reach their routes."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from cache_check.files.place import Route
from cache_check.files.workbook.columns import Column, Table
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.table import Row, Sheet

Cells = dict[str, Any]
"""A row to write: plain values by column head."""


def put_row(draft: Draft, at: Route, row: Row, columns: Iterable[Column]) -> None:
    """Put the values of a row at their routes below ``at``."""
    for column in columns:
        if column in row.values:
            draft.put((*at, *column.route), row.values[column], row.spots[column])


def named(sheet: Sheet, draft: Draft, at: Route, row: Row, head: str) -> Route | None:
    """The route of the entry that a row names; None, with a mistake, where it names none or one that is there."""
    name = row.get(head)
    if not name:
        if not any(column.head == head for column in row.spots):
            sheet.fault(row.spot, f"this row has no {head!r}", "write it, or clear the row")
        return None
    route = (*at, str(name))
    if draft.has(route):
        sheet.fault(row.at(head), f"{name!r} is written twice", "keep one of them")
        return None
    draft.put(route, {}, row.at(head))
    return route


def of_entry(entry: Any, table: Table, skip: int = 1) -> Cells:
    """The values of an entry by column head; the first ``skip`` columns are left to the caller."""
    found: Cells = {}
    for column in table.columns[skip:]:
        value = entry
        for step in column.route:
            value = _step(value, step)
        if value is not None:
            found[column.head] = value
    return found


def _step(value: Any, step: str | int) -> Any:
    if isinstance(value, dict):
        return value.get(str(step))
    if isinstance(value, list) and isinstance(step, int) and step < len(value):
        return value[step]
    return None


def entries(data: Any) -> dict[str, Any]:
    """A mapping, or an empty one where there is none."""
    return data if isinstance(data, dict) else {}
