"""Days of the calendar: so many days, weeks, months or years on."""

from __future__ import annotations

import calendar
import re
from datetime import date, timedelta

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
