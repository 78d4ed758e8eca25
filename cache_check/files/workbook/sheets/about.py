"""The sheet "about": what the file is, its units, and what else holds for all of it, one line each."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cache_check.files.place import Route
from cache_check.files.words import did_you_mean, listed, shown
from cache_check.files.workbook import cells, cells_out
from cache_check.files.workbook.columns import Column, Table, folded
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.grid import blank
from cache_check.files.workbook.sheets.entry import Cells
from cache_check.files.workbook.table import Sheet

TABLE = Table(
    "about",
    "What this file is. One line each; the third column only explains.",
    (Column("what", ("what",), wide=14), Column("value", ("value",), wide=34), Column("explained", (), wide=70)),
)
LINES = (
    Column("cache", ("cache",), note="a short name of your own for this rig, used in tables"),
    Column("family", ("family",), note="in a file of a family only: its short name"),
    Column("policy", ("policy",), note="in a file of rules only: its name"),
    Column("title", ("title",), note="what people call it"),
    Column("units", ("units",), note="us: bare numbers are inches, pounds, pounds-force. si: mm, kg, kN",
           choices=("us", "si")),
    Column("book date", ("book_date",), "date", note="the day of the count, year-month-day"),
    Column("inspected", ("inspected",), "date", note="the last inspection of every piece that does not say its own"),
    Column("label", ("label",), note="legible, if every label was looked at that no row speaks of",
           choices=("legible", "unreadable", "unknown")),
    Column("made", ("made",), "date", note="the day of the oldest webbing that no row gives a day of its own"),
    Column("joint pin", ("joint_pin",), note="the loose pin in every joint, one of the types; or captive"),
    Column("families", ("families",), "list", note="files of families that this cache uses, parted by semicolons"),
    Column("sheet", ("sheet",), note="name and date of the maker's sheet"),
    Column("needs", ("needs",), note="a title for the sheet of needs, if it is filled in"),
    Column("prices", ("prices",), note="the name of the quote, if the sheet of prices is filled in"),
    Column("situation", ("situation",), note="a title for the sheet of a situation, if it is filled in"),
    Column("currency", ("currency",), note="the currency of the prices"),
    Column("dated", ("dated",), "date", note="the day of the quote"),
)  # fmt: skip
OF_KIND: dict[str, tuple[str, ...]] = {
    "cache": ("cache", "title", "units", "book_date", "inspected", "label", "made", "joint_pin", "families", "sheet"),
    "family": ("family", "title", "units", "joint_pin", "sheet"),
    "needs": ("needs", "units"),
    "policy": ("policy", "title", "units"),
    "prices": ("prices", "currency", "dated"),
    "situation": ("situation", "units"),
}
"""The lines that belong to each kind of file; one workbook may be several kinds."""


def read(sheet: Sheet, draft: Draft, at: Route) -> None:
    """Put every line at its key."""
    by_head = {folded(line.head): line for line in LINES}
    for number, row in sheet.grid.rows:
        if number == sheet.grid.rows[0][0] and folded(str(row[0])) == "what":
            continue
        filled = [place for place, raw in enumerate(row) if not blank(raw)]
        if not filled or filled[0] > 0:
            if filled:
                sheet.fault(sheet.spot(number, filled[0] + 1), "stands beside no word", "write what it is before it")
            continue
        line = by_head.get(folded(_head(row[0])))
        if line is None:
            right = did_you_mean(_head(row[0]), by_head) or f"the lines are {listed(by_head)}"
            sheet.fault(sheet.spot(number, 1), f"{shown(_head(row[0]))} is not a line here", right)
        elif len(row) > 1 and not blank(row[1]):
            _line(sheet, draft, at, line, number, row[1])


def _head(raw: Any) -> str:
    try:
        return cells.plain(raw)
    except cells.NotReadError:
        return "a date or an error"


def _line(sheet: Sheet, draft: Draft, at: Route, line: Column, number: int, raw: Any) -> None:
    spot = sheet.spot(number, 2)
    if draft.has((*at, *line.route)):
        sheet.fault(spot, f"{line.head!r} is written twice", "keep one of them")
        return
    try:
        draft.put((*at, *line.route), cells.READERS[line.reads](raw, sheet.grid), spot)
    except cells.NotReadError as error:
        sheet.fault(spot, error.what, error.right)


def rows(data: dict[str, Any]) -> Iterator[Cells]:
    """A line for each key that is there."""
    for line in LINES:
        value = data.get(str(line.route[0]))
        if value is not None:
            yield {"what": line.head, "value": cells_out.written(line.reads, value), "explained": line.note}
