"""General programmes in whole numbers, as plain data: what planning hands to a solver, and what comes back.

A *programme* asks for whole numbers, one for each column, that keep every row within its bounds and make the
cost least.  Everything in it is a whole number too, so that an answer can be checked exactly.

Several goals in order ("first this, then that among the equals") are asked one after the other: each goal is
made least, and held there by a row of its own while the next is made least.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from math import gcd
from time import monotonic
from typing import Protocol

from cache_check.errors import NoPlanError
from cache_check.planning.solver import Ending

Terms = tuple[tuple[int, int], ...]
"""(column, how much), no column twice."""


@dataclass(frozen=True)
class Row:
    """A sum over columns that must lie from ``low`` to ``high``; None: not bounded on that side."""

    terms: Terms
    low: int | None = None
    high: int | None = None


@dataclass(frozen=True)
class Programme:
    """Columns with cost and bounds (a high of None: unbounded), and the rows they must keep."""

    costs: tuple[int, ...]
    lows: tuple[int, ...]
    highs: tuple[int | None, ...]
    rows: tuple[Row, ...]

    def cost(self, values: Sequence[int]) -> int:
        """What a choice of whole numbers costs."""
        return sum(cost * value for cost, value in zip(self.costs, values, strict=True) if value)

    def holds(self, values: Sequence[int]) -> bool:
        """Whether a choice keeps every bound and row, worked out exactly."""
        within = all(
            low <= value and (high is None or value <= high)
            for low, value, high in zip(self.lows, values, self.highs, strict=True)
        )
        return within and all(_within(row, sum(n * values[column] for column, n in row.terms)) for row in self.rows)


def _within(row: Row, total: int) -> bool:
    return (row.low is None or total >= row.low) and (row.high is None or total <= row.high)


@dataclass(frozen=True)
class Answer:
    """How a search ended, the best choice found (None: none), its cost, and a bound that no choice can beat.

    ``bound`` is proven; None where nothing is (an infeasible programme, or a limit that came too soon).
    """

    ending: Ending
    values: tuple[int, ...] | None
    cost: int | None
    bound: int | None


class Solve(Protocol):
    """Solves programmes; the port behind which a solver stands."""

    def __call__(self, programme: Programme, seconds: float, start: tuple[int, ...] | None = None) -> Answer:
        """The cheapest choice, looked for no longer than ``seconds``; ``start`` is a choice known to hold."""


Progress = Callable[[str], None]
"""Hears what is being worked on, at each step of a long search; the core itself never prints."""


def silent(what: str) -> None:
    """Progress that nobody hears."""


@dataclass
class Draft:
    """A programme being written."""

    costs: list[int] = field(default_factory=list)
    lows: list[int] = field(default_factory=list)
    highs: list[int | None] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)

    def column(self, high: int | None = None, *, cost: int = 0, low: int = 0) -> int:
        """A new column; its number."""
        self.costs.append(cost)
        self.lows.append(low)
        self.highs.append(high)
        return len(self.costs) - 1

    def row(self, terms: Iterable[tuple[int, int]], low: int | None = None, high: int | None = None) -> None:
        """A new row; terms on the same column are added up.

        It is divided by what all its numbers share, and bounds are rounded inwards: a sum of whole numbers keeps
        the one if and only if it keeps the other, and a solver that reckons with fractions sees them apart.
        """
        listed = list(terms)
        total = dict(listed)
        if len(total) < len(listed):
            total = {}
            for column, number in listed:
                total[column] = total.get(column, 0) + number
        step = gcd(*total.values()) or 1
        if step > 1:
            low = None if low is None else -(-low // step)
            high = None if high is None else high // step
            total = {column: number // step for column, number in total.items()}
        kept = tuple(total.items())
        self.rows.append(Row(kept if all(total.values()) else tuple([term for term in kept if term[1]]), low, high))

    def done(self) -> Programme:
        """The programme."""
        return Programme(tuple(self.costs), tuple(self.lows), tuple(self.highs), tuple(self.rows))


class Clock:
    """The time that is left of a limit."""

    def __init__(self, seconds: float) -> None:
        self.limit = seconds
        self._end = monotonic() + seconds

    @property
    def left(self) -> float:
        """Seconds left, never none at all: the solver itself says that the limit was reached."""
        return max(0.01, self._end - monotonic())


@dataclass(frozen=True)
class Goal:
    """One goal of several: what each column counts for (absent: nothing), less being better."""

    name: str
    costs: dict[int, int]


def with_goal(programme: Programme, goal: Goal) -> Programme:
    """The programme with a goal for its cost."""
    return replace(programme, costs=tuple(goal.costs.get(i, 0) for i in range(len(programme.costs))))


def held(programme: Programme, goal: Goal, value: int) -> Programme:
    """The programme with a goal held at a value, or better."""
    row = Row(tuple((c, n) for c, n in goal.costs.items() if n), None, value)
    return replace(programme, rows=(*programme.rows, row))


def proven(answer: Answer, clock: Clock, goal: str) -> Answer:
    """The answer itself, if it is a proven optimum, or proof that there is none.

    Raises:
        NoPlanError: the limit was reached first.
    """
    if answer.ending is not Ending.LIMIT:
        return answer
    known = "nothing found yet" if answer.cost is None else f"the best found is {answer.cost}"
    bound = "with no bound proven" if answer.bound is None else f"at least {answer.bound} proven"
    raise NoPlanError(f"the search for {goal} was stopped after {clock.limit:g} s: {known}, {bound}")


def in_order(
    programme: Programme, goals: Iterable[Goal], solve: Solve, clock: Clock, progress: Progress = silent
) -> tuple[Programme, tuple[int, ...] | None, tuple[int, ...]]:
    """The best choice by several goals in order: the programme with all of them held, the choice, their values.

    The choice is None when nothing keeps the rows at all.

    Raises:
        NoPlanError: the limit was reached before every goal was proven.
    """
    best: tuple[int, ...] | None = None
    reached: list[int] = []
    for goal in goals:
        progress(goal.name)
        answer = proven(solve(with_goal(programme, goal), clock.left, best), clock, goal.name)
        if answer.values is None or answer.cost is None:
            return programme, None, ()
        best = answer.values
        reached.append(answer.cost)
        programme = held(programme, goal, answer.cost)
    return programme, best, tuple(reached)


def solver() -> Solve:
    """The solver of programmes in use, loaded only when a question needs it."""
    from cache_check.planning.whole_numbers import solve

    return solve
