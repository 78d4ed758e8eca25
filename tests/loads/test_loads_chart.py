"""The rated load at a length, on the chart of family P of the invented county."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cache_check.loads.chart import (
    DesignFactor,
    Row,
    flaws,
    least_by_euler,
    lowest_load,
    rated_at_factor,
    rated_from_ultimate,
    row_at_or_above,
    unrated_spans,
)
from cache_check.model.assembly import merged

FAMILY_P = [
    Row(48, (24_000, 22_000, 20_000)),
    Row(60, (20_000, 18_000, 16_000)),
    Row(72, (16_000, 14_500, 12_800)),
    Row(84, (None, 12_000, 10_500)),
    Row(96, (None, 10_000, 8_600)),
    Row(108, (None, None, 7_000)),
]


@pytest.mark.parametrize(
    ("length", "extensions", "load"),
    [
        (Fraction("26.5"), 0, 24_000),
        (48, 0, 24_000),
        (Fraction("48.000001"), 0, 20_000),
        (60, 1, 18_000),
        (Fraction("60.04"), 1, 14_500),
        (66, 2, 12_800),
        (72, 0, 16_000),
        (73, 0, None),
        (108, 2, 7_000),
        (Fraction("108.0000001"), 2, None),
        (50, 3, None),
    ],
)
def test_row_at_or_above(length: Fraction, extensions: int, load: int | None) -> None:
    """The row at or above governs, never one between, past the end or from a blank."""
    assert lowest_load(FAMILY_P, length, length, extensions) == load


def test_rows_are_found_exactly_in_either_unit() -> None:
    """A limit of 60 in and a length of 1,524 mm meet exactly in whole nanometres."""
    rows = [Row(row.limit * 25_400_000, row.loads) for row in FAMILY_P]

    assert row_at_or_above(rows, 1_524_000_000) == 1
    assert row_at_or_above(rows, 1_524_000_001) == 2


def test_a_blank_above_a_rated_row_is_still_unrated() -> None:
    """A blank row governs its lengths, though a longer row is rated; a range that touches it is unrated."""
    rows = [Row(48, (None,)), Row(60, (1000,))]

    assert lowest_load(rows, 40, 40, 0) is None
    assert lowest_load(rows, 50, 50, 0) == 1000
    assert lowest_load(rows, 45, 50, 0) is None
    assert lowest_load(rows, 49, 60, 0) == 1000
    assert flaws(rows) == []


@pytest.mark.parametrize(
    ("shortest", "longest", "load"), [(40, 48, 24_000), (40, 49, 20_000), (49, 72, 16_000), (70, 73, None)]
)
def test_a_range_takes_the_lowest_of_all_rows_it_touches(shortest: int, longest: int, load: int | None) -> None:
    """Both ends count, and every row between them."""
    assert lowest_load(FAMILY_P, shortest, longest, 0) == load
    assert lowest_load([Row(10, (3,)), Row(20, (1,)), Row(30, (2,))], 5, 25, 0) == 1


def test_the_county_chart_is_sane() -> None:
    """The invented chart has no flaw, and an empty one neither."""
    assert flaws(FAMILY_P) == []
    assert flaws([]) == []
    assert lowest_load([], 50, 50, 0) is None


@pytest.mark.parametrize(
    ("rows", "kind", "row", "extensions"),
    [
        ([Row(60, (10,)), Row(48, (12,))], "rows not sorted by length", 1, None),
        ([Row(60, (10,)), Row(60, (10,))], "rows not sorted by length", 1, None),
        ([Row(0, (10,))], "length or load not over 0", 0, None),
        ([Row(48, (0,))], "length or load not over 0", 0, 0),
        ([Row(48, (100,)), Row(60, (101,))], "rises with length", 1, 0),
        ([Row(48, (100, 101))], "rises with extensions", 0, 1),
        ([Row(48, (100, None)), Row(60, (None, 101))], "rises with length and extensions", 1, 1),
        ([Row(48, (100,)), Row(96, (24,))], "falls faster than Euler", 1, 0),
    ],
)
def test_each_flaw(rows: list[Row], kind: str, row: int, extensions: int | None) -> None:
    """Each way in which a chart makes no sense is found, with its cell."""
    assert (kind, row, extensions) in [(flaw.kind, flaw.row, flaw.extensions) for flaw in flaws(rows)]


def test_a_column_of_one_length_carries_what_it_does() -> None:
    """No longer than it is."""
    assert least_by_euler(100, 48, 48) == 100


def test_exactly_euler_is_no_flaw() -> None:
    """A chart that falls just as 1 / L^2 passes; a hair under is named with what it should be."""
    assert flaws([Row(48, (100,)), Row(96, (25,))]) == []
    (flaw,) = flaws([Row(48, (100,)), Row(96, (Fraction(2499, 100),))])
    assert (flaw.least, flaw.against) == (25, 0)


@pytest.mark.parametrize(
    ("extensions", "closed", "opened", "spans"),
    [
        (0, 40, 72, []),
        (0, 40, 73, [(72, 73)]),
        (0, 80, 90, [(80, 90)]),
        (1, 90, 120, [(96, 120)]),
        (2, 108, 108, []),
        (2, 109, 109, [(109, 109)]),
        (3, 40, 50, [(40, 50)]),
    ],
)
def test_unrated_spans(extensions: int, closed: int, opened: int, spans: list[tuple[int, int]]) -> None:
    """What an assembly can be set to but the chart does not rate is listed, joined into spans."""
    found = unrated_spans(FAMILY_P, extensions, closed, opened)
    assert list(merged((int(over), int(up_to)) for over, up_to in found)) == spans


def test_design_factor() -> None:
    """A failure load is divided by the factor; a chart at 2:1 is not divided by 2 again."""
    two, three, four = (DesignFactor(Fraction(k), said=True) for k in (2, 3, 4))

    assert rated_from_ultimate(24_000, 4) == 6000
    assert rated_at_factor(24_000, 1, four) == 6000
    assert rated_at_factor(12_000, 2, two) == 12_000
    assert rated_at_factor(12_000, 2, four) == 6000
    assert rated_at_factor(20_000, 1, three) == Fraction(20_000, 3)


def test_a_load_its_maker_rated_is_used_as_marked_unless_another_factor_was_said() -> None:
    """5,400 at 4:1 stays 5,400 under rules of 2:1, is 10,800 where 2:1 was said, and 2,700 at 8:1 either way."""
    assert rated_at_factor(5400, 4, DesignFactor(Fraction(2))) == 5400
    assert rated_at_factor(5400, 4, DesignFactor(Fraction(2), said=True)) == 10_800
    assert {rated_at_factor(5400, 4, DesignFactor(Fraction(8), said=said)) for said in (True, False)} == {2700}
