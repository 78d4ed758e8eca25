"""From an optimum with fractions to a plan in whole numbers, a large store's columns being made on the way.

What the fractions hold whole is taken at once.  Then one strut more is taken at a time, of the column that the
relaxed optimum wants most, and what is left is relaxed anew, with new columns where old ones fall short.  A
strut after which the bound could no longer be met is put back and another tried.  The last few are packed by
a search.  Nothing is proven here: a plan is only as good as it turns out, and the bound stands beside it.
"""

from collections.abc import Callable
from math import floor

from cache_check.frozen import dataclass
from cache_check.planning.packing.ledger import Amounts, left_after
from cache_check.planning.solving.solver import Solver, Uses

Stock = tuple[int, ...]
_ALMOST = 1e-6
_TRIES = 6
_STEPS = 200
_MOST = 60
_NODES = 100
_ROUNDS = 8
_LAST = 30.0  # so many struts and fewer are left to a search in whole numbers
Making = Callable[[tuple[float, ...]], bool]
"""Makes the columns that a stock at these worths of its rows lacks; whether there was any."""


@dataclass
class _State:
    """A plan so far, and what it leaves."""

    plan: Amounts
    left: list[int]

    @property
    def count(self) -> int:
        return sum(self.plan.values())

    def with_more(self, uses: list[Uses], more: Amounts) -> "_State":
        plan = self.plan | {column: self.plan.get(column, 0) + number for column, number in more.items()}
        return _State(plan, left_after(uses, self.left, more))

    def holds(self, uses: Uses) -> bool:
        return all(self.left[row] >= each for row, each in uses)


@dataclass(frozen=True)
class _Left:
    """The relaxed optimum of what is left: columns by number with their amounts, largest fraction first."""

    amounts: list[tuple[int, float]]
    count: float


class Rounding:
    """Rounds over columns that may grow meanwhile; ``make`` makes more.

    It aims at the bound, and lower once that is seen to be lost; effort is counted in relaxations, not in
    seconds, so that the same question gets the same plan on every machine.
    """

    def __init__(self, uses: list[Uses], solver: Solver, make: Making, bound: int, seconds: float) -> None:
        self._uses, self._solver, self._make, self._bound, self._seconds = uses, solver, make, bound, seconds
        self._aim, self._relaxations = bound, 0
        self.best: Amounts = {}

    def run(self, stock: Stock, low: Amounts) -> None:
        """Better the plan on top of ``low``: by a dive, then by a search of all that is left."""
        start = _State({}, list(stock)).with_more(self._uses, low)
        self._offer(start)
        if not self.done:
            self._dive(start)
        if not self.done:
            self._search(start)

    def _dive(self, state: _State) -> None:
        """One strut after another, each of the column that what is left wants most."""
        self._aim, self._relaxations = self._bound, 0
        left, searched = self._relaxed(state), False
        for _ in range(_STEPS):
            if self.done or left.count < _ALMOST or self._relaxations > _MOST:
                break
            if left.count <= _LAST and not searched:
                searched = True
                self._search(state)
                continue
            state, left = self._step(state, left)
            self._offer(state)

    @property
    def done(self) -> bool:
        """Whether the best plan meets the bound."""
        return sum(self.best.values()) >= self._bound

    def _offer(self, state: _State) -> None:
        if state.count > sum(self.best.values()):
            self.best = dict(state.plan)

    def _relaxed(self, state: _State) -> _Left:
        """What is left, relaxed, with new columns while the bound is out of reach and some are worth their price."""
        for _ in range(_ROUNDS):
            columns = tuple(i for i, uses in enumerate(self._uses) if state.holds(uses))
            self._relaxations += 1
            relaxed = self._solver.relaxed(columns, tuple(state.left))
            total = sum(relaxed.amounts)
            if state.count + total >= self._aim - _ALMOST or not self._make(relaxed.worth):
                break
        amounts = [one for one in zip(columns, relaxed.amounts, strict=True) if one[1] > _ALMOST]
        return _Left(sorted(amounts, key=lambda one: (floor(one[1] + _ALMOST) - one[1], one[0])), total)

    def _step(self, state: _State, left: _Left) -> tuple[_State, _Left]:
        """Take what is whole; else one strut, the first after which the bound is still in reach, or the best."""
        if whole := {column: number for column, amount in left.amounts if (number := floor(amount + _ALMOST))}:
            state = state.with_more(self._uses, whole)
            return state, self._relaxed(state)
        best: tuple[_State, _Left] | None = None
        fitting = [column for column, _ in left.amounts if state.holds(self._uses[column])]
        for column in fitting[:_TRIES]:
            tried = state.with_more(self._uses, {column: 1})
            then = self._relaxed(tried)
            if best is None or tried.count + then.count > best[0].count + best[1].count + _ALMOST:
                best = (tried, then)
            if tried.count + then.count >= self._aim - _ALMOST:
                break
        if best is None:
            return state, _Left([], 0.0)
        self._aim = min(self._aim, floor(best[0].count + best[1].count + _ALMOST))
        return best

    def _search(self, state: _State) -> None:
        columns = tuple(i for i, uses in enumerate(self._uses) if state.holds(uses))
        if not columns:
            return
        found = self._solver.whole(columns, tuple(state.left), self._seconds, _NODES)
        state = state.with_more(self._uses, {c: n for c, n in zip(columns, found.amounts, strict=True) if n})
        if min(state.left) >= 0:
            self._offer(state)
