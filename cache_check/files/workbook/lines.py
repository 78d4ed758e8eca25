"""Sheets of lines, each a word and its value: what a file is, a situation, and the head of a count sheet."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cache_check.errors import NotReadError
from cache_check.files.place import Route
from cache_check.files.words import did_you_mean, listed, shown
from cache_check.files.workbook import cells, cells_out
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.grid import Raw, blank
from cache_check.files.workbook.layout import Cells, Heading, Layout, folded
from cache_check.files.workbook.sheet import Sheet
from cache_check.frozen import dataclass


@dataclass(frozen=True)
class Lines(Layout):
    """A sheet of these lines; further columns only explain.  ``others`` True passes other lines over."""

    lines: tuple[Heading, ...] = ()
    others: bool = False

    def read(self, sheet: Sheet, draft: Draft, at: Route) -> None:
        """Put every line at its key."""
        by_head = {folded(line.head): line for line in self.lines}
        for place, (number, row) in enumerate(sheet.grid.rows):
            word = _word(row[0])
            line = by_head.get(folded(word))
            if (place == 0 and folded(word) == "what") or (line is None and self.others):
                continue
            if blank(row[0]):
                filled = next(place for place, raw in enumerate(row) if not blank(raw))
                sheet.fault(sheet.spot(number, filled + 1), "stands beside no word", "write what it is before it")
            elif line is None:
                right = did_you_mean(word, by_head) or f"the lines are {listed(by_head)}"
                sheet.fault(sheet.spot(number, 1), f"{shown(word)} is not a line here", right)
            elif len(row) > 1 and not blank(row[1]):
                _put(sheet, draft, (*at, *line.route), line, number, row[1])

    def rows(self, data: Any) -> Iterator[Cells]:
        """A line for each key that is there."""
        for line in self.lines:
            value = data.get(line.route[0])
            if value is not None:
                yield {"what": line.head, "value": cells_out.written(line.reads, value), "explained": line.note}


def _word(raw: Raw) -> str:
    try:
        return cells.plain(raw)
    except NotReadError:
        return "a date or an error"


def _put(sheet: Sheet, draft: Draft, route: Route, line: Heading, number: int, raw: Raw) -> None:
    spot = sheet.spot(number, 2)
    if draft.has(route):
        sheet.fault(spot, f"{line.head!r} is written twice", "keep one of them")
        return
    try:
        draft.put(route, cells.READERS[line.reads](raw, sheet.grid), spot)
    except NotReadError as error:
        sheet.fault(spot, f"{line.head}: {error.what}", error.right)
