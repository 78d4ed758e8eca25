"""Why pieces are not usable today or will not be, and the struts that each cause costs, or mending it gives back."""

import calendar
import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from operator import sub
from typing import Any, Literal

from cache_check.errors import AskError, NoPlanError
from cache_check.joining.stock import Fitness, kept_out, mended
from cache_check.model.audit import Ahead, Cause, Cost, Fall
from cache_check.model.cache import Cache, Item, Stock
from cache_check.model.piece import Why
from cache_check.model.rule import RuleBook
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.tally import tally

Asked = tuple[str, Ask, int | None]  # a need or length to compare: what it is called, what it asks, how many are wanted
_SPAN = re.compile(r"\s*(\d{1,4})\s*(day|week|month|year)s?\s*", re.IGNORECASE)


def causes(muster: Muster) -> Iterator[Cause]:
    """Every cause that keeps pieces of a cache from use today, or a base from being restrained."""
    count_rule = next((rule.id for rule in muster.book.in_force("book_against_count")), "")
    for idle in (*muster.usable.idle, *muster.usable.pointless):
        # What is missing is told by the count, not by its state.
        rule = count_rule if count_rule and idle.why is Why.MISSING else idle.rule
        does: Literal["out", "points"] = "points" if idle.why is Why.POINTS else "out"
        yield Cause(rule, idle.part, idle.serial, idle.number, idle.why.text, idle.remedy, does, idle)


def befallen(book: Cache, cause: Cause, today: Cache) -> Cache:
    """The book with one cause alone: that piece as it is today, or so many of the lot in that state."""
    pieces = {item.serial: item for line in today.stock if line.part == cause.part for item in line.items}

    def line(stock: Stock) -> Stock:
        if stock.part != cause.part:
            return stock
        if cause.serial:
            points = {"points_usable": pieces[cause.serial].points_usable}
            as_today: dict[str, Any] = points if cause.does == "points" else {"status": "quarantined"}
            items = (i.changed(**as_today) if i.serial == cause.serial else i for i in stock.items)
            return stock.changed(items=tuple(items))
        number = min(cause.number, stock.in_service)
        return stock.changed(out={**stock.out, "quarantined": stock.out.get("quarantined", 0) + number})

    return book.changed(stock=tuple(line(stock) for stock in book.stock))


class Counts:
    """How many struts each need gets of a muster, worked out once for each stock of usable pieces."""

    def __init__(self, asked: Sequence[Asked]) -> None:
        self.asked = asked
        self.known: dict[tuple[object, ...], tuple[int, ...]] = {}

    def of(self, muster: Muster) -> tuple[int, ...]:
        """Struts on the step that each need asks."""
        usable = muster.usable
        if (key := (tuple(usable.counts.items()), tuple(usable.pointed.items()))) not in self.known:
            self.known[key] = tuple(muster.most(ask, ask.top).count for _, ask, _ in self.asked)
        return self.known[key]


def costs_of(asked: Sequence[Asked], by_book: Muster, today: Muster) -> tuple[Cost, ...]:
    """Every cause with its cost, dearest first, or that time did not last; those of one effect are worked out once."""
    counts, untold, found = Counts(asked), "", []
    known: dict[tuple[object, ...], Cost] = {}
    booked = [{(one.part, one.serial) for one in out} for out in (by_book.usable.idle, by_book.usable.pointless)]
    named = {(item.part, item.serial) for line in by_book.cache.stock for item in line.items}
    for cause in causes(today):
        piece = (cause.part, cause.serial)
        on_book = tuple(piece in out for out in booked) if piece in named else None
        if (effect := (cause.part, cause.does, cause.number, cause.idle.status, on_book)) not in known:
            try:
                known[effect] = Cost(cause, untold=untold) if untold else _of(counts, cause, by_book, today)
            except NoPlanError as error:
                untold = str(error)
                known[effect] = Cost(cause, untold=untold)
        found.append(replace(known[effect], cause=cause))
    return tuple(sorted(found, key=lambda cost: (tuple(-n for n in cost.weight), cost.cause.rule, cost.cause.part)))


def _of(counts: Counts, cause: Cause, by_book: Muster, today: Muster) -> Cost:
    now, booked = counts.of(today), counts.of(by_book)
    back = counts.of(today.changed(cache=mended(today.cache, cause.idle, today.on)))
    alone = counts.of(by_book.changed(cache=befallen(by_book.cache, cause, today.cache)))
    wanted = [wanted for _, _, wanted in counts.asked]

    def turned(less: tuple[int, ...], more: tuple[int, ...]) -> int:
        """Needs that are not met by one count and are by the other."""
        return sum(a < w <= b for a, b, w in zip(less, more, wanted, strict=True) if w is not None)

    given, taken = (tuple(map(sub, *pair)) for pair in ((back, now), (booked, alone)))
    return Cost(cause, back=given, alone=taken, met_again=turned(now, back), unmet_alone=turned(alone, booked))


def later(day: date, span: str) -> date:
    """The day that is "12 months", "90 days", "6 weeks" or "2 years" after another.

    A month on is the same day of the next month, or its last day where that month is shorter: a month after
    31 January is 28 February, or 29 in a leap year; a year after 29 February is 28 February.
    Raises AskError where the text is no span, or leads past the year 9999.
    """
    if (found := _SPAN.fullmatch(span)) is None:
        raise AskError(f'{span!r} is not a span of time; write "12 months", "90 days", "6 weeks" or "2 years"')
    number, unit = int(found[1]), found[2].casefold()
    try:
        if unit in ("day", "week"):
            return day + timedelta(days=number * (7 if unit == "week" else 1))
        year, month = divmod(day.year * 12 + day.month - 1 + number * (12 if unit == "year" else 1), 12)
        return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))
    except (OverflowError, ValueError):
        raise AskError(f"{span!r} leads past the year 9999") from None


def falls(cache: Cache, book: RuleBook, on: date, until: date = date.max) -> tuple[Fall, ...]:
    """The pieces usable on a day that are not until a day to come, with the first day that they are not."""
    fitness, found = Fitness(book, cache.catalogue), []
    for line, item, number in ((one, *piece) for one in cache.stock for piece in one.pieces):

        def out(day: int, item: Item = item) -> bool:
            return not fitness.of(item, date.fromordinal(day)).usable

        if not out(on.toordinal()) and out(until.toordinal()):
            # Time only takes pieces out, so that the days may be halved.
            day = date.fromordinal(bisect_left(range(until.toordinal()), True, lo=on.toordinal(), key=out))
            reason = fitness.of(item, day).reasons[0]
            found.append(Fall(day, item.part, item.serial, number, item.where or line.where, reason.rule, reason.why))
    return tuple(sorted(found, key=lambda one: (one.on, one.part, one.serial)))


def ahead_of(today: Muster, asked: Sequence[Asked], span: str) -> Ahead:
    """What falls until a day to come, and the tallies on that day (AskError: ``span`` is no span of time)."""
    until = later(today.on, span)
    found = falls(today.cache, today.book, today.on, until)
    then = today.changed(cache=kept_out(today.cache, today.usable.idle), on=until)
    days = [today.on, *sorted({fall.on for fall in found})]
    by_day = _by_day(then, Counts(asked), days)
    tallies = tuple(tally(then, ask, label, wanted) for label, ask, wanted in asked)
    return Ahead(until, found, tallies, tuple(_steps(days, counts) for counts in zip(*by_day, strict=True)))


def _by_day(then: Muster, counts: Counts, days: Sequence[date]) -> list[tuple[int, ...]]:
    """The counts on rising days: what is out stays out, so that between two days that count alike all do."""
    found: dict[int, tuple[int, ...]] = {}

    def at(day: int) -> tuple[int, ...]:
        if day not in found:
            found[day] = counts.of(then.changed(on=days[day]))
        return found[day]

    spans = [(0, len(days) - 1)]
    while spans:
        low, high = spans.pop()
        if at(low) == at(high):
            found |= dict.fromkeys(range(low, high), at(low))
        elif high - low > 1:
            middle = (low + high) // 2
            spans += [(low, middle), (middle, high)]
    return [found[day] for day in range(len(days))]


def _steps(days: Sequence[date], counts: Sequence[int]) -> tuple[tuple[date, int], ...]:
    told = list(zip(days, counts, strict=True))
    return (told[0], *(then for before, then in pairwise(told) if then[1] != before[1]))
