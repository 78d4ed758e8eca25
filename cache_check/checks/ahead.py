"""What falls out of use as time goes by, and the struts that go with it."""

from __future__ import annotations

import calendar
import re
from collections.abc import Sequence
from datetime import date, timedelta

from cache_check.checks.costs import Asked, Counts
from cache_check.joining.stock import Fitness, kept_out
from cache_check.model.audit import Ahead, Fall
from cache_check.model.cache import Item
from cache_check.model.piece import Why
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.tally import tally

_SPAN = re.compile(r"\s*(\d{1,4})\s*(day|week|month|year)s?\s*", re.IGNORECASE)


class NotASpanError(ValueError):
    """A text that is no span of time; the message says what would be right."""


def later(day: date, span: str) -> date:
    """The day that is "12 months", "90 days", "6 weeks" or "2 years" after another.

    A month on is the same day of the next month, or its last day where that month is shorter: a month after
    31 January is 28 February, or 29 in a leap year; a year after 29 February is 28 February.

    Raises:
        NotASpanError: the text is no span, or leads past the year 9999.
    """
    found = _SPAN.fullmatch(span)
    if found is None:
        raise NotASpanError(f'{span!r} is not a span of time; write "12 months", "90 days", "6 weeks" or "2 years"')
    number, unit = int(found[1]), found[2].casefold()
    try:
        if unit in ("day", "week"):
            return day + timedelta(days=number * (7 if unit == "week" else 1))
        return _months_on(day, number * (12 if unit == "year" else 1))
    except (OverflowError, ValueError):
        raise NotASpanError(f"{span!r} leads past the year 9999") from None


def _months_on(day: date, months: int) -> date:
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(day.day, last))


def ahead_of(today: Muster, asked: Sequence[Asked], span: str) -> Ahead:
    """What falls until a day to come, and the tallies on that day.

    Raises:
        NotASpanError: ``span`` is no span of time.
    """
    until = later(today.on, span)
    found = falls(today, until)
    waiting = kept_out(today.cache, (one for one in today.usable.idle if one.why is not Why.GONE))
    then = today.changed(cache=waiting, on=until, gone={})
    days = [today.on, *sorted({fall.on for fall in found})]
    by_day = _by_day(then, Counts(asked), days)
    return Ahead(
        until=until,
        falls=found,
        tallies=tuple(tally(then, one.ask, one.label, one.wanted) for one in asked),
        steps=tuple(_steps(days, [of_day[n] for of_day in by_day]) for n in range(len(asked))),
    )


def _by_day(then: Muster, counts: Counts, days: Sequence[date]) -> list[tuple[int, ...]]:
    """The counts on rising days.

    Time only takes pieces out, what is out today being kept so: between two days that count alike all do.
    """
    found: dict[int, tuple[int, ...]] = {}

    def at(day: int) -> tuple[int, ...]:
        if day not in found:
            found[day] = counts.of(then.changed(on=days[day]))
        return found[day]

    spans = [(0, len(days) - 1)]
    while spans:
        low, high = spans.pop()
        if at(low) == at(high):
            found |= dict.fromkeys(range(low, high + 1), at(low))
        elif high - low > 1:
            middle = (low + high) // 2
            spans += [(low, middle), (middle, high)]
    return [found[day] for day in range(len(days))]


def _steps(days: Sequence[date], counts: Sequence[int]) -> tuple[tuple[date, int], ...]:
    """The days on which a count changes, and the count from then on; the first is today."""
    kept = [(days[0], counts[0])]
    for day, count in zip(days[1:], counts[1:], strict=True):
        if count != kept[-1][1]:
            kept.append((day, count))
    return tuple(kept)


def falls(muster: Muster, until: date) -> tuple[Fall, ...]:
    """The pieces usable today that are not until a day to come, with the first day that they are not."""
    fitness = Fitness(muster.book, muster.cache.catalogue)
    found = []
    for line in muster.cache.stock:
        for item, number in line.pieces:
            if not fitness.of(item, muster.on).usable or fitness.of(item, until).usable:
                continue
            day = _first_day(fitness, item, muster.on, until)
            reason = fitness.of(item, day).reasons[0]
            where = item.where or line.where
            found.append(Fall(day, item.part, item.serial, number, where, reason.rule, reason.why.text))
    return tuple(sorted(found, key=lambda one: (one.on, one.part, one.serial)))


def _first_day(fitness: Fitness, item: Item, usable: date, out: date) -> date:
    """The first day on which a piece is out; time only takes pieces out, so the days may be halved."""
    low, high = usable.toordinal(), out.toordinal()
    while high - low > 1:
        middle = (low + high) // 2
        if fitness.of(item, date.fromordinal(middle)).usable:
            low = middle
        else:
            high = middle
    return date.fromordinal(high)
