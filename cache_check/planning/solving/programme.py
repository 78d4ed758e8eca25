"""General programmes in whole numbers, as plain data: what planning hands to a solver, and what comes back.

A *programme* asks for whole numbers, one for each column, that keep every row within its bounds and make the
cost least.  Everything in it is a whole number too, so that an answer can be checked exactly.

Several goals in order ("first this, then that among the equals") are asked one after the other: each goal is
made least, and held there by a row of its own while the next is made least.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import field
from math import gcd
from typing import Protocol

from cache_check.errors import NoPlanError
from cache_check.frozen import dataclass
from cache_check.planning.solving.solver import Clock, Ending

_DIGITS, _PRIME = 16, 65_521
_FEW = 64  # places that the remainders of cubes alone are soon put in order by
Terms = tuple[tuple[int, int], ...]  # (column, how much), no column twice
Sums = Sequence[Sequence[Terms]]
"""Sums of columns that every choice makes whole, kind by kind: a search may branch on them."""


@dataclass(frozen=True)
class Row:
    """A sum over columns that must lie from ``low`` to ``high``; None: not bounded on that side."""

    terms: Terms
    low: int | None = None
    high: int | None = None


@dataclass(frozen=True)
class Programme:
    """Columns with bounds (a high of None: unbounded), and the rows they must keep."""

    lows: tuple[int, ...]
    highs: tuple[int | None, ...]
    rows: tuple[Row, ...]

    def holds(self, values: Sequence[int]) -> bool:
        """Whether a choice keeps every bound and row, worked out exactly."""
        for low, value, high in zip(self.lows, values, self.highs, strict=True):
            if value < low or (high is not None and value > high):
                return False
        for row in self.rows:
            total = 0
            for column, number in row.terms:
                total += number * values[column]
            if (row.low is not None and total < row.low) or (row.high is not None and total > row.high):
                return False
        return True


@dataclass(frozen=True)
class Answer:
    """How a search ended, the best choice found (None: none), its cost, and a bound that no choice can beat.

    ``bound`` is proven; None where nothing is (an infeasible programme, or a limit that came too soon).
    """

    ending: Ending
    values: tuple[int, ...] | None
    cost: int | None
    bound: int | None


class AtSolver(Protocol):
    """A programme that a solver has opened, to be asked for one goal after another: the port behind which it stands."""

    def least(
        self, costs: Mapping[int, int], seconds: float, start: tuple[int, ...] | None = None, *,
        known: int | None = None, under: int | None = None, shut: Sequence[int] = (),
    ) -> Answer:  # fmt: skip
        """The choice of least cost, looked for no longer than ``seconds``; ``start`` is a choice known to hold.

        ``costs`` are by column; those that are not named cost nothing.  ``known`` is a cost that is known to be no more
        than the least.  A choice that does not cost less than ``under`` is not looked for; where there is none that
        does, the answer is that there is none.  It takes nothing of the columns that are ``shut`` for this once.
        """

    def may_be(self, costs: Mapping[int, int], cost: int, seconds: float, shut: Sequence[int] = ()) -> bool:
        """Whether the relaxation leaves a choice of no more than a cost; no proof that there is one."""

    def hold(self, row: Row) -> None:
        """Keep one more row from now on."""

    def cap(self, most: int) -> None:
        """From now on the sum of the last row held is no more than this, which may be raised again."""

    def keep(self, costs: Mapping[int, int], cost: int, seconds: float) -> None:
        """Shut from now on what the relaxation shows to be in no choice of no more than a cost."""

    def within(self, cost: int) -> frozenset[int]:
        """The columns that a choice of no more than this cost may take, as far as the last search knows."""

    def adds(self) -> tuple[Sequence[float], Sequence[float]]:
        """By column what one adds to the cost of the last search's relaxation, in steps, less what that takes.

        And the dual price of each row.
        """


Open = Callable[..., AtSolver]  # opens a programme at a solver; see ``whole_numbers.Opened``

Progress = Callable[[str], None]
"""Hears what is being worked on, at each step of a long search; the core itself never prints."""


def silent(what: str) -> None:
    """Progress that nobody hears."""


@dataclass
class Draft:
    """A programme being written."""

    lows: list[int] = field(default_factory=list)
    highs: list[int | None] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)

    def column(self, high: int | None = None, *, low: int = 0) -> int:
        """A new column; its number."""
        self.lows.append(low)
        self.highs.append(high)
        return len(self.lows) - 1

    def row(self, terms: Iterable[tuple[int, int]], low: int | None = None, high: int | None = None) -> None:
        """A new row; terms on the same column are added up.

        It is divided by what all its numbers share, and bounds are rounded inwards: a sum of whole numbers keeps the
        one if and only if it keeps the other, and a solver that reckons with fractions sees them apart.
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
        return Programme(tuple(self.lows), tuple(self.highs), tuple(self.rows))


@dataclass(frozen=True)
class Goal:
    """One goal of several: what each column counts for (absent: nothing), less being better."""

    name: str
    costs: dict[int, int]

    def of(self, values: Mapping[int, int] | Sequence[int]) -> int:
        """What a choice comes to."""
        return sum(cost * values[x] for x, cost in self.costs.items())

    def held(self, value: int, *, better: bool = False) -> Row:
        """The row that holds it at a value; with ``better``, or better."""
        return Row(tuple((c, n) for c, n in self.costs.items() if n), None if better else value, value)


def proven(answer: Answer, clock: Clock, goal: str) -> Answer:
    """The answer, if it is a proven optimum, or proof that there is none (NoPlanError: the limit was reached first)."""
    if answer.ending is not Ending.LIMIT:
        return answer
    known = "nothing found yet" if answer.cost is None else f"the best found is {answer.cost}"
    bound = "with no bound proven" if answer.bound is None else f"at least {answer.bound} proven"
    why = "reached its limit of time" if clock.over else "ended without proof, its answers failing an exact check,"
    raise NoPlanError(f"the search for {goal} {why} after {clock.spent:.0f} s: {known}, {bound}")


def in_order(
    programme: Programme, goals: Sequence[Goal], solver: Open, clock: Clock, progress: Progress = silent
) -> tuple[tuple[int, ...] | None, tuple[int, ...]]:
    """The best choice by goals in order, and their values; None: none keeps the rows (NoPlanError: not all proven)."""
    asked = solver(programme)
    best: tuple[int, ...] | None = None
    reached: list[int] = []
    for n, goal in enumerate(goals):
        if n:
            asked.hold(goals[n - 1].held(reached[-1]))
        progress(goal.name)
        answer = proven(asked.least(goal.costs, clock.left, best), clock, goal.name)
        if answer.values is None or answer.cost is None:
            return None, ()
        best = answer.values
        reached.append(answer.cost)
    return best, tuple(reached)


def first_of(places: Mapping[int, int], number: int) -> list[Goal]:
    """A fixed order among equals, as goals of small numbers: the places of what is taken, digit by digit.

    ``places`` are by column, out of so many.  The digits are squared, so that equal sums are rare; each is a whole
    number that follows from the caches.  Where two places change digits with each other the sums are equal again:
    of these the last goal, the remainders of cubes, says which is the first.
    """
    costs, size = [{x: n**3 % _PRIME for x, n in places.items()}], 1
    while size < number > _FEW:
        costs.append({x: (n // size % _DIGITS) ** 2 for x, n in places.items()})
        size *= _DIGITS
    return [Goal("the first in order", each) for each in costs[::-1]]
