"""What falls out of use as time goes by, and the struts that go with it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from cache_check.checks.causes import falls
from cache_check.checks.costs import Asked, Counts
from cache_check.checks.days import later
from cache_check.joining.mending import kept_out
from cache_check.model.audit import Ahead
from cache_check.model.piece import Why
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.tally import tally


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
