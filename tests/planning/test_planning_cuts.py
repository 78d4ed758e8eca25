"""Cuts: whatever rows are added up, and however often, no whole choice is shut out."""

from __future__ import annotations

from itertools import product
from random import Random
from typing import Any

import numpy as np
import pytest

from cache_check.planning.solving.cuts import Cutter
from cache_check.planning.solving.programme import Draft, Programme
from cache_check.planning.solving.solver import Ending
from cache_check.planning.solving.solvers import solved


def _drawn(draw: Random) -> Programme:
    draft = Draft()
    lows = [draw.choice([0, 0, 1, -2]) for _ in range(draw.randint(1, 4))]
    columns = [draft.column(low + draw.randint(0, 3), low=low) for low in lows]
    for _ in range(draw.randint(1, 4)):
        low, high = sorted((draw.randint(-9, 12), draw.randint(-9, 12)))
        kind = draw.randrange(4)
        huge = draw.choice([0, 0, 0, 0, 0, 10**13, 10**16, 10**19])
        terms = [(column, draw.randint(-5, 5) + draw.randint(-huge, huge)) for column in columns]
        draft.row(terms, low if kind else None, high if kind != 1 else None if kind else high)
    return draft.done()


def _counts(draw: Random, lines: int, rows: int) -> Any:
    """How often each row is counted: so-manieths mostly, and now and then anything at all."""
    share = draw.randint(1, 150)
    table = np.asarray([[draw.randint(-9, 9) / share for _ in range(rows)] for _ in range(lines)])
    for line in table:
        if draw.random() < 0.2:
            line[draw.randrange(rows)] = draw.gauss(0, 1)
    return table


@pytest.mark.parametrize("block", range(8))
def test_no_whole_choice_is_shut_out(block: int) -> None:
    """Every choice of whole numbers that keeps the rows keeps every cut, and cuts of cuts, by trying all.

    Some rows have numbers that neither a float nor a machine's whole number holds.
    """
    made = 0
    for seed in range(50 * block, 50 * block + 50):
        draw = Random(f"cuts {seed}")
        programme = _drawn(draw)
        cutter = Cutter(programme)
        ranges = [range(low, (high or 0) + 1) for low, high in zip(programme.lows, programme.highs, strict=True)]
        every = [values for values in product(*ranges) if programme.holds(values)]
        rows = len(programme.rows)
        for _ in range(3):
            values = np.asarray([draw.uniform(one[0] - 0.5, one[-1] + 0.5) for one in ranges])
            totals = np.asarray([draw.uniform(-9, 12) for _ in range(rows)])
            table, limits = cutter.cuts(values, totals, _counts(draw, 20, rows), 8)
            made += len(limits)
            rows += len(limits)
            for line, limit in zip(table, limits, strict=True):
                assert line @ values > limit, "a cut shuts out what it was made for"
                assert all(line @ np.asarray(choice) <= limit for choice in every)
    assert made > 100


def test_a_cut_of_the_textbooks() -> None:
    """3x + 2y <= 6 and -3x + 2y <= 0 meet at (1, 1.5), where y is a quarter of both: y <= 1 (Wolsey, from memory)."""
    draft = Draft()
    x, y = draft.column(9), draft.column(9)
    draft.row([(x, 3), (y, 2)], None, 6)
    draft.row([(x, -3), (y, 2)], None, 0)

    table, limits = Cutter(draft.done()).cuts(
        np.asarray([1, 1.5]), np.asarray([6.0, 0.0]), np.asarray([[0.25, 0.25]]), 5
    )

    assert table.tolist() == [[0.0, 1.0]]
    assert limits.tolist() == [1.0]


def test_only_cuts_are_forgotten() -> None:
    """The programme's own rows stay, however far from their bounds."""
    draft = Draft()
    x, y = draft.column(9), draft.column(9)
    draft.row([(x, 3), (y, 2)], None, 6)
    draft.row([(x, -3), (y, 2)], None, 0)
    cutter = Cutter(draft.done())
    cutter.cuts(np.asarray([1, 1.5]), np.asarray([6.0, 0.0]), np.asarray([[0.25, 0.25]]), 5)

    assert cutter.drop(np.asarray([0.0, -3.0, 1.0])).tolist() == []
    assert cutter.drop(np.asarray([0.0, -3.0, 0.5])).tolist() == [2]
    assert cutter.drop(np.asarray([0.0, -3.0])).tolist() == []


def test_rows_of_huge_numbers_are_not_added_up() -> None:
    """A number that floating point would round is left alone, and so is a row that is counted without a bound."""
    draft = Draft()
    x, y = draft.column(9), draft.column(9)
    draft.row([(x, 2), (y, 10**15 + 1)], None, 10**15 + 2)
    draft.row([(x, 2), (y, 2)], None, None)

    table, _ = Cutter(draft.done()).cuts(np.asarray([0.5, 1]), np.asarray([1e15, 3.0]), np.eye(2) / 2, 5)

    assert not len(table)


def test_cuts_alone_prove_what_fractions_leave_open(monkeypatch: pytest.MonkeyPatch) -> None:
    """Packs of four for three places, dear against cheap: no case is looked at, and the solver does not search."""
    monkeypatch.setattr("cache_check.planning.solving.whole_numbers._CASES", 0)
    monkeypatch.setattr("cache_check.planning.solving.whole_numbers.search", None)
    draft = Draft()
    four, one = draft.column(3, cost=30), draft.column(3, cost=11)
    draft.row([(four, 4), (one, 1)], 3, None)

    answer = solved(draft.done(), 10)

    assert (answer.ending, answer.cost, answer.values) == (Ending.OPTIMAL, 30, (1, 0))
