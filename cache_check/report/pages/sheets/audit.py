"""The audit page: the result, what is left of each step, each finding with what it costs, and lines to sign."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from cache_check.model.audit import AuditResult, Compared
from cache_check.model.cache import Source
from cache_check.model.report import ReportResult
from cache_check.model.result import STEPS
from cache_check.model.rule import RuleBook
from cache_check.report import basis
from cache_check.report.answer import Told, whole
from cache_check.report.figures import book_today, canvas
from cache_check.report.page import Block, Paragraph, Points, Table, plain, short, words
from cache_check.report.pages.sheet import Figure, Part, Sheet, Widget, parts_of
from cache_check.report.say import NOT_ASKED

KIND, NAME, ORDER = "audit", "Audit", 60
MOST_FIGURES = 8
LAST = "What this rests on"
COMPARED = "By the book and today"
UNCOUNTED = "Nobody counted: by the book alone."
LONGEST_LEAD, LONGEST_ITEM = 300, 600
TO_SIGN = ("Inspector", "Second person", "Officer in charge")


def sheets(result: ReportResult, book: RuleBook, read: Sequence[Source]) -> Iterator[Sheet]:
    """A page for each rig that was audited."""
    for number, one in enumerate(result.audits, 1):
        yield sheet(one, book, read, f"audit-{number}")


def sheet(result: AuditResult, book: RuleBook, read: Sequence[Source], key: str) -> Sheet:
    """The page; ``key`` begins the ids of its figures."""
    page = whole("audit", result, Told(book, read))
    parts = [_with_figures(_cut(part), result, key) for part in parts_of(page)]
    parts[0] = _headed(parts[0], result)
    before = [replace(part, wide=part.heading == "Findings") for part in parts if part.heading != LAST]
    after = [part for part in parts if part.heading == LAST]
    return Sheet("audit", page.title, basis.head(result.basis), (*before, _signed(result), *after), of=result.name)


def _cut(part: Part) -> Part:
    """The part without what no paper holds: a name of thousands of letters, say."""
    return replace(part, blocks=tuple(_short(one) if isinstance(one, Points) else one for one in part.blocks))


def _short(points: Points) -> Points:
    return Points(short(points.lead, LONGEST_LEAD), tuple(short(one, LONGEST_ITEM) for one in points.items))


def _headed(part: Part, result: AuditResult) -> Part:
    """The part with the result first; where nobody counted, that comes before it; what was left blank comes last."""
    first, *rest = part.blocks
    if result.count is None and isinstance(first, Points):
        first = replace(first, lead=f"{UNCOUNTED} {first.lead}")
    return replace(part, blocks=(first, *rest, *_blank(result)))


def _blank(result: AuditResult) -> Iterator[Block]:
    """How much of the count sheet was left blank."""
    if result.count is None:
        return
    found = [*(one.found for one in result.count.lines), *(one.found for one in result.count.sets)]
    blank = found.count(None)
    said = f"Not looked at: {blank} of {len(found)} lines of the sheet." if blank else "Every line was looked at."
    yield Paragraph(f"{said} Blank is not looked at, never fine.")


def _with_figures(part: Part, result: AuditResult, key: str) -> Part:
    """The part with a figure before the notes of each need or length, where it is the one that compares."""
    if part.heading != COMPARED or not result.compared:
        return part
    shown = result.compared[:MOST_FIGURES]
    figures: list[Block | Figure | Widget] = [_figure(one, f"{key}-{n}") for n, one in enumerate(shown, 1)]
    if len(result.compared) > MOST_FIGURES:
        figures.append(Paragraph(f"{len(result.compared) - MOST_FIGURES} more are in the table, not drawn."))
    at = next(n for n, one in enumerate(part.blocks) if isinstance(one, Table)) + 1
    told = Paragraph("In the table 7 > 6 is 7 by the book and 6 today. Drawn, a step is a step:")
    return Part(part.heading, (*part.blocks[:at], told, *figures, *part.blocks[at:]))


def _figure(one: Compared, key: str) -> Figure:
    name = short(one.label, 60)
    title = f"Struts on each step for {name}, by the book and today"
    return Figure(canvas.inline(book_today.draw(one), title, key), f"{name}: {_changed(one)}.")


def _changed(one: Compared) -> str:
    """The steps that differ, in words."""
    pairs = [(step, *(_count(tally.count(step)) for tally in (one.book, one.today))) for step in STEPS]
    said = [f"{step} {book} by the book, {today} today" for step, book, today in pairs if book != today]
    return "; ".join(said) or "every step today is as by the book"


def _count(count: int | None) -> str:
    return NOT_ASKED if count is None else str(count)


def _signed(result: AuditResult) -> Part:
    """Lines to sign on paper."""
    uncounted = f"{UNCOUNTED} " if result.count is None else ""
    told = Paragraph(
        f"{uncounted}Result: {result.verdict.outcome.upper()}. Who signs has read every finding above, and knows that "
        "what is blank was not looked at."
    )
    rows = tuple((who, "", "", "") for who in TO_SIGN)
    named = () if result.count is None else (_named(result),)
    return Part("Signed", (told, *named, Table(words("who|name in capitals|signature|date"), rows)), wide=True)


def _named(result: AuditResult) -> Points:
    assert result.count is not None
    by, second = (plain(one) or "nobody" for one in (result.count.by, result.count.second))
    return Points(f"On the count sheet, counted by: {by}; second person: {second}")
