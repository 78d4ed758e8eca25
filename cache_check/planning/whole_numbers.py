"""Solving a programme in whole numbers: first with fractions allowed, then by rounding, at last by search.

The optimum with fractions bounds the cost; it is often whole itself, and where it is not, a whole choice that
meets the bound is often found by rounding one number after the other.  What then is left open is searched.

Choices are checked exactly before they are believed.  Costs are whole multiples of a step, so a bound is rounded
up to one.  A choice that meets the bound is proven and none other is, whatever the solver calls it.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, gcd, isfinite
from time import monotonic

from cache_check.planning.highs import Relaxation, search
from cache_check.planning.programme import Answer, Programme
from cache_check.planning.solver import Ending

_NEAR = 1e-6
_NEAR_EACH = 1e-9
"""What the solver's bound on a cost in steps may be off by: in all, and relative to its size."""
_ROUNDED = 200
"""No more numbers are rounded one by one than this."""


def solve(programme: Programme, seconds: float, start: tuple[int, ...] | None = None) -> Answer:
    """The cheapest choice of a programme in whole numbers; see ``programme.Solve``.

    A start is kept here and not handed to the solver: HiGHS 1.16 was seen to return one unchanged under a better
    one's cost.
    """
    if not programme.costs:
        return Answer(Ending.OPTIMAL, (), 0, 0) if programme.holds(()) else Answer(Ending.INFEASIBLE, None, None, None)
    return _Search(programme, start, monotonic() + seconds).answer()


class _Search:
    """One search: the best choice known, and the least cost that is proven."""

    def __init__(self, programme: Programme, start: tuple[int, ...] | None, until: float) -> None:
        self._programme = programme
        self._until = until
        self._step = gcd(*programme.costs) or 1
        self._best = start if start is not None and programme.holds(start) else None
        self._least: int | None = None

    def answer(self) -> Answer:
        """The answer, going no further than needed."""
        relaxation = Relaxation(self._programme, self._step)
        ending = relaxation.run(self._left)
        if ending is Ending.OPTIMAL:
            self._bound(relaxation.cost)
            self._offer(relaxation.values)
            if not self._met:
                self._round(relaxation)
        if not self._met and ending is not Ending.INFEASIBLE:
            ending, values, bound = search(self._programme, self._step, self._left)
            if values is not None:
                self._offer(values)
            if ending is not Ending.INFEASIBLE:
                self._bound(bound)
        return self._known(nothing=ending is Ending.INFEASIBLE)

    @property
    def _left(self) -> float:
        return max(0.01, self._until - monotonic())

    @property
    def _met(self) -> bool:
        return self._best is not None and self._least is not None and self._programme.cost(self._best) <= self._least

    def _bound(self, steps: float) -> None:
        if isfinite(steps):
            least = self._step * ceil(steps - _NEAR - _NEAR_EACH * abs(steps))
            self._least = least if self._least is None else max(self._least, least)

    def _offer(self, values: Sequence[float]) -> None:
        """Take a choice, rounded, if it is better and holds."""
        found = tuple(round(value) for value in values)
        better = self._best is None or self._programme.cost(found) < self._programme.cost(self._best)
        if better and self._programme.holds(found):
            self._best = found

    def _round(self, relaxation: Relaxation) -> None:
        """Round the number nearest to a whole one and hold it there, again and again while a choice is left.

        What is above a half is rounded first, and up: a strut that stands is worth more than one that does not.
        """
        ending = Ending.OPTIMAL
        for _ in range(_ROUNDED):
            if ending is not Ending.OPTIMAL or monotonic() > self._until:
                return
            values = relaxation.values
            apart = [(value < 0.5, abs(value - round(value)), i) for i, value in enumerate(values) if _apart(value)]
            if not apart:
                self._offer(values)
                return
            small, _, column = min(apart)
            to = ceil(values[column]) if small else round(values[column])
            relaxation.hold(column, to, to)
            ending = relaxation.run(self._left)
            if ending is Ending.INFEASIBLE:
                relaxation.hold(column, self._programme.lows[column], max(0, to - 1))
                ending = relaxation.run(self._left)

    def _known(self, *, nothing: bool) -> Answer:
        if self._best is None:
            return Answer(Ending.INFEASIBLE if nothing else Ending.LIMIT, None, None, None if nothing else self._least)
        cost = self._programme.cost(self._best)
        if self._met:
            return Answer(Ending.OPTIMAL, self._best, cost, cost)
        return Answer(Ending.LIMIT, self._best, cost, self._least)


def _apart(value: float) -> bool:
    return abs(value - round(value)) > _NEAR
