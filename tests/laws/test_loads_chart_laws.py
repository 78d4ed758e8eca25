"""Laws of charts on random tables, with a slow and plain reading as the oracle."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from hypothesis import example, given
from hypothesis import strategies as st

from cache_check.loads.chart import Exact, Row, flaws, lowest_load, unrated_spans

LIMITS = st.lists(st.integers(10, 200), min_size=1, max_size=6, unique=True).map(sorted)


@st.composite
def _charts(draw: st.DrawFn) -> list[Row]:
    limits = draw(LIMITS)
    columns = draw(st.integers(1, 3))
    cell = st.none() | st.integers(1, 40)
    return [Row(limit, tuple(draw(cell) for _ in range(columns))) for limit in limits]


@st.composite
def _sane_charts(draw: st.DrawFn) -> list[Row]:
    """Loads that fall with length, no faster than 1 / L^2, and with each extension; blanks only at the end."""
    limits = draw(LIMITS)
    shape = [Fraction(1000)]
    for near, far in pairwise(limits):
        haste = draw(st.fractions(0, 1, max_denominator=20))
        shape.append(shape[-1] * (1 - haste * (1 - Fraction(near, far) ** 2)))
    factors = sorted(draw(st.lists(st.fractions("1/10", 1, max_denominator=20), min_size=3, max_size=3)))[::-1]
    ends = [draw(st.integers(0, len(limits))) for _ in factors]
    return [
        Row(limit, tuple(load * factor if place < end else None for factor, end in zip(factors, ends, strict=True)))
        for place, (limit, load) in enumerate(zip(limits, shape, strict=True))
    ]


def _slow(rows: list[Row], length: Exact, extensions: int) -> Exact | None:
    for row in rows:
        if length <= row.limit:
            return row.loads[extensions] if extensions < len(row.loads) else None
    return None


@given(_charts(), st.fractions(1, 250, max_denominator=8), st.integers(0, 4))
def test_reading_a_chart(rows: list[Row], length: Fraction, extensions: int) -> None:
    """The load at a length is what a person finds who runs a finger down the rows."""
    assert lowest_load(rows, length, length, extensions) == _slow(rows, length, extensions)


@given(
    _sane_charts(), st.fractions(1, 250, max_denominator=8), st.fractions(1, 250, max_denominator=8), st.integers(0, 3)
)
def test_a_sane_chart_never_rewards_length(rows: list[Row], one: Fraction, other: Fraction, extensions: int) -> None:
    """A chart made to be sane has no flaw, and never rates a longer strut, or one more extension, higher."""
    assert flaws(rows) == []
    short, long = sorted((one, other))
    near, far = lowest_load(rows, short, short, extensions), lowest_load(rows, long, long, extensions)
    more = lowest_load(rows, short, short, extensions + 1)

    assert near is None or far is None or far <= near
    assert near is None or more is None or more <= near
    assert near is not None or far is None


@given(_charts(), st.integers(1, 220), st.integers(0, 60), st.integers(0, 3))
@example([Row(10, (3,)), Row(20, (1,)), Row(30, (2,))], 5, 20, 0)
def test_a_range_takes_the_least_of_its_lengths(rows: list[Row], short: int, travel: int, extensions: int) -> None:
    """One length in it that is unrated leaves the whole range unrated."""
    each = [lowest_load(rows, short + n, short + n, extensions) for n in range(travel + 1)]
    least = None if None in each else min(load for load in each if load is not None)

    assert lowest_load(rows, short, short + travel, extensions) == least


@given(_charts(), st.integers(1, 220), st.integers(0, 60), st.data())
def test_a_worse_cell_never_carries_more(rows: list[Row], short: int, travel: int, data: st.DataObject) -> None:
    """A cell lowered or blanked never lets a range carry more."""
    place = data.draw(st.integers(0, len(rows) - 1))
    worse = tuple(data.draw(st.none() | st.just(1)) if load is not None else None for load in rows[place].loads)
    spoilt = [*rows[:place], Row(rows[place].limit, worse), *rows[place + 1 :]]
    before, after = (lowest_load(chart, short, short + travel, 0) for chart in (rows, spoilt))

    assert after is None or (before is not None and after <= before)


@given(_charts())
def test_rises_are_found_just_when_there_is_one(rows: list[Row]) -> None:
    """A rise is reported just when some cell tops one no longer and with no more extensions."""
    cells = [(i, k, load) for i, row in enumerate(rows) for k, load in enumerate(row.loads) if load is not None]
    topped = {(i, k) for i, k, load in cells for j, m, low in cells if j <= i and m <= k and low < load}

    assert {(f.row, f.extensions) for f in flaws(rows) if f.kind.startswith("rises")} == topped


@given(_charts())
def test_falls_are_found_just_when_there_is_one(rows: list[Row]) -> None:
    """A fall faster than Euler is reported just when load times length squared drops down a column."""
    fast = set()
    for column in range(len(rows[0].loads)):
        rated = [(i, row.limit, load) for i, row in enumerate(rows) if (load := row.loads[column]) is not None]
        for (_, limit, load), (place, longer, less) in pairwise(rated):
            if less * longer**2 < load * limit**2:
                fast.add((place, column))

    assert {(f.row, f.extensions) for f in flaws(rows) if f.kind == "falls faster than Euler"} == fast


@given(_charts(), st.integers(0, 3), st.integers(1, 220), st.integers(0, 60))
@example([Row(40, (None,)), Row(41, (1,))], 0, 40, 1)  # only closed is unrated
@example([Row(40, (None, 1)), Row(41, (None, None))], 1, 40, 1)  # closed is rated, all that is longer is not
def test_unrated_spans_are_where_nothing_is_rated(rows: list[Row], extensions: int, closed: int, travel: int) -> None:
    """Each whole and half length between closed and open lies in a span just when it is unrated."""
    opened = closed + travel
    spans = list(unrated_spans(rows, extensions, closed, opened))
    for step in range(2 * travel + 1):
        length = closed + Fraction(step, 2)
        inside = any(over < length <= up_to for over, up_to in spans)
        if length == closed:
            begins = all(row.limit != closed for row in rows)
            inside = any(over == closed and (up_to == closed or begins) for over, up_to in spans)
        assert inside == (lowest_load(rows, length, length, extensions) is None)
