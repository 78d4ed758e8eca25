"""The sheet "parts": how many of each type are on the rig, and how many of them are out."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args

from cache_check.files.workbook.layout import Cells, Heading, Layout
from cache_check.model.cache import Label, Status

OUT: tuple[Status, ...] = tuple(status for status in get_args(Status) if status != "in service")


class _Counted(Layout):
    def rows(self, data: Any) -> Iterator[Cells]:
        """A row for each part; what nobody counted is said to be unknown."""
        return ({"count": "unknown"} | row for row in super().rows(data))


LAYOUT = _Counted(
    "parts",
    "What is on the rig. Write unknown where nobody counted: blank is never taken as fine.",
    (
        Heading("part", ("part",), note="a type of the sheet before, or of a family", wide=18),
        Heading("count", ("count",), "number", "all pieces, those with serials too; unknown where nobody counted"),
        Heading("where", ("where",), note="the place they lie in", wide=16),
        Heading("inspected", ("inspected",), "date", "their last inspection, if not as the sheet about has it"),
        Heading("label", ("label",), note="can they be read? if not as about has it", choices=get_args(Label)),
        Heading("made", ("made",), "date", "straps: the day of the oldest, if not as about has it"),
        *(Heading(status, ("out", status), "number", f"pieces without serials: {status}", wide=11) for status in OUT),
    ),
    short="count",
)
