"""Profiles in shown figures never claim a strut that is not there."""

from __future__ import annotations

import re
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from cache_check.model.result import Stretch
from cache_check.report.lengths import shown_stretches
from cache_check.report.say import Say
from report.sample_results import INCH, stretches

SI = Say("si", ())
US = Say("us", ())
MM = 1_000_000


@st.composite
def profiles(draw: st.DrawFn) -> tuple[Stretch, ...]:
    """A profile in tenths of a millimetre: points and the open spans between them, each with its count."""
    ends = sorted(draw(st.sets(st.integers(9_000, 9_080), min_size=2, max_size=7)))
    made = []
    for i, end in enumerate(ends):
        at = end * MM // 10
        made.append(Stretch(at, at, True, True, draw(st.integers(0, 3))))
        if i + 1 < len(ends):
            made.append(Stretch(at, ends[i + 1] * MM // 10, False, False, draw(st.integers(0, 3))))
    return tuple(one for one in made if one.count)


def true_count(told: tuple[Stretch, ...], nm: int) -> int:
    """The count at a length by the profile itself."""
    for one in told:
        above = one.low < nm or (one.low == nm and one.low_included)
        below = nm < one.high or (nm == one.high and one.high_included)
        if above and below:
            return one.count
    return 0


def claimed(row: str, mm: Fraction) -> bool:
    """Whether a shown row speaks of a length; single settings, said to the nearest, are left to another test."""
    if row.startswith("at ") or "settings" in row:
        return False
    match = re.fullmatch(r"(over )?([\d,]+) to (under )?([\d,]+)", row)
    assert match, row
    low, high = (int(match[i].replace(",", "")) for i in (2, 4))
    return (low < mm if match[1] else low <= mm) and (mm < high if match[3] else mm <= high)


@given(profiles())
def test_no_row_claims_more_than_there_is(told: tuple[Stretch, ...]) -> None:
    """At every length, each row that speaks of it shows no more struts than the profile has there."""
    rows = list(shown_stretches(told, SI))
    for tenth_of_tenth in range(90_000 - 20, 90_800 + 20):
        mm = Fraction(tenth_of_tenth, 100)
        true = true_count(told, tenth_of_tenth * MM // 100)
        for row, count in rows:
            if claimed(row, mm):
                assert int(count) <= true, (row, count, mm, true)


@given(profiles())
def test_single_setting_is_shown_to_the_nearest(told: tuple[Stretch, ...]) -> None:
    """A row "at" a length stands for a setting within half a millimetre that has as many struts."""
    for row, count in shown_stretches(told, SI):
        if row.startswith("at "):
            mm = int(row.removeprefix("at ").replace(",", ""))
            near = range((2 * mm - 1) * MM // 2, (2 * mm + 1) * MM // 2 + 1, MM // 10)
            assert any(true_count(told, nm) >= int(count) for nm in near), (row, told)


def test_exact_ends_are_shown_as_they_are() -> None:
    """Ends that can be shown keep their figures, and "under" and "over" say which side has them."""
    told = (
        Stretch(30 * INCH, 40 * INCH, True, False, 1),
        Stretch(40 * INCH, 50 * INCH, True, True, 2),
        Stretch(50 * INCH, 60 * INCH, False, True, 1),
    )

    assert list(shown_stretches(told, US)) == [
        ("30.0 to under 40.0", "1"), ("40.0 to 50.0", "2"), ("over 50.0 to 60.0", "1"),
    ]  # fmt: skip


def test_hole_settings_of_one_count_are_told_in_one_row() -> None:
    """Single settings are counted, with nothing between them."""
    told = stretches(*((n * INCH, n * INCH, 2) for n in (40, 42, 44)))

    assert list(shown_stretches(told, US)) == [("3 settings from 40.0 to 44.0, nothing between them", "2")]
