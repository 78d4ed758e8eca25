"""The sheet "items": pieces with serials; they are among the counts of the sheet "parts"."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args

from cache_check.files.place import Route
from cache_check.files.words import did_you_mean
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.layout import Cells, Heading, Layout, entries, named, of_entry
from cache_check.files.workbook.sheet import Row, Sheet
from cache_check.model.cache import Label, Status


class _Items(Layout):
    def read(self, sheet: Sheet, draft: Draft, at: Route) -> None:
        """Put each row into the list of its part."""
        known = draft.at(at) if draft.has(at) else {}
        for row in sheet.rows():
            part = _part(sheet, draft, row, known)
            if part is not None:
                route = (*at, part, "items", draft.count((*at, part, "items")))
                draft.put(route, {}, row.at("serial"))
                row.put(draft, route, self.headings[1:])

    def rows(self, data: Any) -> Iterator[Cells]:
        """A row for each piece of every counted part."""
        for name, entry in entries(data).items():
            for item in (entry.get("items") or ()) if isinstance(entry, dict) else ():
                yield {"part": name} | of_entry(item, self.headings[1:])


def _part(sheet: Sheet, draft: Draft, row: Row, known: dict[str, Any]) -> str | None:
    """The name under which the part of a row is counted."""
    name = str(row.get("part") or "")
    if not name:
        named(sheet, draft, (), row, "part")
    if not name or name in known:
        return name or None
    short = [one for one in known if one.rpartition("/")[2] == name.rpartition("/")[2]]
    if len(short) == 1 and "" in (name.rpartition("/")[0], short[0].rpartition("/")[0]):
        return short[0]
    right = did_you_mean(name, known) or "count it in the sheet parts first"
    sheet.fault(row.at("part"), f"{name!r} has no row in the sheet parts", right)
    return None


LAYOUT = _Items(
    "items",
    "Pieces with serials, if you keep them; the counts of parts hold them. Blank is as parts or about have it.",
    (
        Heading("part", ("part",), note="a part that the sheet parts counts", wide=18),
        Heading("serial", ("serial",), note="as on its label", wide=14),
        Heading("where", ("where",), note="the place it lies in", wide=16),
        Heading("status", ("status",), note="blank is in service", choices=get_args(Status)),
        Heading("acquired", ("acquired",), "date", "the day on its label; blank is as parts has it"),
        Heading("inspected", ("inspected",), "date", "the last inspection; blank is as parts has it"),
        Heading("expires", ("expires",), "date", "its last day of use, if it has one"),
        Heading("label", ("label",), note="blank is as parts has it", choices=get_args(Label)),
        Heading("points usable", ("points_usable",), "number", "base: attachment points fit for use"),
        Heading("measured", ("measured",), "length", "chain: the thinnest place of the worst link"),
        Heading("condition", ("condition",), note="as found", wide=24),
        Heading("tag", ("tag",), note="number of the tag it bears; tagged is not used"),
        Heading("note", ("note",), wide=24),
    ),
)
