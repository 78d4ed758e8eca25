"""A count sheet to be filled in on a screen or on paper: its lines as they are shown, and the file that it becomes.

The file is the CSV that ``audit`` reads, cell by cell the one that ``audit --sheet`` writes, so what is not shown
here (the book's own spelling of a place or part, say) is kept beside what is.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import Any, get_args

from cache_check import units
from cache_check.model.cache import Status
from cache_check.model.count import BlankSheet, SheetLine
from cache_check.report.basis import day
from cache_check.report.page import plain, short
from cache_check.report.say import UNKNOWN, counted

HEADS = (
    "place", "part", "serial", "book", "found", "usable", "state", "label", "inspected", "acquired", "expires",
    "points", "pins", "measured", "condition", "edition", "held", "rig", "tag", "initials", "second", "note",
    "book says",
)  # fmt: skip
"""The heads of the table; that of a length carries its unit."""
PAPER = {
    "place": "place", "part": "part", "serial": "serial", "book": "book", "found": "found", "usable": "usable",
    "label": "label ok", "points": "points", "pins": "pins ok", "inspected": "date seen", "acquired": "day on label",
    "expires": "last day", "tag": "tag", "note": "state, condition, note", "initials": "initials", "second": "second",
}  # fmt: skip
"""The columns of the sheet on paper, and the heads that they have there."""
TOP = ("count", "title", "book date", "book", "units", "counted on", "counted by", "second person")
"""The words above the table, each with its value beside it."""
READY_SET = "ready set:"
NO_PLACE = "place unknown"
LONGEST = 90
"""Characters of a name that are shown; the file has it whole."""


def data(sheet: BlankSheet) -> dict[str, Any]:
    """All that the page and its script need, as plain values."""
    names = dict(sheet.names)
    apart = {line.part for line in sheet.lines if line.serial}
    lines = [_line(line, names, apart) for line in sheet.lines]
    return {
        "rig": sheet.rig,
        "title": short(sheet.title, LONGEST),
        "book": sheet.book,
        "book_date": day(sheet.book_date),
        "top": [[word, _known(sheet).get(word, "")] for word in TOP],
        "heads": [_headed(head, sheet) for head in HEADS],
        "columns": list(HEADS),
        "states": list(get_args(Status)),
        "parts": [{"id": part, "written": name, "shown": short(name, LONGEST)} for part, name in sheet.names],
        "lines": lines,
        "places": [
            {"shown": place, "lines": list(numbers)}
            for place, numbers in groupby(range(len(lines)), key=lambda n: lines[n]["place"])
        ],
    }


def _known(sheet: BlankSheet) -> dict[str, str]:
    return {
        "count": sheet.rig, "title": sheet.title, "book date": day(sheet.book_date), "book": sheet.book,
        "units": sheet.units,
    }  # fmt: skip


def _headed(head: str, sheet: BlankSheet) -> str:
    return f"{head}, {units.BARE['length'][sheet.units]}" if head == "measured" else head


def _line(line: SheetLine, names: dict[str, str], apart: set[str]) -> dict[str, Any]:
    part = f"{READY_SET} {line.ready_set}" if line.ready_set else names.get(line.part, line.part)
    book = UNKNOWN if line.book is None else str(line.book)
    return {
        "sort": "set" if line.ready_set else "piece" if line.serial else "lot",
        "kind": line.kind,
        "points": line.points,
        "written": {"place": line.place, "part": part, "serial": line.serial, "book": book, "book says": line.says},
        "place": short(line.place, LONGEST) or NO_PLACE,
        "part": short(f"ready set {line.ready_set}" if line.ready_set else part, LONGEST),
        "serial": short(line.serial, LONGEST),
        "book": _book(line, line.part in apart),
        "says": short(line.says, 2 * LONGEST),
    }


def _book(line: SheetLine, apart: bool) -> str:
    """What the book has there, in words; ``apart``: pieces of that part with serials have lines of their own."""
    if line.book is None:
        return "unknown: nobody ever counted it"
    if line.ready_set:
        return "built and here"
    if line.serial:
        return "here" if line.book else "not here"
    return f"{counted(line.book, 'piece')} here{', beside those with a serial' if apart else ''}"


def paper_cells(line: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """What stands in each cell of a line on paper: its column, and the words printed there ("" is a box to fill)."""
    is_set = line["sort"] == "set"
    said = {
        "place": line["place"],
        "part": line["part"],
        "serial": line["serial"] or ("" if is_set else "lot"),
        "book": plain(line["written"]["book"]),
        "pins": "held:" if is_set else "",
    }
    bare = {"usable", "label", "inspected", "acquired", "expires"} if is_set else set()
    bare |= set() if line["points"] else {"points"}
    for column in PAPER:
        yield column, "—" if column in bare else said.get(column, "")
