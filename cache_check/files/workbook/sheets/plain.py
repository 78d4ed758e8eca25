"""The sheets whose rows, or lines, are just entries: what the file is, types, counts, places, prices, a situation."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, get_args

from cache_check.files.workbook.layout import Cells, Heading, Layout, Reads, headings, layout
from cache_check.files.workbook.sheet import Lines
from cache_check.model.cache import Status
from cache_check.model.situation import Situation

ABOUT = layout("about", Lines, lines=headings("about", "lines"))
OF_KIND: dict[str, tuple[str, ...]] = {
    "cache": ("cache", "title", "units", "book_date", "inspected", "label", "made", "joint_pin", "families", "sheet"),
    "family": ("family", "title", "units", "joint_pin", "sheet"),
    "needs": ("needs", "units"),
    "policy": ("policy", "title", "units"),
    "prices": ("prices", "currency", "dated", "freight", "least_order"),
    "situation": ("situation", "units"),
}
"""The lines that belong to each kind of file; one workbook may be several kinds."""


TYPES = layout("types", Layout)
COMPARTMENTS = layout("compartments", Layout)
READY_SETS = layout("ready sets", Layout)
PRICES = layout("prices", Layout, short="price")
OUT: tuple[Status, ...] = tuple(status for status in get_args(Status) if status != "in service")


class _Counted(Layout):
    def rows(self, data: Any) -> Iterator[Cells]:
        """A row for each part; what nobody counted is said to be unknown."""
        return ({"count": "unknown"} | row for row in super().rows(data))


PARTS = layout(
    "parts",
    _Counted,
    *(Heading(status, ("out", status), "number", f"pieces without serials: {status}", wide=11) for status in OUT),
    short="count",
)


_READS: dict[str, Reads] = {
    "title": "text", "why": "text", "one_end_pivots": "flag", "sure": "flag", "anchors": "places",
}  # fmt: skip
SITUATION = layout(
    "situation",
    Lines,
    lines=tuple(
        Heading(name.replace("_", " "), (name,), _READS.get(name, "values")) for name in Situation.model_fields
    ),
)
