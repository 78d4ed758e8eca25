"""The count sheet: to be ticked on a tablet without a network, or printed and written on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cache_check.model.cache import Source
from cache_check.model.count import BlankSheet
from cache_check.model.report import ReportResult
from cache_check.model.rule import RuleBook
from cache_check.report.basis import day
from cache_check.report.page import Points
from cache_check.report.pages import counting
from cache_check.report.pages.sheet import Part, Sheet, Widget

KIND, NAME, ORDER = "count", "Count sheet", 70
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


def sheets(result: ReportResult, _book: RuleBook, _read: Sequence[Source]) -> Iterator[Sheet]:
    """A sheet for each rig."""
    for number, one in enumerate(result.counts, 1):
        yield sheet(one, f"count-{number}")


def sheet(blank: BlankSheet, key: str) -> Sheet:
    """The sheet; ``key`` begins the ids of its widget."""
    made = counting.data(blank)
    paper = [dict(counting.paper_cells(line)) for line in made["lines"]]
    told = {"sheet": made, "paper": paper, "columns": counting.PAPER, "extra": EXTRA_LINES}
    widget = Widget("count.html.j2", "count.js", key, told)
    rests = Points(
        "This page rests on:",
        (f"rig: {blank.rig}", f"book of: {day(blank.book_date)}", f"hash of the book: {blank.book}"),
    )
    return Sheet(
        "count",
        f"{blank.title}: count sheet",
        rests,
        (Part("How to count", (HOW,)), Part("What is there", (widget,))),
        ("A count says what was found, not that a piece is fit: audit judges it by the rules, on the day it is made.",),
        of=blank.rig,
    )
