"""Who counted, when, and against which book."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from cache_check.checks.facts import Findings, Inspection
from cache_check.model.rule import Rule

if TYPE_CHECKING:
    from cache_check.model.count import CountSheet


def audit(inspection: Inspection, rule: Rule) -> Findings:
    """A finding for each thing that the head of the sheet does not say, or says of another book or day."""
    for what, effect in _wrong(inspection, rule):
        yield inspection.finding(rule, what=what, effect=effect)


def _signed(count: CountSheet, head: str, column: str) -> set[str]:
    """Who signed: the head of the sheet, or every line of it; nobody where a line is not signed."""
    signed = getattr(count, head).strip()
    lines = [line for line in count.lines if line.found is not None]
    names = [signed] if signed else [getattr(line, column).strip() for line in lines]
    return {name.casefold() for name in names} if all(names) else set()


def _wrong(inspection: Inspection, rule: Rule) -> Iterator[tuple[str, str]]:
    count, on = inspection.count, inspection.muster.on
    if count is None:
        yield "no count: the book itself is audited", "nothing here was seen by anybody"
        return
    if count.book and count.book != inspection.book_hash:
        what = f"the sheet was made from book {count.book}, this book is {inspection.book_hash}"
        yield what, "what changed in the book since is not on the sheet"
    first, second = _signed(count, "by", "initials"), _signed(count, "second", "second")
    if not first:
        yield "nobody signed the count", "nobody can be asked"
    if inspection.value(rule, "second"):
        if not second:
            yield "no second person signed the count", "one pair of eyes"
        elif second <= first:
            yield "one person signed as both", "one pair of eyes"
    if count.on is None:
        yield "the count has no date", "nobody knows how old it is"
    elif count.on > on:
        yield f"the count is dated {count.on.isoformat()}, after today", "the date is wrong, so its age is unknown"
    elif inspection.book.book_date is not None and count.on < inspection.book.book_date:
        what = f"the count of {count.on.isoformat()} is older than the book of {inspection.book.book_date.isoformat()}"
        yield what, "the book knows later things than the count"
