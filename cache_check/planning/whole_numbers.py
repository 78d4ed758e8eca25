"""Solving a programme in whole numbers: with fractions allowed, then by branching, at last by the solver's search.

The optimum with fractions bounds the cost, and is often whole itself.  Where it is not, a number that is broken is
taken as the next whole one above, or else as one below, and each case is looked at in turn; a case whose own bound
is no better than the best choice known is closed.  A small programme is proven in a few dozen cases, each a moment's
work from where the last one stood.  What is still open after that is narrowed to the columns that add least to the
cost: the best choice of these is the best of all if it costs less than any other column would.  What is open even
then is left to the solver's search, which begins anew.

Choices are checked exactly before they are believed.  Costs are whole multiples of a step, so a bound is rounded
up to one.  A choice that meets the bound is proven and none other is, whatever the solver calls it.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor, gcd, inf, isfinite
from time import monotonic

from cache_check.planning.highs import Relaxation, search
from cache_check.planning.programme import Answer, Programme, Row
from cache_check.planning.solver import Ending

_NEAR = 1e-6
_NEAR_EACH = 1e-9
"""What the solver's bound on a cost in steps may be off by: in all, and relative to its size."""
_CASES = 40_000
_FEW, _MANY = 20, 150
"""Cases are looked at while they are fewer than so many by the columns of each, and never fewer or more than this."""
_LARGE = 200
_SHARES = (0.05, 0.15, 0.4)
"""A programme of so many columns is narrowed to these shares of them, one after the other."""

Held = dict[int, tuple[int, float]]
"""Columns whose bounds are changed in a case."""


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

    def __init__(
        self, programme: Programme, start: tuple[int, ...] | None, until: float, *, narrow: bool = True
    ) -> None:
        self._programme = programme
        self._until = until
        self._narrow = narrow
        self._step = gcd(*programme.costs) or 1
        self._best = start if start is not None and programme.holds(start) else None
        self._least: int | None = None

    def answer(self) -> Answer:
        """The answer, going no further than needed."""
        relaxation = Relaxation(self._programme, self._step)
        ending = relaxation.run(self._left)
        if ending is Ending.OPTIMAL:
            root, adds = relaxation.cost, relaxation.reduced
            self._bound(root)
            self._offer(relaxation.values)
            narrow = self._narrow and len(adds) >= _LARGE
            if self._met or self._branched(relaxation) or (narrow and self._narrowed(root, adds)):
                return self._known(nothing=self._best is None)
        if ending is not Ending.INFEASIBLE:
            ending, values, bound = search(self._programme, self._step, self._left)
            if values is not None:
                self._offer(values)
            if ending is not Ending.INFEASIBLE:
                self._bound(bound)
        return self._known(nothing=ending is Ending.INFEASIBLE)

    def _narrowed(self, root: float, adds: list[float]) -> bool:
        """Solve what the cheapest choices are made of, more and more of it; whether that settled the question.

        A choice with a column that adds more than ``most`` costs more than the root by more than that; so the best
        choice of the other columns is the best of all, if it costs no more.
        """
        steps = sorted(adds)
        for share in _SHARES:
            most = max(0.0, steps[int(share * len(steps))])
            room = inf if self._best is None else self._programme.cost(self._best) / self._step - 1 - root
            most = min(room, most)
            kept = [i for i, more in enumerate(adds) if more <= most + _NEAR or self._programme.lows[i]]
            best = None if self._best is None else tuple(self._best[i] for i in kept)
            answer = _Search(_only(self._programme, kept), best, self._until, narrow=False).answer()
            if answer.values is not None:
                whole = dict(zip(kept, answer.values, strict=True))
                self._offer([whole.get(i, 0) for i in range(len(adds))])
            if answer.ending is Ending.LIMIT:
                return False
            with_others = self._whole(root + most)
            of_these = with_others if answer.cost is None else answer.cost
            if most == room and self._best is not None:
                of_these = with_others = self._programme.cost(self._best)
            self._least = max(self._least or with_others, min(of_these, with_others))
            if self._met:
                return True
        return False

    @property
    def _left(self) -> float:
        return max(0.01, self._until - monotonic())

    @property
    def _met(self) -> bool:
        return self._best is not None and self._least is not None and self._programme.cost(self._best) <= self._least

    def _bound(self, steps: float) -> None:
        if isfinite(steps):
            least = self._whole(steps)
            self._least = least if self._least is None else max(self._least, least)

    def _whole(self, steps: float) -> int:
        """The least whole cost that a bound in steps leaves."""
        return self._step * ceil(steps - _NEAR - _NEAR_EACH * abs(steps))

    def _offer(self, values: Sequence[float]) -> None:
        """Take a choice, rounded, if it is better and holds."""
        found = tuple(round(value) for value in values)
        better = self._best is None or self._programme.cost(found) < self._programme.cost(self._best)
        if better and self._programme.holds(found):
            self._best = found

    def _branched(self, relaxation: Relaxation) -> bool:
        """Look at case after case; whether all were closed, so that the best choice known is proven."""
        most = min(_MANY, max(_FEW, _CASES // len(self._programme.costs)))
        open_cases: list[Held] = [{}]
        held: Held = {}
        for number in range(_MANY):
            # A first choice is worth more cases than its proof: it is what narrows the programme.
            if monotonic() > self._until or (number >= most and self._best is not None):
                return False
            case = open_cases.pop()
            self._turn(relaxation, held, case)
            held = case
            ending = relaxation.run(self._left)
            if ending is Ending.LIMIT:
                return False
            if ending is Ending.OPTIMAL:
                cases = self._cases(relaxation, case)
                if cases is None:
                    return False
                open_cases += cases
            if self._met:
                return True
            if not open_cases:
                self._least = None if self._best is None else self._programme.cost(self._best)
                return True
        return False

    def _turn(self, relaxation: Relaxation, held: Held, case: Held) -> None:
        """Change the bounds from those of one case to those of another."""
        for column in held.keys() - case.keys():
            high = self._programme.highs[column]
            relaxation.hold(column, self._programme.lows[column], inf if high is None else high)
        for column, bounds in case.items():
            if held.get(column) != bounds:
                relaxation.hold(column, *bounds)

    def _cases(self, relaxation: Relaxation, case: Held) -> list[Held] | None:
        """The cases that one falls into, the first to look at last; [] where it is closed, None if that is in doubt."""
        if self._best is not None and self._whole(relaxation.cost) >= self._programme.cost(self._best):
            return []
        values = relaxation.values
        costs = self._programme.costs
        broken = [(not costs[i], abs(v - floor(v) - 0.5), i) for i, v in enumerate(values) if _apart(v)]
        if not broken:
            before = self._best
            self._offer(values)
            return [] if self._best is not before else None
        _, _, column = min(broken)
        low, high = case.get(column, (self._programme.lows[column], self._programme.highs[column]))
        below = floor(values[column])
        return [
            {**case, column: (low, float(below))},
            {**case, column: (below + 1, inf if high is None else float(high))},
        ]

    def _known(self, *, nothing: bool) -> Answer:
        if self._best is None:
            return Answer(Ending.INFEASIBLE if nothing else Ending.LIMIT, None, None, None if nothing else self._least)
        cost = self._programme.cost(self._best)
        if self._met:
            return Answer(Ending.OPTIMAL, self._best, cost, cost)
        return Answer(Ending.LIMIT, self._best, cost, self._least)


def _only(programme: Programme, kept: list[int]) -> Programme:
    """A programme with some of its columns, the others being none."""
    place = {column: i for i, column in enumerate(kept)}
    return Programme(
        tuple(programme.costs[i] for i in kept),
        tuple(programme.lows[i] for i in kept),
        tuple(programme.highs[i] for i in kept),
        tuple(
            Row(tuple((place[column], n) for column, n in row.terms if column in place), row.low, row.high)
            for row in programme.rows
        ),
    )


def _apart(value: float) -> bool:
    return abs(value - round(value)) > _NEAR
