"""The count sheet on paper: in the order of the drawers, so many lines to a page, each page with its number."""

from __future__ import annotations

from cache_check.model.count import BlankSheet, SheetLine
from cache_check.report.basis import day
from cache_check.report.page import Page, Points, Section, table
from cache_check.report.say import UNKNOWN

LINES_TO_A_PAGE = 22
EXTRA_LINES = 6
HEADS = "place|part|serial|#book|found|usable|label ok|date seen|day on label|last day|points|pins ok|tag|by|second"
_TO_FILL = ("___",) * 11
_HOW = (
    "Write what you find, not what should be there. Blank is not looked at, never fine.",
    "Found, usable: how many; a tick for a serial. Pins ok: its pins and keepers are with it.",
    "Tag: the number of the tag you put on it. What is not on the book goes on the blank lines.",
    "By, second: initials of who counted it, and of the second person.",
)


def page(sheet: BlankSheet) -> Page:
    """The count sheet."""
    names = dict(sheet.names)
    rows = [_row(line, names) for line in sheet.lines]
    rows += [("________", "________", "______", "0", *_TO_FILL)] * EXTRA_LINES
    pages = [rows[start : start + LINES_TO_A_PAGE] for start in range(0, len(rows), LINES_TO_A_PAGE)]
    sections = []
    for number, part in enumerate(pages, 1):
        which = f"Page {number} of {len(pages)}"
        sections.append(Section(which, (table(HEADS, part), f"{which}. {sheet.title}, book {sheet.book}.")))
    head = Points(
        f"Book {sheet.book} of {day(sheet.book_date)}",
        ("counted on: ______________", "counted by: ____________________  second person: ____________________", *_HOW),
    )
    return Page(f"{sheet.title}: count sheet", (Section("How to count", (head,)), *sections))


def _row(line: SheetLine, names: dict[str, str]) -> tuple[str, ...]:
    part = f"ready set {line.ready_set}" if line.ready_set else names.get(line.part, line.part)
    book = UNKNOWN if line.book is None else str(line.book)
    serial = line.serial or ("held? ___" if line.ready_set else "lot")
    return (line.place or "place unknown", part, serial, book, *_TO_FILL)
