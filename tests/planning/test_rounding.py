"""From fractions to a plan in whole numbers: what a dive finds, what a search finds, when columns are made."""

from __future__ import annotations

from itertools import combinations
from math import floor
from random import Random

import pytest

from cache_check.planning.packing.ledger import Amounts, left_after
from cache_check.planning.solving.solver import Ending, Relaxed, Uses, Whole, make_solver
from cache_check.planning.stores import rounding
from cache_check.planning.stores.rounding import Rounding

Stock = tuple[int, ...]
ROWS = 10
THREES = tuple(combinations(range(ROWS), 3))


def _drawn(seed: int) -> tuple[list[Uses], Stock]:
    """Columns that take one or two of each of three rows, so that optima have fractions; and a stock."""
    draw = Random(f"rounding {seed}")
    uses = [tuple((row, draw.choice([1, 1, 2])) for row in rows) for rows in draw.sample(THREES, 14)]
    return uses, tuple(draw.randint(2, 6) for _ in range(ROWS))


class Asked:
    """A solver that tells what it was asked; its searches find what they are told to find, if they are told."""

    def __init__(self, uses: list[Uses], found: int | None = None) -> None:
        self.solver, self.found = make_solver(uses, ROWS), found
        self.relaxations, self.nodes = 0, list[int | None]()

    def relaxed(self, columns: tuple[int, ...], stock: Stock) -> Relaxed:
        """As the solver says."""
        self.relaxations += 1
        return self.solver.relaxed(columns, stock)

    def whole(
        self, columns: tuple[int, ...], stock: Stock, seconds: float, nodes: int | None = None, most: int = 0
    ) -> Whole:
        """As the solver says, or so many of each column."""
        self.nodes.append(nodes)
        if self.found is None:
            return self.solver.whole(columns, stock, seconds, nodes, most)
        return Whole((self.found,) * len(columns), Ending.LIMIT)


def _never(_worth: tuple[float, ...]) -> bool:
    return False


def _bounds(uses: list[Uses], stock: Stock) -> tuple[int, int]:
    """The most struts, and what the relaxed optimum allows."""
    solver, every = make_solver(uses, ROWS), tuple(range(len(uses)))
    return sum(solver.whole(every, stock, 5.0).amounts), floor(sum(solver.relaxed(every, stock).amounts) + 1e-6)


def _holds(uses: list[Uses], stock: Stock, plan: Amounts) -> bool:
    return min(left_after(uses, stock, plan)) >= 0 and all(number > 0 for number in plan.values())


def test_a_dive_finds_nearly_all_that_stand_with_little_asked() -> None:
    """Without one search: of forty draws all but a few struts are found, each plan from what there is."""
    short = relaxations = 0
    for seed in range(40):
        uses, stock = _drawn(seed)
        most, bound = _bounds(uses, stock)
        asked = Asked(uses, 0)
        made = Rounding(uses, asked, _never, bound, 5.0)
        made.run(stock, {})
        assert _holds(uses, stock, made.best)
        short += most - sum(made.best.values())
        relaxations += asked.relaxations

    assert short <= 3
    assert relaxations <= 190


@pytest.mark.parametrize("seed", range(8))
def test_where_few_are_left_a_search_finds_the_most_at_once(seed: int) -> None:
    """It is asked once, for so many nodes and of all that there is; what was taken before it stays in the plan."""
    uses, stock = _drawn(seed)
    most, _ = _bounds(uses, stock)
    low = {next(column for column, own in enumerate(uses) if all(stock[row] >= each for row, each in own)): 1}
    with_low, _ = _bounds(uses, tuple(left_after(uses, stock, low)))
    for begun, count in (({}, most), (low, with_low + 1)):
        asked = Asked(uses)
        made = Rounding(uses, asked, _never, count, 5.0)
        made.run(stock, begun)

        assert _holds(uses, stock, made.best)
        assert sum(made.best.values()) == count
        assert all(made.best[column] >= number for column, number in begun.items())
        assert (asked.nodes, asked.relaxations) == ([rounding._NODES], 1)


def test_what_is_had_already_asks_nothing() -> None:
    """A plan that meets the bound from the start is the plan."""
    uses: list[Uses] = [((0, 1),), ((1, 1),)]
    stock = (2,) + (0,) * (ROWS - 1)
    asked = Asked(uses)
    made = Rounding(uses, asked, _never, 2, 5.0)
    made.run(stock, {0: 2})

    assert (made.best, made.done, asked.nodes, asked.relaxations) == ({0: 2}, True, [], 0)


def test_a_bound_that_cannot_be_met_is_not_sought_without_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """By fractions alone a strut is missed, and no more is asked than may be; a search of all there is finds it."""
    uses, stock = _drawn(23)
    most, _ = _bounds(uses, stock)
    monkeypatch.setattr(rounding, "_LAST", 0.5)  # the dive goes down to the last strut before it searches
    for found, short in ((None, 0), (0, 1)):
        asked = Asked(uses, found)
        made = Rounding(uses, asked, _never, 99, 5.0)
        made.run(stock, {})
        assert not made.done
        assert sum(made.best.values()) == most - short

    monkeypatch.setattr(rounding, "_MOST", 3)
    brief = Asked(uses, 0)
    Rounding(uses, brief, _never, most, 5.0).run(stock, {})
    assert brief.relaxations <= 3 + rounding._TRIES < asked.relaxations


def test_a_plan_that_takes_more_than_there_is_is_not_taken() -> None:
    """A search that says one of each, of two that share the last piece of a row, is not believed."""
    uses: list[Uses] = [((0, 1), (1, 1)), ((0, 1), (2, 1))]
    made = Rounding(uses, Asked(uses, 1), _never, 2, 5.0)
    made.run((1,) + (5,) * (ROWS - 1), {})

    assert sum(made.best.values()) == 1


@pytest.mark.parametrize(("bound", "made_ready"), [(3, 1), (4, 1), (2, 0)])
def test_columns_are_made_where_the_bound_is_out_of_reach(bound: int, made_ready: int) -> None:
    """Two struts of the column there is; a third of one that is made, which is asked for only where three could be."""
    uses: list[Uses] = [((0, 1), (1, 2))]
    stock = (3, 4) + (1,) * (ROWS - 2)
    worths = []

    def make(worth: tuple[float, ...]) -> bool:
        worths.append(worth)
        if len(uses) < 2:
            uses.append(((0, 1), (2, 1)))
            return True
        return False

    made = Rounding(uses, Asked(uses, 0), make, bound, 5.0)
    made.run(stock, {})

    assert made.best == ({0: 2, 1: 1} if made_ready else {0: 2})
    assert bool(worths) == bool(made_ready)
    if worths:
        assert worths[0][:3] == pytest.approx((0, 0.5, 0))
