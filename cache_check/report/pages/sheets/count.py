"""The count sheet: to be ticked on a tablet without a network, or printed and written on.

Its file is the CSV that ``audit`` reads, cell by cell the one that ``audit --sheet`` writes, so what is not shown here
(the book's own spelling of a place or part, say) is kept beside what is.
"""

from itertools import groupby
from typing import Any, get_args

from cache_check.model.cache import Status
from cache_check.model.count import BlankSheet, SheetLine
from cache_check.report.answer import Told
from cache_check.report.basis import day
from cache_check.report.page import Points, plain, short
from cache_check.report.pages.shell import Part, Sheet, Widget
from cache_check.report.say import UNKNOWN, counted

KIND, NAME, ORDER, OF = "count", "Count sheet", 70, "counts"
EXTRA_LINES = 8
HOW = Points(
    "Write what you find, not what should be there. Blank is not looked at, never fine.",
    (
        "A lot is all of a part without a serial. Found, usable: how many, or yes and no for a serial. Usable is fit "
        "for use: not cut, burnt, bent or cracked.",
        "Label: legible, unreadable, or unknown when you looked and cannot tell. Points: attachment points fit for "
        "use. Pins: are its pins and keepers with it?",
        "Tag: the number of the tag you put on it. What is not on the book goes on the lines at the end.",
    ),
)
PAPER = {  # the columns of the sheet on paper, and the heads that they have there
    "place": "place", "part": "part", "serial": "serial", "book": "book", "found": "found", "usable": "usable",
    "label": "label ok", "points": "points", "pins": "pins ok", "inspected": "date seen", "acquired": "day on label",
    "expires": "last day", "tag": "tag", "note": "state, condition, note", "initials": "initials", "second": "second",
}  # fmt: skip
READY_SET = "ready set:"
LONGEST = 90  # characters of a name that are shown; the file has it whole


def sheet(blank: BlankSheet, _told: Told, key: str) -> Sheet:
    """The sheet; ``key`` begins the ids of its widget."""
    made = _values(blank)
    paper = [_paper_cells(line) for line in made["lines"]]
    told = {"sheet": made, "paper": paper, "columns": PAPER, "extra": EXTRA_LINES}
    widget = Widget("count.html.j2", "count.js", key, told)
    rests = (f"rig: {blank.rig}", f"book of: {day(blank.book_date)}", f"hash of the book: {blank.book}")
    foot = "A count says what was found, not that a piece is fit: audit judges it by the rules, on the day it is made."
    parts = (Part("How to count", (HOW,)), Part("What is there", (widget,)))
    title = f"{blank.title}: count sheet"
    return Sheet("count", title, Points("This page rests on:", rests), parts, (foot,), of=blank.rig)


def _values(sheet: BlankSheet) -> dict[str, Any]:
    names = dict(sheet.names)
    apart = {line.part for line in sheet.lines if line.serial}
    lines = [_line(line, names, apart) for line in sheet.lines]
    places = groupby(range(len(lines)), key=lambda n: lines[n]["place"])
    return {
        "rig": sheet.rig, "title": short(sheet.title, LONGEST), "book": sheet.book, "book_date": day(sheet.book_date),
        "top": [*map(list, sheet.top)], "heads": list(sheet.heads),
        "columns": [head.partition(",")[0] for head in sheet.heads], "states": list(get_args(Status)),
        "parts": [{"id": part, "written": name, "shown": short(name, LONGEST)} for part, name in sheet.names],
        "lines": lines, "places": [{"shown": place, "lines": list(numbers)} for place, numbers in places],
    }  # fmt: skip


def _line(line: SheetLine, names: dict[str, str], apart: set[str]) -> dict[str, Any]:
    part = f"{READY_SET} {line.ready_set}" if line.ready_set else names.get(line.part, line.part)
    book = UNKNOWN if line.book is None else str(line.book)
    return {"sort": "set" if line.ready_set else "piece" if line.serial else "lot", "kind": line.kind,
            "points": line.points,
            "written": {"place": line.place, "part": part, "serial": line.serial, "book": book, "book says": line.says},
            "place": short(line.place, LONGEST) or "place unknown",
            "part": short(f"ready set {line.ready_set}" if line.ready_set else part, LONGEST),
            "serial": short(line.serial, LONGEST), "book": _book(line, line.part in apart),
            "says": short(line.says, 2 * LONGEST)}  # fmt: skip


def _book(line: SheetLine, apart: bool) -> str:
    """What the book has there, in words; ``apart``: pieces of that part with serials have lines of their own."""
    if line.book is None:
        return "unknown: nobody ever counted it"
    if line.ready_set:
        return "built and here"
    if line.serial:
        return "here" if line.book else "not here"
    return f"{counted(line.book, 'piece')} here{', beside those with a serial' if apart else ''}"


def _paper_cells(line: dict[str, Any]) -> dict[str, str]:
    """What stands in each cell of a line on paper, by its column: the words printed there ("" is a box to fill)."""
    is_set = line["sort"] == "set"
    said = {"place": line["place"], "part": line["part"], "serial": line["serial"] or ("" if is_set else "lot"),
            "book": plain(line["written"]["book"]), "pins": "held:" if is_set else ""}  # fmt: skip
    said |= dict.fromkeys(("usable", "label", "inspected", "acquired", "expires") * is_set, "—")
    return dict.fromkeys(PAPER, "") | said | ({} if line["points"] else {"points": "—"})
