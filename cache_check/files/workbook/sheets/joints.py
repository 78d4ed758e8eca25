"""The sheets "connectors" and "mates": which ends meet, and the pin that a joint takes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cache_check.files.place import Route
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.layout import Cells, Heading, Layout, named, of_entry
from cache_check.files.workbook.sheet import Sheet


class _Pins(Layout):
    """An entry of the mapping is the pin itself."""

    def read(self, sheet: Sheet, draft: Draft, at: Route) -> None:
        for row in sheet.rows():
            route = named(sheet, draft, at, row, "connector")
            if route is not None:
                draft.put(route, row.get("pin"), row.at("pin"))


class _Mates(Layout):
    """The rows are a list."""

    def read(self, sheet: Sheet, draft: Draft, at: Route) -> None:
        for number, row in enumerate(sheet.rows()):
            if {"one end", "other end"} <= {heading.head for heading in row.spots}:
                draft.put((*at, number), {}, row.spot)
                row.put(draft, (*at, number), self.headings)
            else:
                sheet.fault(row.spot, "this row has only one end", "write both, or clear the row")

    def rows(self, data: Any) -> Iterator[Cells]:
        return (of_entry(mate, self.headings) for mate in data or ())


CONNECTORS = _Pins(
    "connectors",
    "Further connectors and the pin that each takes. The connector of the cache itself takes the joint pin.",
    (
        Heading("connector", ("connector",), note="without plug or socket", wide=18),
        Heading("pin", ("pin",), note="a type of kind pin, or captive", wide=18),
    ),
    short="pin",
)
MATES = _Mates(
    "mates",
    "Connectors of unlike name that mate all the same.",
    (
        Heading("one end", ("ends", 0), wide=18),
        Heading("other end", ("ends", 1), wide=18),
        Heading("pin", ("pin",), note="a type of kind pin; blank is captive", wide=18),
    ),
)
