"""Solving a programme in whole numbers: with fractions allowed, then by cuts and branching, last by a search.

The optimum with fractions bounds the cost, and is often whole itself.  Where it is not, rows are added that every
whole choice keeps and it does not (``cuts.py``), round by round while the bound gains by it.  Then a number that is
broken is taken as the next whole one above, or else as one below, and each case is looked at in turn; a case whose
own bound is no better than the best choice known is closed.  A small programme is proven in a few rounds and cases,
each a moment's work from where the last one stood.  What is open even then is left to the solver's search, which
begins anew.

Choices are checked exactly before they are believed.  Costs are whole multiples of a step, so a bound is rounded
up to one.  A choice that meets the bound is proven and none other is, whatever the solver calls it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from heapq import heappop, heappush
from math import ceil, floor, gcd, inf, isfinite
from time import monotonic

import numpy as np

from cache_check.planning.solving.highs import search
from cache_check.planning.solving.loaded import Held, Loaded
from cache_check.planning.solving.programme import Answer, Programme, Row
from cache_check.planning.solving.solver import Ending
from cache_check.planning.solving.tables import Array

_NEAR = 1e-6
_NEAR_EACH = 1e-9
"""What the solver's bound on a cost in steps may be off by: in all, and relative to its size."""
_ROUNDS = 10
_GAIN = 0.02
"""Rounds of cuts go on while two of them together raise the bound by this share of it."""
_WIDEST = 2_000_000
"""No cuts where columns times rows come to more."""
_CASES = 1_000
"""After so many cases the solver begins anew in its own way."""

_DOUBT = -1
"""No column: a choice without fractions that does not hold once it is rounded."""


class Opened:
    """A programme that is asked for one goal after another; see ``programme.AtSolver``.

    It stays loaded, and cuts found for one goal serve the next.
    """

    def __init__(self, programme: Programme) -> None:
        self._loaded = Loaded(programme)

    def least(self, costs: Mapping[int, int], seconds: float, start: tuple[int, ...] | None = None) -> Answer:
        """The choice of least cost.

        A start is kept here and not handed to the solver: HiGHS 1.16 was seen to return one unchanged under a
        better one's cost.
        """
        if not self._loaded.programme.costs:
            holds = self._loaded.programme.holds(())
            return Answer(Ending.OPTIMAL, (), 0, 0) if holds else Answer(Ending.INFEASIBLE, None, None, None)
        return _Search(self._loaded, costs, start, monotonic() + seconds).answer()

    def hold(self, row: Row) -> None:
        """Keep one more row from now on."""
        self._loaded.hold(row)


class _Search:
    """One search: the best choice known, and the least cost that is proven."""

    def __init__(self, loaded: Loaded, costs: Mapping[int, int], start: tuple[int, ...] | None, until: float) -> None:
        self._loaded = loaded
        self._programme = loaded.programme
        self._costs = costs
        self._until = until
        self._step = gcd(*costs.values()) or 1
        self._best = start
        self._best_cost = 0 if start is None else self._cost(start)
        self._least: int | None = None

    def answer(self) -> Answer:
        """The answer, going no further than needed."""
        self._bound(self._at_bounds())
        if self._met:
            return self._known(nothing=False)
        relaxation = self._loaded.relaxation
        relaxation.aim(self._costs, self._step)
        self._loaded.turn({})
        ending = relaxation.run(self._left)
        if ending is Ending.OPTIMAL:
            ending = self._cut()
        if ending is Ending.OPTIMAL and (self._met or self._branched()):
            return self._known(nothing=self._best is None)
        if ending is not Ending.INFEASIBLE or self._best is not None:
            ending, values, bound = search(self._programme, self._costs, self._step, self._left)
            if values is not None:
                self._offer(values)
            if ending is not Ending.INFEASIBLE:
                self._bound(bound)
        return self._known(nothing=ending is Ending.INFEASIBLE)

    def _cost(self, values: Sequence[int]) -> int:
        return sum(cost * values[column] for column, cost in self._costs.items())

    def _at_bounds(self) -> float:
        """The cost, in steps, of every column at its own better bound."""
        total = 0
        for column, cost in self._costs.items():
            bound = self._programme.lows[column] if cost > 0 else self._programme.highs[column]
            if bound is None:
                return -inf
            total += cost * bound
        return total / self._step

    def _cut(self) -> Ending:
        """Cut round by round, while that gains; how the last one ended."""
        relaxation = self._loaded.relaxation
        costs = [relaxation.cost]
        ending = Ending.OPTIMAL
        for _ in range(_ROUNDS):
            self._bound(costs[-1])
            values = relaxation.values
            broken = self._broken(values)
            if not broken:
                self._offer(values)
            wide = len(self._programme.costs) * len(self._programme.rows) > _WIDEST
            slow = len(costs) > 2 and costs[-1] - costs[-3] < _GAIN * abs(costs[-1])
            if self._met or not broken or wide or slow or not self._loaded.cut(broken):
                break
            ending = relaxation.run(self._left)
            if ending is not Ending.OPTIMAL:
                break
            costs.append(relaxation.cost)
        return ending

    def _broken(self, values: Array) -> list[int]:
        """The columns that are not whole: those first whose rounding costs most, then in their own order."""
        off = np.abs(values - np.rint(values))
        broken = np.flatnonzero(off > _NEAR)
        order = np.lexsort((broken, -(self._dear * off)[broken]))
        return [int(column) for column in broken[order]]

    @cached_property
    def _dear(self) -> Array:
        """What one more or less of each column costs, as a number for each."""
        dear = np.zeros(len(self._programme.costs))
        for column, cost in self._costs.items():
            dear[column] = abs(cost)
        return dear

    @property
    def _left(self) -> float:
        return max(0.01, self._until - monotonic())

    @property
    def _met(self) -> bool:
        return self._best is not None and self._least is not None and self._best_cost <= self._least

    def _bound(self, steps: float) -> None:
        if isfinite(steps):
            least = self._whole(steps)
            self._least = least if self._least is None else max(self._least, least)

    def _whole(self, steps: float) -> int:
        """The least whole cost that a bound in steps leaves."""
        return self._step * ceil(steps - _NEAR - _NEAR_EACH * abs(steps))

    def _offer(self, values: Sequence[float]) -> None:
        """Take a choice, rounded, if it is better and holds."""
        found = tuple(np.rint(values).astype(np.int64).tolist())
        cost = self._cost(found)
        if (self._best is None or cost < self._best_cost) and self._programme.holds(found):
            self._best, self._best_cost = found, cost

    def _branched(self) -> bool:
        """Look at case after case; whether all were closed, so that the best choice known is proven.

        A case is followed upwards until it is closed; then comes the one that may be cheapest, of these the latest.
        """
        relaxation = self._loaded.relaxation
        stands = not self._loaded.slim()
        case: Held | None = {}
        waiting: list[tuple[int, int, Held]] = []
        for number in range(_CASES):
            if monotonic() > self._until:
                return False
            if case is None:
                if not waiting:
                    self._least = None if self._best is None else self._best_cost
                    return True
                least, _, case = heappop(waiting)
                self._least = least if self._least is None else max(self._least, least)
                if self._met:
                    return True
            self._loaded.turn(case)
            ending = Ending.OPTIMAL if stands else relaxation.run(self._left)
            stands = False
            if ending is Ending.LIMIT:
                return False
            column = self._split() if ending is Ending.OPTIMAL else None
            if column is _DOUBT or self._met:
                return self._met
            if column is None:
                case = None
            else:
                below, above = self._halves(case, column)
                heappush(waiting, (self._whole(relaxation.cost), -number, below))
                case = above
        return False

    def _split(self) -> int | None:
        """The column that the case at hand falls apart at; None where it is closed, ``_DOUBT`` if that is in doubt."""
        relaxation = self._loaded.relaxation
        if self._best is not None and self._whole(relaxation.cost) >= self._best_cost:
            return None
        values = relaxation.values
        broken = self._broken(values)
        if broken:
            return broken[0]
        before = self._best
        self._offer(values)
        return None if self._best is not before else _DOUBT

    def _halves(self, case: Held, column: int) -> tuple[Held, Held]:
        """A case with a column below where it now stands, and with it above."""
        low, high = case.get(column, (self._programme.lows[column], self._programme.highs[column]))
        below = floor(self._loaded.relaxation.values[column])
        return (
            {**case, column: (low, float(below))},
            {**case, column: (below + 1, inf if high is None else float(high))},
        )

    def _known(self, *, nothing: bool) -> Answer:
        if self._best is None:
            return Answer(Ending.INFEASIBLE if nothing else Ending.LIMIT, None, None, None if nothing else self._least)
        if self._met:
            return Answer(Ending.OPTIMAL, self._best, self._best_cost, self._best_cost)
        return Answer(Ending.LIMIT, self._best, self._best_cost, self._least)
