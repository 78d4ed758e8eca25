"""Programmes in whole numbers: exact checks, every small one against trying all, and goals in order."""

from __future__ import annotations

from collections import Counter
from functools import partial
from itertools import chain, product, repeat
from random import Random
from typing import Any

import numpy as np
import pytest

from cache_check.errors import NoPlanError
from cache_check.planning.solving import branching, relaxation, whole_numbers
from cache_check.planning.solving.programme import Answer, Draft, Goal, Programme, Row, Terms, first_of, in_order
from cache_check.planning.solving.relaxation import tabled
from cache_check.planning.solving.solver import Clock, Ending
from cache_check.planning.solving.whole_numbers import Opened

Costs = dict[int, int]


def _drawn(seed: int) -> tuple[Programme, Costs]:
    """A programme of up to five columns of at most three, and up to four rows, some of them not to be kept; costs."""
    draw, lower = Random(seed), Random(f"lows {seed}")
    draft = Draft()
    tops = [(draw.randint(0, 3), draw.randint(-9, 9)) for _ in range(draw.randint(1, 5))]
    costs = {draft.column(high, low=min(high, lower.choice([0, 0, 1, 2]))): cost for high, cost in tops}
    for _ in range(draw.randint(0, 4)):
        terms = [(column, draw.randint(-4, 4)) for column in costs]
        low, high = sorted((draw.randint(-8, 12), draw.randint(-8, 12)))
        draft.row(terms, draw.choice([None, low]), draw.choice([None, high]))
    return draft.done(), costs


def _every(programme: Programme) -> list[tuple[int, ...]]:
    """Every choice that holds."""
    ranges = [range(low, (high or 0) + 1) for low, high in zip(programme.lows, programme.highs, strict=True)]
    return [values for values in product(*ranges) if programme.holds(values)]


def _cost(costs: Costs, values: tuple[int, ...]) -> int:
    return sum(cost * values[column] for column, cost in costs.items())


FEW = "cache_check.planning.solving.whole_numbers._FEW"
"""So few columns are searched all at once, more within what their reduced costs leave."""


@pytest.mark.parametrize("few", [0, 300])
@pytest.mark.parametrize("block", range(10))
def test_every_small_programme_is_solved_as_trying_all_does(
    block: int, few: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The cost is the least of all choices that hold, proven; where none holds that is said."""
    monkeypatch.setattr(FEW, few)
    for seed in range(30 * block, 30 * block + 30):
        programme, costs = _drawn(seed)
        answer = Opened(programme).least(costs, 10)
        least = min((_cost(costs, values) for values in _every(programme)), default=None)
        assert answer.cost == answer.bound == least
        assert answer.ending is (Ending.INFEASIBLE if least is None else Ending.OPTIMAL)
        assert answer.values is None or programme.holds(answer.values)


@pytest.mark.parametrize(
    ("least", "answer"), [(0, (Ending.OPTIMAL, (), 0, 0)), (1, (Ending.INFEASIBLE, None, None, None))]
)
def test_a_programme_without_columns_costs_nothing_where_its_rows_hold(least: int, answer: tuple[Any, ...]) -> None:
    """Where nothing can be taken nothing is; a row that wants something cannot be kept."""
    assert Opened(Programme((), (), (Row((), least),))).least({}, 10) == Answer(*answer)


def test_a_row_is_divided_by_what_its_numbers_share() -> None:
    """7 < 3 x 2.4 leaves two: the row of thousands is kept as one of ones, its bounds rounded inwards."""
    draft = Draft()
    one, two = draft.column(9), draft.column(9)
    draft.row([(one, 3000), (two, 6000)], 2999, 8999)

    (row,) = draft.done().rows

    assert (row.terms, row.low, row.high) == (((one, 1), (two, 2)), 1, 2)


def test_huge_numbers_stay_exact() -> None:
    """A bound missed by one part in 10**14 is missed."""
    draft = Draft()
    x, y = draft.column(1), draft.column(1)
    draft.row([(x, 10**14), (y, 10**14 + 1)], None, 2 * 10**14)

    assert Opened(draft.done()).least({x: -1, y: -1}, 10).cost in (-1, None)
    held = Opened(Programme((0, 0), (1, 1), ()))
    held.hold(*draft.done().rows)
    assert held.least({x: -1, y: -1}, 10).cost in (-1, None)


def test_what_the_prices_of_rows_prove_is_the_relaxed_optimum() -> None:
    """2 x + y is at most 5, at 1.75 and 1.5 where two rows meet; 3 x + 2 y is at least 2, by the row below it."""
    draft = Draft()
    x, y = draft.column(9), draft.column(9)
    draft.row([(x, 2), (y, 3)], None, 8)
    opened = Opened(draft.done())
    opened.relaxation.solved(np.asarray([-2.0, -1.0]), opened.lows, opened.highs, 10)
    opened.hold(Row(((x, 2), (y, -1)), None, 2))
    opened.hold(Row(((x, 1), (y, 1)), 1, None))

    for costs, least in (([-2.0, -1.0], -5.0), ([3.0, 2.0], 2.0)):
        opened.relaxation.solved(np.asarray(costs), opened.lows, opened.highs, 10)
        assert opened.relaxation.proof()[0] == pytest.approx(least)


def test_goals_are_met_in_their_order() -> None:
    """First as many as can be, then of the first as few as can be."""
    draft = Draft()
    x, y = draft.column(4), draft.column(4)
    draft.row([(x, 1), (y, 1)], None, 5)
    goals = [Goal("many", {x: -1, y: -1}), Goal("few of the first", {x: 1})]

    values, reached = in_order(draft.done(), goals, Opened, Clock(10))

    assert values == (1, 4)
    assert reached == (-5, 1)


def test_only_what_holds_the_last_goal_shuts_what_that_goal_would_not_take() -> None:
    """The first of two costs 1, the other 9: held at no more than one of the first, the other is taken as before."""
    draft = Draft()
    x, y = draft.column(1), draft.column(1)
    draft.row([(x, 1), (y, 1)], 1, None)
    opened = Opened(draft.done())
    assert opened.least({x: 1, y: 9}, 10).cost == 1

    opened.hold(Row(((x, 1),), None, 1))
    assert opened.least({y: -1}, 10).cost == -1


def test_a_column_without_bound_is_bounded_by_its_rows() -> None:
    """The first choice has none of it, and that is not taken for the most."""
    draft = Draft()
    x, y = draft.column(None), draft.column(1)
    draft.row([(x, 1)], None, 7)

    values, _ = in_order(draft.done(), [Goal("y", {y: -1}), Goal("x", {x: -1})], Opened, Clock(10))

    assert values == (7, 1)


@pytest.mark.parametrize("few", [0, 300])
@pytest.mark.parametrize("block", range(6))
def test_goals_in_order_are_met_as_trying_all_does(block: int, few: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was learnt for one goal, and what is held after it, never shuts out the best choice by the next."""
    monkeypatch.setattr(FEW, few)
    for seed in range(40 * block, 40 * block + 40):
        (programme, costs), draw = _drawn(seed), Random(f"goals {seed}")
        columns = list(costs)
        # One goal of a single column, which is held by that column's own bounds.
        goals = [Goal(f"{n}", {c: draw.randint(-5, 5) for c in columns}) for n in range(3)]
        goals.insert(1, Goal("one", {draw.choice(columns): 1}))
        every = _every(programme)
        best = min((tuple(_cost(goal.costs, values) for goal in goals) for values in every), default=())

        values, reached = in_order(programme, goals, Opened, Clock(10))

        assert reached == best
        assert (values in every) if every else values is None


@pytest.mark.parametrize("few", [0, 300])
@pytest.mark.parametrize("block", range(4))
def test_a_cost_is_had_if_it_is_the_least_and_what_it_may_take_is_left_open(
    block: int, few: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Asked for just the least cost it is had, and for one less it is not; no choice within a cost is left out."""
    monkeypatch.setattr(FEW, few)
    for seed in range(40 * block, 40 * block + 40):
        programme, costs = _drawn(seed)
        every = _every(programme)
        least = min((_cost(costs, values) for values in every), default=0)

        had = Opened(programme).least(costs, 10, known=least, under=least + 1)
        less = Opened(programme).least(costs, 10, known=least - 1, under=least)
        surely = Opened(programme).least(costs, 10, known=least - seed % 3)
        opened = Opened(programme)
        opened.least(costs, 10)
        # What is asked with some shut says nothing of what may be taken where they are not.
        some = range(seed % 2, len(programme.lows), 2)
        opened.may_be(costs, least, 10, some)
        opened.least(costs, 10, shut=some)

        assert (had.ending, had.cost) == ((Ending.OPTIMAL, least) if every else (Ending.INFEASIBLE, None))
        assert (less.ending, less.values) == (Ending.INFEASIBLE, None)
        assert (surely.ending, surely.cost) == (had.ending, had.cost)
        for under in (least - 1, least, least + 1, least + 4):
            found = Opened(programme).least(costs, 10, under=under)
            beaten = every and least < under
            assert (found.ending, found.cost) == ((Ending.OPTIMAL, least) if beaten else (Ending.INFEASIBLE, None))
        for cost in (least, least + 5):
            within = [values for values in every if _cost(costs, values) <= cost]
            assert opened.within(cost) >= {c for values in within for c, number in enumerate(values) if number}


def _sums(draw: Random, costs: Costs) -> list[list[Terms]]:
    """Sums of columns by kind; a choice makes each whole."""
    return [
        [tuple((c, draw.choice([1, 1, 2])) for c in costs if draw.random() < 0.6) for _ in range(draw.randint(0, 3))]
        for _ in range(draw.randint(1, 3))
    ]


@pytest.mark.parametrize(
    ("leaf", "flat", "looks"),
    [(-1, 99, 9999), (3, 99, 9999), (99, 99, 9999), (-1, 1, 9999), (-1, 99, 2), (-1, 99, 3), (3, 1, 3), (99, 99, 2)],
)
@pytest.mark.parametrize("block", range(10))
def test_a_search_that_branches_on_sums_finds_what_trying_all_does(
    block: int, leaf: int, flat: int, looks: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The best that costs no more than was asked; else a bound of one more, and none is said to be had.

    So it is too where HiGHS searches by itself the nodes of so few columns, and those after so many that raised no
    bound.  Where the limit is reached after so many looks at the clock that is said, and no more.
    """
    monkeypatch.setattr(branching, "_LEAF", leaf)
    monkeypatch.setattr(branching, "_FLAT", flat)
    for seed in range(30 * block, 30 * block + 30):
        programme, costs = _drawn(seed)
        every, draw = _every(programme), Random(seed)
        least = min((_cost(costs, values) for values in every), default=0)
        table, highs = tabled(programme.rows, len(costs)), np.asarray(programme.highs, dtype=float)
        by_column = np.asarray([float(costs[c]) for c in range(len(costs))])
        lows = np.asarray(programme.lows, dtype=float)
        for most, known in ((least - 3, -99), (least - 1, least - 1), (least, least), (least + 2, least - 2)):
            monkeypatch.setattr(branching, "monotonic", partial(next, chain(repeat(0.0, looks), repeat(99.0))))
            ending, values, bound = branching.branched(
                table, by_column, lows, highs, _sums(draw, costs), most, 10.0, known
            )
            had = bool(every) and least <= most
            if looks < 9 and ending is Ending.LIMIT:
                assert bound <= (least if every else np.inf)
                continue
            assert (ending, values is not None) == (Ending.OPTIMAL, had)
            assert bound == pytest.approx(least if had else most + 1)
            if values is not None:
                found = tuple(map(round, values))
                assert found in every
                assert _cost(costs, found) == least


def _hard(seed: int) -> tuple[Programme, Costs]:
    """A programme of seven columns whose relaxation is not whole."""
    draw, draft = Random(f"stopped {seed}"), Draft()
    costs = {draft.column(2): draw.randint(7, 30) for _ in range(7)}
    for _ in range(3):
        draft.row([(column, draw.choice([0, 2, 3, 5, 7])) for column in costs], draw.randint(13, 19), None)
    return draft.done(), costs


@pytest.mark.parametrize(("leaf", "flat"), [(-1, 99), (3, 99), (-1, 1)])
@pytest.mark.parametrize("seed", [0, 8, 10])
def test_a_search_that_is_stopped_says_no_more_than_it_has_proven(
    seed: int, leaf: int, flat: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Stopped after each of its looks at the clock in turn: its bound is below the least, what it has found holds."""
    monkeypatch.setattr(branching, "_LEAF", leaf)
    monkeypatch.setattr(branching, "_FLAT", flat)
    monkeypatch.setattr(branching, "_PROBED", 1)
    monkeypatch.setattr(branching, "_PROBED_FIRST", 1)
    programme, costs = _hard(seed)
    every = _every(programme)
    least = min(_cost(costs, values) for values in every)
    table, highs = tabled(programme.rows, 7), np.full(7, 2.0)
    by_column = np.asarray([float(cost) for cost in costs.values()])
    for most in (least + 5, least - 1):
        bounds = []
        for looks in range(1, 99):
            monkeypatch.setattr(branching, "monotonic", partial(next, chain(repeat(0.0, looks), repeat(99.0))))
            ending, values, bound = branching.branched(table, by_column, np.zeros(7), highs, (), most, 10.0, -99)
            assert values is None or tuple(map(round, values)) in every
            if ending is Ending.OPTIMAL:
                break
            assert bound <= least + 1e-6
            bounds.append(bound)
        assert ending is Ending.OPTIMAL
        assert most < least or (len(bounds) > 2 and bounds[0] < bounds[-1])

    # What HiGHS ends without an optimum parts nothing and proves nothing.
    monkeypatch.setattr(branching, "ended", lambda _: Ending.LIMIT)
    monkeypatch.setattr(branching, "monotonic", partial(next, chain(repeat(0.0, 5), repeat(99.0))))
    ending, values, bound = branching.branched(table, by_column, np.zeros(7), highs, (), least, 10.0, -99)
    assert (ending, values) == (Ending.LIMIT, None)
    assert bound <= least


@pytest.mark.parametrize(("bound", "proven"), [(-np.inf, False), (0.0, False), (np.inf, True)])
@pytest.mark.parametrize(("leaf", "flat"), [(99, 99), (-1, 0)])
def test_a_node_that_highs_does_not_settle_proves_nothing(
    leaf: int, flat: int, bound: float, proven: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where HiGHS reaches its limit only its bound rules a node out; else branching gives up, its bound being true."""
    monkeypatch.setattr(branching, "_LEAF", leaf)
    monkeypatch.setattr(branching, "_FLAT", flat)
    monkeypatch.setattr(branching, "_PATIENCE", 1)
    monkeypatch.setattr(branching, "search", lambda *_: (Ending.LIMIT, None, bound))
    programme, costs = _hard(0)
    least = min(_cost(costs, values) for values in _every(programme))
    table, by_column = tabled(programme.rows, 7), np.asarray([float(cost) for cost in costs.values()])
    of_node = table, by_column, np.zeros(7), np.full(7, 2.0), ()
    ending, values, told = branching.branched(*of_node, least, 10.0, -99)

    assert (ending, values) == (Ending.OPTIMAL if proven else Ending.LIMIT, None)
    assert proven or told <= least

    # Of many columns, it is parted on until that has gone on for too long.
    monkeypatch.setattr(branching, "_PATIENCE", 99)
    ending, values, told = branching.branched(*of_node, least, 10.0, -99)
    if leaf == 99 or proven:
        assert (ending, values) == (Ending.OPTIMAL if proven else Ending.LIMIT, None)
    else:
        assert (ending, told) == (Ending.OPTIMAL, least)
        assert values is not None
        assert _cost(costs, tuple(map(round, values))) == least


@pytest.mark.parametrize("apart", [1, 50])
@pytest.mark.parametrize(("flat", "easy", "small"), [*product([0, 6], [True, False], [-1]), (6, True, 2)])
@pytest.mark.parametrize("block", range(4))
def test_a_programme_is_solved_with_its_sums_as_without(
    block: int, flat: int, easy: bool, small: int, apart: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is asked under a cost is had with the least of all, and what is not there is said not to be.

    So it is too where branching gives up at once, where a look at HiGHS's own search for a cost that is known settles
    nothing before it, where that searches few columns whole, where costs are so far apart that they are not asked for
    one by one, and where they are all multiples of two or three.
    """
    monkeypatch.setattr(FEW, 0)
    monkeypatch.setattr(whole_numbers, "_SMALL", small)
    monkeypatch.setattr(branching, "_FLAT", flat)

    def searched(*asked: Any) -> tuple[Ending, list[float] | None, float]:
        return relaxation.search(*asked) if easy or asked[-1] == np.inf else (Ending.LIMIT, None, -np.inf)

    monkeypatch.setattr(whole_numbers, "search", searched)
    for seed in range(40 * block, 40 * block + 40):
        programme, costs = (_drawn if seed % 20 else _hard)(seed)
        costs = {x: (1 + seed % 3) * (apart * cost + x % apart) for x, cost in costs.items()}
        least = min((_cost(costs, values) for values in _every(programme)), default=None)
        sums = partial(_sums, Random(seed), costs)
        for under in (least or 0, (least or 0) + 1, (least or 0) + 9 * apart):
            answer = Opened(programme, None, sums).least(costs, 10, under=under)
            beaten = least is not None and least < under
            assert (answer.ending, answer.cost) == ((Ending.OPTIMAL, least) if beaten else (Ending.INFEASIBLE, None))
        if least is not None:
            for under in (least + 1, least + 9 * apart):
                answer = Opened(programme, None, sums).least(costs, 10, known=least, under=under)
                assert (answer.ending, answer.cost) == (Ending.OPTIMAL, least)


@pytest.mark.parametrize("few", [0, 300])
@pytest.mark.parametrize("block", range(4))
def test_what_is_shut_is_shut_for_once(block: int, few: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """One programme, asked again and again with other columns shut, answers as one without them; then with all."""
    monkeypatch.setattr(FEW, few)
    for seed in range(40 * block, 40 * block + 40):
        programme, costs = _drawn(seed)
        every, opened = _every(programme), Opened(programme)
        for shut in ([0], [len(costs) - 1], [*range(1, len(costs))], []):
            left = [_cost(costs, values) for values in every if not any(values[c] for c in shut)]
            answer = opened.least(costs, 10, shut=shut)
            assert answer.cost == min(left, default=None)
            assert not answer.values or not any(answer.values[c] for c in shut)


def test_a_search_with_what_the_relaxation_takes_is_not_one_of_all(monkeypatch: pytest.MonkeyPatch) -> None:
    """With fractions the first, which is worth five, is taken beside a half of the other; whole it cannot be."""
    monkeypatch.setattr(FEW, 0)
    draft = Draft()
    x, y = draft.column(1), draft.column(1)
    draft.row([(x, 1), (y, 2)], 2, 2)

    assert Opened(draft.done()).least({x: -5, y: 1}, 10) == Answer(Ending.OPTIMAL, (0, 1), 1, 1)


def test_what_was_shut_for_once_is_open_where_the_cost_is_held() -> None:
    """One of two, at 1 each, with the first shut is the other; held at that cost it may be the first."""
    draft = Draft()
    x, y = draft.column(1), draft.column(1)
    draft.row([(x, 1), (y, 1)], 1, None)
    opened, both = Opened(draft.done()), Goal("both", {x: 1, y: 1})

    assert opened.least(both.costs, 10, shut=[x]).values == (0, 1)
    opened.hold(both.held(1))
    assert opened.least({x: -1}, 10).values == (1, 0)


@pytest.mark.parametrize("few", [0, 300])
@pytest.mark.parametrize("block", range(4))
def test_a_goal_that_is_held_may_be_capped_lower_and_raised_again(
    block: int, few: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Held at its most and capped below it, a goal leaves what trying all does; so does what is kept of a cost."""
    monkeypatch.setattr(FEW, few)
    for seed in range(40 * block, 40 * block + 40):
        (programme, costs), draw = _drawn(seed), Random(f"caps {seed}")
        goal = Goal("held", {c: draw.choice([0, 1, 1, 2, -1]) for c in costs})
        every, opened = _every(programme), Opened(programme)
        most = max(map(goal.of, every), default=0)
        opened.hold(goal.held(most, better=True))
        for cap in (most - 1, most - 3, most - 2, most):
            opened.cap(cap)
            left = [_cost(costs, values) for values in every if goal.of(values) <= cap]
            answer = opened.least(costs, 10)
            assert answer.cost == min(left, default=None)
            assert all(opened.may_be(costs, cost, 10) for cost in left)
        opened.cap(cap := most - draw.randint(0, 2))
        left = [_cost(costs, values) for values in every if goal.of(values) <= cap]
        opened.keep(costs, enough := min(left, default=0) + draw.randint(0, 3), 10)
        kept = [values for values in every if goal.of(values) <= cap and _cost(costs, values) <= enough]
        opened.hold(Goal("no dearer", costs).held(enough, better=True))
        other = {c: draw.randint(-5, 5) for c in costs}
        assert opened.least(other, 10).cost == min((_cost(other, values) for values in kept), default=None)


def test_the_relaxation_hears_of_a_cap_and_of_its_end() -> None:
    """Three of two columns of at most two are wanted: capped at two none may be, though each column may be two."""
    draft = Draft()
    x, y = draft.column(2), draft.column(2)
    draft.row([(x, 1), (y, 1)], 3, None)
    opened, both = Opened(draft.done()), Goal("both", {x: 1, y: 1})
    opened.hold(both.held(4, better=True))
    found = []
    for cap in (4, 2, 3):
        opened.cap(cap)
        found.append(opened.may_be(both.costs, 9, 10))
    assert found == [True, False, True]


def test_what_is_shut_by_a_cap_stays_shut_when_an_old_goal_is_held() -> None:
    """The cost had both of two; one is then held at none, and the cost held at what that leaves: the one stays shut."""
    draft = Draft()
    x, y = draft.column(2), draft.column(2)
    draft.row([(x, 1), (y, 1)], 2, None)
    opened, costs = Opened(draft.done()), {x: 1, y: 1}
    assert opened.least(costs, 10).cost == 2
    opened.hold(Row(((x, 1),), None, 1))
    opened.cap(0)
    opened.keep(costs, 2, 10)
    opened.hold(Goal("both", costs).held(2))
    assert list(opened.highs) == [0, 2]
    assert opened.least({x: -1}, 10).values == (0, 2)


def test_places_that_change_a_digit_for_each_other_are_told_apart() -> None:
    """17 and 34 have the digits 1 and 1, 2 and 2; so have 18 and 33, in other order, and the same sums of squares."""
    goals = first_of({n: n for n in range(80)}, 80)
    one, other = ([goal.of(Counter(places)) for goal in goals] for places in ((17, 34), (18, 33)))
    assert one[:-1] == other[:-1] != []
    assert one[-1] != other[-1]


def test_what_costs_too_much_is_not_within_a_cost() -> None:
    """One of two at least, at 1 and at 9: for 8 only the first may be taken, as it is, for 9 either; all before."""
    draft = Draft()
    x, y = draft.column(1), draft.column(1)
    draft.row([(x, 1), (y, 1)], 1, None)
    opened = Opened(draft.done())

    assert opened.within(0) == {x, y}
    assert opened.adds() == ([0, 0], [0])
    opened.least({x: 1, y: 9}, 10)
    assert opened.adds() == ([-1, 8], [1])
    assert [opened.within(cost) for cost in (1, 8, 9)] == [{x}, {x}, {x, y}]


def test_what_the_relaxation_leaves_no_room_for_may_not_be() -> None:
    """Of three no two together: with fractions 1.5 is the most, so two may not be and one may, of any but none shut."""
    draft = Draft()
    ring = [draft.column(1) for _ in range(3)]
    for x, y in ((0, 1), (1, 2), (2, 0)):
        draft.row([(ring[x], 1), (ring[y], 1)], None, 1)
    opened, most = Opened(draft.done()), dict.fromkeys(ring, -1)

    assert [opened.may_be(most, cost, 10) for cost in (-2, -1, 0)] == [False, True, True]
    assert [opened.may_be(most, -1, 10, shut) for shut in (ring[:2], ring)] == [True, False]
    opened.hold(Row(tuple((x, 2) for x in ring), 3))
    assert opened.may_be(most, -1, 10)
    assert not opened.may_be(most, -1, 10, ring[:1])
    assert opened.least(most, 10).ending is Ending.INFEASIBLE


def test_a_limit_that_is_reached_is_no_proof() -> None:
    """An answer that was not proven is not called one."""
    draft = Draft()
    columns = {draft.column(1): -i for i in range(1, 40)}
    draft.row([(c, 1000 + 7 * c * c % 501) for c in columns], 15_001, 15_001)

    class Stopped:
        def __init__(self, programme: Programme) -> None:
            pass

        def least(self, *asked: Any, **more: Any) -> Answer:
            return Answer(Ending.LIMIT, (0,) * len(columns), 0, -9)

        def may_be(self, *asked: Any, **more: Any) -> bool:
            raise AssertionError("no relaxation is asked")

        def hold(self, row: Row) -> None:
            raise AssertionError("nothing is held that was not proven")

        def cap(self, most: int) -> None:
            raise AssertionError("nothing is capped")

        def keep(self, *asked: Any) -> None:
            raise AssertionError("nothing is kept")

        def within(self, cost: int) -> frozenset[int]:
            return frozenset(columns)

        def adds(self) -> tuple[list[float], list[float]]:
            return [0.0] * len(columns), []

    answer = Opened(draft.done()).least(columns, 1e-9)

    assert answer.ending is Ending.LIMIT
    with pytest.raises(
        NoPlanError, match=r"a goal ended without proof.* after 0 s: the best found is 0, at least -9 proven"
    ):
        in_order(draft.done(), [Goal("a goal", dict.fromkeys(columns, -1))], Stopped, Clock(10))


def _covering(seed: int) -> tuple[Programme, Costs]:
    """A covering programme of some 120 columns, whose optimum with fractions is off."""
    draw = Random(f"covering {seed}")
    draft = Draft()
    costs = {draft.column(draw.randint(1, 3)): draw.randint(40, 99) for _ in range(120)}
    for _ in range(8):
        draft.row([(column, draw.choice([0, 0, 1, 2, 3])) for column in costs], draw.randint(15, 40), None)
    return draft.done(), costs


@pytest.mark.parametrize(("seed", "few"), [(0, 0), (1, 10_000), (2, 0)])
def test_larger_programmes_agree_with_cp_sat(seed: int, few: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whether the search is narrowed or not, the optimum is CP-SAT's."""
    from ortools.sat.python import cp_model

    monkeypatch.setattr(FEW, few)
    programme, costs = _covering(seed)
    model = cp_model.CpModel()
    x = [model.new_int_var(0, high or 0, str(i)) for i, high in enumerate(programme.highs)]
    for row in programme.rows:
        model.add(sum(n * x[column] for column, n in row.terms) >= (row.low or 0))
    model.minimize(sum(cost * one for cost, one in zip(costs.values(), x, strict=True)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL

    answer = Opened(programme).least(costs, 60)

    assert answer.ending is Ending.OPTIMAL
    assert answer.cost == answer.bound == round(solver.objective_value)
