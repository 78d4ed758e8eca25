"""What a column needs of others: none is shut that a choice so cheap takes, and more is shut than costs alone show."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from random import Random

import numpy as np
import pytest

from cache_check.planning.solving import whole_numbers
from cache_check.planning.solving.programme import Draft, Programme, Row
from cache_check.planning.solving.relaxation import Needs, tabled
from cache_check.planning.solving.solver import Ending
from cache_check.planning.solving.whole_numbers import Opened

NOTHING, TWO = np.zeros(4), np.full(4, 2.0)


def _dear(rows: list[Row], reduced: list[float], room: float, lows: np.ndarray = NOTHING) -> list[int]:
    needs = Needs(tabled(rows, len(reduced)), lows)
    return np.flatnonzero(needs.dear(np.asarray(reduced), lows, TWO, room)).tolist()


def test_what_is_needed_is_paid_for_too() -> None:
    """Three, of 1, needs two, of 1, which needs none or one, of 1 and 2: the least of each adds up, room is met."""
    opened, stood = Row(((2, 1), (0, -1), (1, -1)), None, 0), Row(((3, 1), (2, -2)), None, 0)
    reduced = [1.0, 2.0, 1.0, 1.0]

    assert _dear([opened, stood], reduced, 3.0) == []
    assert _dear([opened, stood], reduced, 2.5) == [3]
    assert _dear([opened, stood], reduced, 1.5) == [1, 2, 3]
    assert _dear([opened], reduced, 1.5) == [1, 2]


@pytest.mark.parametrize(
    ("row", "why"),
    [
        (Row(((2, 1), (0, -1), (1, -1)), None, 1), "one may be taken with nothing given"),
        (Row(((2, 1), (3, -1)), None, 0), "what gives stands after, so that needs could go round"),
        (Row(((2, 1), (0, -1), (3, -1)), None, 0), "some of what gives stands after"),
        (Row(((1, 1), (3, 1), (2, -1)), None, 0), "some of what takes stands before"),
        (Row(((2, 1), (0, 1)), None, 0), "nothing gives"),
        (Row(((2, -1), (0, -1)), None, 0), "nothing takes"),
        (Row(((2, 1), (0, -1)), 0, None), "it bounds from below"),
    ],
)
def test_other_rows_say_nothing(row: Row, why: str) -> None:
    """Then a column adds what it costs, and no more."""
    assert _dear([row], [5.0, 5.0, 1.0, 1.5], 2.0) == [0, 1], why


def test_what_is_taken_anyway_costs_nothing_more_and_is_never_shut() -> None:
    """One that must be taken gives for free, and one that may go below nothing makes no need."""
    row = Row(((2, 1), (0, -1)), None, 0)

    assert _dear([row], [5.0, 0.0, 1.0, 0.0], 2.0, np.asarray([1.0, 0, 0, 0])) == []
    assert _dear([row], [5.0, 0.0, 1.0, 0.0], 2.0, np.asarray([0.0, 0, 1, 0])) == [0]
    assert _dear([row], [5.0, 0.0, 1.0, 0.0], 2.0, np.asarray([-1.0, 0, 0, 0])) == [0]
    assert _dear([row], [5.0, -9.0, 1.0, 0.0], 2.0) == [0, 2]


def test_what_two_rows_need_alike_is_paid_for_once() -> None:
    """Two needs the one, of 2, in either row, which it has by one of it."""
    row = Row(((2, 1), (0, -1)), None, 0)

    assert _dear([row, row], [2.0, 0.0, 1.0, 0.0], 3.0) == []
    assert _dear([row, row], [2.0, 0.0, 1.0, 0.0], 2.5) == [2]


def test_needs_are_found_whatever_the_order_of_the_terms() -> None:
    """Three needs none, of 3, or two, of nothing; by column the term of another row stands between those."""
    rows = [Row(((3, 1), (0, -1), (2, -1)), None, 0), Row(((4, 1), (1, -1)), None, 0)]
    table, nothing, two = tabled(rows, 5), np.zeros(5), np.full(5, 2.0)
    order = np.argsort(table.column, kind="stable")
    turned = replace(table, row=table.row[order], column=table.column[order], number=table.number[order])

    for one in (table, turned):
        shut = Needs(one, nothing).dear(np.asarray([3.0, 1.0, 0.0, 0.0, 1.0]), nothing, two, 1.5)
        assert np.flatnonzero(shut).tolist() == [0, 4]


def _drawn(seed: int) -> tuple[Programme, dict[int, int]]:
    """Sets, ways to open them and to stand up struts: each needs some of those before; so many struts must stand."""
    draw, draft = Random(seed), Draft()
    costs = {draft.column(2): draw.randint(0, 5) for _ in range(8)}
    sets, opened, stood = range(2), range(2, 5), range(5, 8)
    for takes, gives in ((opened, sets), (stood, opened)):
        for one in takes:
            given = draw.sample(gives, draw.randint(1, len(gives)))
            draft.row(
                [(one, draw.randint(1, 2)), *((x, -draw.randint(1, 2)) for x in given)], None, draw.choice([0, 0, 1])
            )
    draft.row([(x, 1) for x in stood], draw.randint(1, 3), None)
    draft.row([(x, draw.randint(1, 3)) for x in sets], None, draw.randint(3, 6))
    return draft.done(), costs


def test_no_choice_that_is_cheap_enough_takes_what_is_shut(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of all choices of small programmes; and the needs shut what reduced costs alone leave open."""
    monkeypatch.setattr(whole_numbers, "_FEW", 0)
    more = 0
    for seed in range(80):
        programme, costs = _drawn(seed)
        every = [values for values in product(range(3), repeat=8) if programme.holds(values)]
        priced = [(sum(cost * values[x] for x, cost in costs.items()), values) for values in every]
        opened = Opened(programme)
        answer = opened.least(costs, 60)
        if not every:
            assert answer.ending is Ending.INFEASIBLE
            continue
        assert answer.cost == min(cost for cost, _ in priced)
        for room in range(4):
            within = opened.within(answer.cost + room)
            for cost, values in priced:
                assert cost > answer.cost + room or within.issuperset(x for x, n in enumerate(values) if n)
            monkeypatch.setattr(opened.needs, "_starts", ())
            more += len(opened.within(answer.cost + room)) - len(within)
            monkeypatch.undo()
            monkeypatch.setattr(whole_numbers, "_FEW", 0)
    assert more
