"""Spans of the calendar: month ends, leap days, and what is no span."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cache_check.checks.costs import later
from cache_check.errors import AskError

DAYS = st.dates(date(1950, 1, 1), date(2100, 12, 31))


@pytest.mark.parametrize(
    ("day", "span", "then"),
    [
        ("2026-01-31", "1 month", "2026-02-28"),
        ("2028-01-31", "1 month", "2028-02-29"),
        ("2028-02-29", "12 months", "2029-02-28"),
        ("2028-02-29", "4 years", "2032-02-29"),
        ("2100-01-31", "1 month", "2100-02-28"),
        ("2026-11-30", "3 months", "2027-02-28"),
        ("2026-12-31", "2 months", "2027-02-28"),
        ("2026-08-31", "13 months", "2027-09-30"),
        ("2027-02-28", "12 months", "2028-02-28"),
        ("2026-11-25", "12 months", "2027-11-25"),
        ("2026-11-25", "0 days", "2026-11-25"),
        ("2027-12-31", "366 days", "2028-12-31"),
        ("2026-12-25", "2 weeks", "2027-01-08"),
        ("2026-11-25", " 1 Year ", "2027-11-25"),
    ],
)
def test_spans_worked_by_hand(day: str, span: str, then: str) -> None:
    """A month on is the same day, or the last day of a shorter month."""
    assert later(date.fromisoformat(day), span).isoformat() == then


@given(DAYS, st.integers(0, 600))
def test_months_on_stay_in_their_month(day: date, months: int) -> None:
    """So many months on lies in just that month, on the same day or on the month's last."""
    then = later(day, f"{months} months")

    assert (then.year * 12 + then.month) - (day.year * 12 + day.month) == months
    assert then.day == day.day or (then.day < day.day and (then + timedelta(days=1)).day == 1)


@given(DAYS, DAYS, st.integers(0, 600))
def test_months_keep_the_order_of_days(one: date, two: date, months: int) -> None:
    """What is earlier today is not later then."""
    early, late = sorted((one, two))

    assert later(early, f"{months} months") <= later(late, f"{months} months")


@pytest.mark.parametrize(
    "span", ["", "12", "months", "-1 month", "1.5 years", "12 moons", "12months or so", "1 month, 2 days"]
)
def test_no_span_is_refused(span: str) -> None:
    """A text that is no span is refused with what would be right."""
    with pytest.raises(AskError, match='write "12 months"'):
        later(date(2026, 1, 1), span)


def test_past_the_calendar_is_refused() -> None:
    """A span that leads past the last year is refused, not a fault."""
    with pytest.raises(AskError, match="past the year 9999"):
        later(date(2026, 1, 1), "9000 years")
