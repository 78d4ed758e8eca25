"""The sheets "connectors" and "mates": which ends meet, and the pin that a joint takes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cache_check.files.place import Route
from cache_check.files.workbook.columns import Column, Table
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.sheets.entry import Cells, entries, of_entry, put_row
from cache_check.files.workbook.table import Sheet

CONNECTORS = Table(
    "connectors",
    "Further connectors and the pin that each takes. The connector of the cache itself takes the joint pin.",
    (
        Column("connector", ("connector",), note="without plug or socket", wide=18),
        Column("pin", ("pin",), note="a type of kind pin, or captive", wide=18),
    ),
)
MATES = Table(
    "mates",
    "Connectors of unlike name that mate all the same.",
    (
        Column("one end", ("ends", 0), wide=18),
        Column("other end", ("ends", 1), wide=18),
        Column("pin", ("pin",), note="a type of kind pin; blank is captive", wide=18),
    ),
)


def read_connectors(sheet: Sheet, draft: Draft, at: Route) -> None:
    """Put each pin at its connector's name."""
    for row in sheet.rows():
        name = row.get("connector")
        if not name:
            sheet.fault(row.spot, "this row has no 'connector'", "write it, or clear the row")
        elif draft.has((*at, str(name))):
            sheet.fault(row.at("connector"), f"{name!r} is written twice", "keep one of them")
        else:
            draft.put((*at, str(name)), row.get("pin"), row.at("pin"))


def read_mates(sheet: Sheet, draft: Draft, at: Route) -> None:
    """Put each row into the list of mates."""
    for number, row in enumerate(sheet.rows()):
        heads = [column.head for column in row.spots]
        if "one end" not in heads or "other end" not in heads:
            sheet.fault(row.spot, "this row has only one end", "write both, or clear the row")
        else:
            draft.put((*at, number), {}, row.spot)
            put_row(draft, (*at, number), row, MATES.columns)


def connector_rows(connectors: Any) -> Iterator[Cells]:
    """A row for each connector."""
    for name, pin in entries(connectors).items():
        yield {"connector": name, "pin": pin}


def mate_rows(mates: Any) -> Iterator[Cells]:
    """A row for each mate."""
    for mate in mates or ():
        yield of_entry(mate, MATES, skip=0)
