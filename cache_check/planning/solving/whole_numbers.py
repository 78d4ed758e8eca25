"""Solving a programme in whole numbers: its LP relaxation, then searches of what that leaves open.

The relaxation bounds the cost from below, and its reduced costs say what each column would add to that bound.  Where
its optimum is not whole, we ask for the least whole cost that the bound allows: a choice of that cost takes no column
whose reduced cost goes beyond it, so HiGHS searches only the few columns that are left.  If the best of them costs
no more than was asked it is the best of all; else there is no choice so cheap, the bound is raised, and we ask anew
with more columns.  A programme of fifty thousand columns is often settled by a search of some hundreds.

Choices are checked exactly before they are believed.  Costs are whole multiples of a step, so a bound is rounded
up to one.  A choice that meets the bound is proven and none other is, whatever the solver calls it.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import cache
from math import ceil, inf, isfinite
from time import monotonic

import numpy as np

from cache_check.planning.solving.branching import branched
from cache_check.planning.solving.programme import Answer, Programme, Row, Sums
from cache_check.planning.solving.relaxation import Array, Late, Needs, Relaxation, limits, search, tabled
from cache_check.planning.solving.solver import Ending

_NEAR = 1e-6
_NEAR_EACH = 1e-12
"""What a bound in steps may be off by: in all, and relative to its size, where floats lose their last digits."""
_FEW = 300  # so few columns are searched all at once
_NEXT, _LITTLE = 2, 1.25
"""Steps to one less than the best known, and columns that it opens as a share, for which it is asked for at once."""
_TO_FIND, _WIDE = 11, 30_000
"""Looks at HiGHS's own bound before sums are branched on where the cost is known to be the least and only a choice is
wanted, which HiGHS guesses at after some six; not among so many columns."""
_SMALL = 2000  # of so few columns HiGHS searches all for as long as it takes, sums or no sums
_IN_VAIN = 0.8  # of so many columns as it has looked at in vain: with more it is not looked for any more
_FAR = 32  # steps to the best known, for which costs are never asked for one by one
_SHARE = 200  # of a bound: so much more is asked for at first


class Opened:
    """A programme that is asked for one goal after another; see ``programme.AtSolver``.

    Its relaxation stays loaded, and what is known to be no part of any best choice is shut for good.  ``late`` says
    which columns its relaxation is given only as they would better it.  Its searches branch on ``sums``, if they are
    given (they are asked for no sooner) and no choice is known to begin with.
    """

    def __init__(self, programme: Programme, late: Late | None = None, sums: Callable[[], Sums] | None = None) -> None:
        self.programme, self.branches, self.sums = programme, sums is not None, cache(sums or tuple)
        self.table = tabled(programme.rows, len(programme.lows))
        self.lows = np.asarray(programme.lows, dtype=np.float64)
        self.highs = limits(programme.highs, np.inf)
        self.relaxation = Relaxation(self.table, self.lows, self.highs, late)
        self.needs = Needs(self.table, self.lows) if len(programme.lows) >= _FEW else None
        self._narrowed: tuple[dict[int, int], int, Array, Array] | None = None
        self._last: _Search | None = None
        self._capped = self._each(Row(()))
        self.in_vain: float = inf  # columns among which HiGHS looks for no cost any more

    def least(
        self, costs: Mapping[int, int], seconds: float, start: tuple[int, ...] | None = None, *,
        known: int | None = None, under: int | None = None, shut: Sequence[int] = (),
    ) -> Answer:  # fmt: skip
        """The choice of least cost.

        A start is kept here: HiGHS 1.16, handed one, was seen to return it unchanged under a better one's cost.
        """
        if not self.programme.lows:
            holds = self.programme.holds(())
            return Answer(Ending.OPTIMAL, (), 0, 0) if holds else Answer(Ending.INFEASIBLE, None, None, None)
        found = _Search(self, self._without(shut), costs, start, known, under, monotonic() + seconds)
        answer = found.answer()
        if answer.ending is Ending.OPTIMAL and answer.cost is not None and not len(shut):
            self._narrowed = (dict(costs), answer.cost, *found.narrowed(answer.cost))
        if answer.ending is not Ending.LIMIT and not len(shut):
            self._last = found
        return answer

    def may_be(self, costs: Mapping[int, int], cost: int, seconds: float, shut: Sequence[int] = ()) -> bool:
        """Whether the relaxation leaves a choice of no more than a cost; no proof that there is one."""
        one = _Search(self, self._without(shut), costs, None, None, cost + 1, monotonic() + seconds)
        self._last = self._last if len(shut) else one
        return one.may_be()

    def keep(self, costs: Mapping[int, int], cost: int, seconds: float) -> None:
        """Shut from now on what the relaxation shows to be in no choice of no more than a cost."""
        one = _Search(self, self._without(()), costs, None, None, cost + 1, monotonic() + seconds)
        if one.may_be():
            self._bounds(*one.narrowed(cost))

    def _without(self, shut: Sequence[int]) -> Array:
        columns, most = self._capped
        highs = self.highs.copy()
        highs[columns] = np.minimum(highs[columns], most)
        highs[np.asarray(shut, dtype=np.int64)] = 0
        return highs

    def within(self, cost: int) -> frozenset[int]:
        """The columns that a choice of no more than this cost may take, as far as the last search knows."""
        highs = self.highs if self._last is None else self._last.narrowed(cost)[1]
        return frozenset(np.flatnonzero(highs > 0).tolist())

    def adds(self) -> tuple[list[float], list[float]]:
        """What columns add to the last search's relaxation, and the prices of its rows."""
        last = self._last
        if last is None:
            return [0.0] * len(self.lows), [0.0] * len(self.table.low)
        return list(last.reduced - self.relaxation.values), list(last.prices)

    def hold(self, row: Row) -> None:
        """Keep one more row from now on; where it holds the last goal at its best, what cannot do that is shut."""
        self._bounds(self.lows, self._without(()))
        self.programme = replace(self.programme, rows=(*self.programme.rows, row))
        if self._narrowed is not None:
            costs, cost, lows, highs = self._narrowed
            if row.high == cost and dict(row.terms) == {c: n for c, n in costs.items() if n}:
                self._bounds(lows, highs)
        self.table.add(row)
        self.relaxation.add(row)
        self._capped, self.in_vain = self._each(row), inf

    def cap(self, most: int) -> None:
        """From now on the sum of the last row held is no more than this, which may be raised again."""
        *rows, row = self.programme.rows
        self.programme = replace(self.programme, rows=(*rows, row := replace(row, high=most)))
        self.table.high[-1] = most
        self.relaxation.cap(most)
        self._capped, self.in_vain = self._each(row), 0.0  # held to so little there mostly is no choice to be guessed

    def _each(self, row: Row) -> tuple[Array, Array]:
        """The columns of a row, and what each may be at most by it alone."""
        columns, numbers = np.asarray(row.terms, dtype=np.int64).reshape(-1, 2).T
        if row.high is None or (numbers <= 0).any() or (self.lows[columns] < 0).any():
            return columns, np.full(len(columns), np.inf)
        return columns, row.high // numbers

    def _bounds(self, lows: Array, highs: Array) -> None:
        lows, highs = np.maximum(lows, self.lows), np.minimum(highs, self.highs)
        shut = int(((highs == 0) & (self.highs > 0)).sum())
        self.lows, self.highs = lows, highs
        if 2 * shut > len(highs):
            # What is shut is not loaded at all, and the little that is left is soon solved anew.
            self.relaxation = Relaxation(self.table, lows, highs)
        else:
            self.relaxation.bound(lows, highs)


class _Search:
    """One search: the best choice known, and the least cost that is proven; bounds are in steps."""

    def __init__(
        self, opened: Opened, highs: Array, costs: Mapping[int, int], start: tuple[int, ...] | None,
        known: int | None, under: int | None, until: float,
    ) -> None:  # fmt: skip
        self._opened, self._programme, self._until = opened, opened.programme, until
        self._costs, every = costs, np.fromiter(costs.values(), dtype=np.int64)
        self._step = int(np.gcd.reduce(every)) or 1
        self._steps = np.zeros(len(self._programme.lows))
        self._steps[np.fromiter(costs, dtype=np.int64)] = every // self._step
        self._lows, self._highs, self._best, self._least, self._known_least = opened.lows, highs, start, known, known
        dear = self._steps > 0
        self._beat: float = self._step * (1 + float(highs[dear] @ self._steps[dear]))  # no choice costs so much
        if start is not None:
            self._beat = self._cost(start)
        if under is not None:
            # Costs are whole steps, so what is less is less than the next step from there, too.
            self._beat = min(self._beat, -(-under // self._step) * self._step)
        self._branching = False
        self._relaxed, self.prices, self.reduced = -inf, np.zeros(len(opened.table.low)), np.zeros(len(opened.lows))

    def answer(self) -> Answer:
        """The answer, going no further than needed."""
        at_bounds = np.where(self._steps > 0, self._lows, self._highs)[self._steps != 0] @ self._steps[self._steps != 0]
        self._bound(float(at_bounds))
        if self._met:
            return self._known(nothing=False)
        ending = self._relax()
        if ending is Ending.OPTIMAL:
            ending = self._searched()
        return self._known(nothing=ending is Ending.INFEASIBLE)

    def may_be(self) -> bool:
        """Whether its relaxation leaves a choice that is cheap enough."""
        return self._relax() is not Ending.INFEASIBLE and (self._best is not None or not self._met)

    def narrowed(self, cost: int) -> tuple[Array, Array]:
        """The bounds of all columns within which every choice of no more than this cost lies."""
        lows, highs = self._lows.copy(), self._highs.copy()
        # By duality a choice costs the relaxed bound, and for each step of a column off its bound the reduced cost.
        room = cost / self._step - self._relaxed + _NEAR
        if isfinite(room):
            up, down = self.reduced > _NEAR, self.reduced < -_NEAR
            highs[up] = np.minimum(highs[up], lows[up] + np.floor(room / self.reduced[up]))
            lows[down] = np.maximum(lows[down], self._highs[down] - np.floor(room / -self.reduced[down]))
            if self._opened.needs is not None:
                highs[self._opened.needs.dear(self.reduced, self._lows, self._highs, room)] = 0
        return lows, highs

    def _relax(self) -> Ending:
        relaxation = self._opened.relaxation
        ending = relaxation.solved(self._steps, self._lows, self._highs, self._left)
        if ending is Ending.INFEASIBLE:
            return ending
        self._relaxed, self.prices, self.reduced = relaxation.proof()
        self._bound(self._relaxed)
        values = relaxation.values
        if ending is Ending.OPTIMAL and not (np.abs(values - np.rint(values)) > _NEAR).any():
            self._offer(values)
        return ending

    def _searched(self) -> Ending:
        """Ask for the least cost that is not ruled out, then for more, until it is had or ruled out."""
        branching = self._branching = self._opened.branches and self._best is None
        beyond = 0 if branching else abs(self._least or 0) // self._step // _SHARE
        while not self._met:
            (target, lows, highs), least = self._open(beyond, branching), self._least
            far = self._least is not None and self._beat - self._least > _FAR * self._step
            if branching and target is not None and self._settled(target, lows, highs):
                beyond = max(1, 4 * beyond) if far else 0
                continue
            ending, whole = self._asked(target, lows, highs)
            if whole and ending is Ending.INFEASIBLE:
                return ending if self._best is None else Ending.OPTIMAL
            if (whole or ending is Ending.LIMIT) and self._least == least and not self._met:
                return Ending.LIMIT
            beyond = 0 if branching and not far and self._least != least else max(1, 4 * beyond)
        return Ending.OPTIMAL

    def _settled(self, target: int, lows: Array, highs: Array) -> bool:
        """Whether a cost of many columns was soon had or ruled out by HiGHS, or else by branching on sums."""
        number = (highs > 0).sum()
        if number <= _SMALL:
            return False
        if target == self._known_least and number <= min(_WIDE, self._opened.in_vain):
            self._asked(target, lows, highs, _TO_FIND)
            if self._met or (self._least or 0) > target:
                return True
            self._opened.in_vain = _IN_VAIN * number
        return self._branched(target // self._step, lows, highs)

    def _asked(self, target: int | None, lows: Array, highs: Array, looks: float = inf) -> tuple[Ending, bool]:
        """How HiGHS's own search ended, and whether it was of all that is open."""
        # None costs less than what is proven, so the first found that costs no more will do.
        most = self._least // self._step if target is not None and target == self._least else None
        # Where all that could beat the best known is open, a bound that none does is enough.
        enough = self._beat / self._step if target is None or target + self._step >= self._beat else inf
        if self._branching and target is not None:
            enough = min(enough, target / self._step + 1)
        ending, values, bound = search(self._opened.table, self._steps, lows, highs, self._left, most, enough, looks)
        if values is not None:
            self._offer(values)
        if ending is Ending.INFEASIBLE:
            bound = float("inf")
        # Only a search of all that is open shows that nothing is possible; a narrowed one, that its target is not.
        whole = bool((lows == self._lows).all() and (highs == self._highs).all())
        self._bound(bound if whole else min(bound, (target or 0) / self._step + 1))
        return ending, whole

    def _branched(self, target: int, lows: Array, highs: Array) -> bool:
        """Whether branching on sums had a choice of this cost or less, or ruled it out."""
        opened, known = self._opened, (self._least or 0) // self._step
        of_node = opened.table, self._steps, lows, highs, opened.sums()
        ending, values, bound = branched(*of_node, target, self._left, known)
        if values is not None:
            self._offer(values)
        self._bound(bound)
        return ending is Ending.OPTIMAL and (values is None or self._met)

    def _open(self, beyond: int, branching: bool) -> tuple[int | None, Array, Array]:
        """The cost to ask for, so many steps beyond the bound, and the bounds of columns that it leaves open.

        One less than the best known is enough, and is asked for at once where it is near and opens few columns more;
        where sums are branched on, where it is the next or opens few.
        """
        if self._least is None or len(self._steps) < _FEW:
            return None, self._lows, self._highs
        target = int(min(self._least + beyond * self._step, most := self._beat - self._step))
        lows, highs = self.narrowed(target)
        number = (highs > 0).sum()
        near = most - target <= (1 if branching else _NEXT) * self._step
        if target < most and (near or (branching and number <= _SMALL)):
            all_lows, all_highs = self.narrowed(int(most))
            few = (all_highs > 0).sum() <= (_SMALL if branching else _LITTLE * number)
            if few or (near and branching):
                return int(most), all_lows, all_highs
        return target, lows, highs

    def _cost(self, values: Sequence[int]) -> int:
        return sum(cost * values[column] for column, cost in self._costs.items())

    @property
    def _left(self) -> float:
        return max(0.01, self._until - monotonic())

    @property
    def _met(self) -> bool:
        return self._least is not None and self._beat <= self._least

    def _bound(self, steps: float) -> None:
        if isfinite(steps):
            least = self._step * ceil(steps - _NEAR - _NEAR_EACH * abs(steps))
            self._least = least if self._least is None else max(self._least, least)

    def _offer(self, values: Sequence[float]) -> None:
        """Take a choice, rounded, if it is better and holds."""
        found = tuple(np.rint(values).astype(np.int64).tolist())
        cost = self._cost(found)
        if cost < self._beat and self._programme.holds(found):
            self._best, self._beat = found, cost

    def _known(self, *, nothing: bool) -> Answer:
        if self._best is None:
            nothing |= self._met
            return Answer(Ending.INFEASIBLE if nothing else Ending.LIMIT, None, None, None if nothing else self._least)
        cost, met = self._cost(self._best), self._met
        return Answer(Ending.OPTIMAL if met else Ending.LIMIT, self._best, cost, cost if met else self._least)
