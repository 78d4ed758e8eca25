"""Closing the gap between the best plan known and the best bound known, by a short search or with the solver's help.

Two sums do it.  The relaxed optimum gives prices; scaled so that the cheapest admitted column costs one strut
they bound the count, whatever the solver's rounding was.  And for a count t to be possible at all, no column in
it may cost more than one strut by more than the room that t leaves: what the stock is worth less t struts.  So
the search in whole numbers looks only at the columns that fit in the room; where it falls short of t, no t can be.
"""

from collections.abc import Callable
from math import floor

from cache_check.errors import NoPlanError
from cache_check.frozen import dataclass
from cache_check.planning.packing.ledger import Amounts, Ledger, Prices, left_after
from cache_check.planning.packing.rows import bits
from cache_check.planning.solving.solver import Ending, Relaxed, Solver, Uses

FINE = 1 << 24  # prices are kept in this fraction of a strut
_AT_ONCE = 400
_ROUNDS = 200
Bound = Callable[[tuple[int, ...], int], int]
"""The most struts of a set of columns (a mask) that a stock can hold, as far as is known."""


@dataclass
class Gap:
    """What is known of one question, narrowed step by step; ``enough`` where only that many or fewer is asked."""

    stock: tuple[int, ...]
    active: int
    best: Amounts
    most: int
    enough: int | None = None

    @property
    def count(self) -> int:
        """Struts of the best plan known."""
        return sum(self.best.values())

    @property
    def closed(self) -> bool:
        """Whether the plan meets the bound; or, where so many are enough, whether either tells."""
        told = self.enough is not None and (self.most < self.enough or self.count >= self.enough)
        return told or self.count >= self.most

    def offer(self, plan: Amounts) -> None:
        """Take a plan if it is better."""
        if sum(plan.values()) > self.count:
            self.best = {column: number for column, number in plan.items() if number}


class Closing:
    """Closes gaps over one set of columns; ``learn`` says what bound prices prove, no more than the one known."""

    def __init__(
        self, ledger: Ledger, solver: Solver, uses: list[tuple[tuple[int, int], ...]],
        learn: Callable[[Prices, tuple[int, ...], int, int], int], seconds: Callable[[], float],
    ) -> None:  # fmt: skip
        self._ledger, self._solver, self._uses, self._learn, self._seconds = ledger, solver, uses, learn, seconds

    def close(self, gap: Gap) -> int:
        """Narrow a gap until it is closed; what prices alone prove (NoPlanError: the time limit was reached first)."""
        columns, relaxed, prices = self._relaxed(gap)
        priced = gap.most
        if gap.closed:
            return priced
        amounts = zip(columns, relaxed.amounts, strict=True)
        # The solver may say 2.9999999999 for 3.
        low = {column: number for column, amount in amounts if (number := floor(amount + 1e-9))}
        gap.offer(self._ledger.filled(gap.stock, gap.active, low))
        if not gap.closed:
            self._search(gap, columns, low)
        while not gap.closed:
            self._prove(gap, prices)
        return priced

    def _relaxed(self, gap: Gap) -> tuple[tuple[int, ...], Relaxed, Prices]:
        """The relaxed optimum: its columns, amounts and prices.  Many columns are let in only as they are wanted."""
        at_once = gap.active.bit_count() <= _AT_ONCE
        columns = tuple(bits(gap.active) if at_once else sorted(gap.best))
        for _ in range(_ROUNDS):
            relaxed = self._solver.relaxed(columns, gap.stock)
            # Rounded prices are as good a proof as any others: what they prove is summed up anew in whole numbers.
            prices = {row: round(worth * FINE) for row, worth in enumerate(relaxed.worth) if worth > 0}
            gap.most = self._learn(prices, gap.stock, gap.active, gap.most)
            if at_once or gap.closed or not (better := self._ledger.cheaper(relaxed.worth, gap.active)):
                break
            columns = tuple(sorted({*columns, *better}))
        return columns, relaxed, prices

    def _prove(self, gap: Gap, prices: Prices) -> None:
        """Finds a plan of ``gap.most`` struts, or proves that there is none and lowers the bound by one."""
        costs = [(cost, mask & gap.active) for cost, mask in self._ledger.costs(prices) if mask & gap.active]
        least = costs[0][0]
        room = sum(price * gap.stock[row] for row, price in prices.items()) - least * gap.most
        mask = sum(columns for cost, columns in costs if cost - least <= room)  # no column is of two costs
        self._search(gap, tuple(bits(mask)), {}, proves=True)

    def _search(self, gap: Gap, columns: tuple[int, ...], low: Amounts, *, proves: bool = False) -> None:
        """Search in whole numbers on top of ``low``; when it ``proves``, falling short lowers the bound."""
        left = tuple(left_after(self._uses, gap.stock, low))
        seconds = self._seconds()
        answer = self._solver.whole(columns, left, seconds, most=gap.most if proves else 0)
        plan = dict(low)
        for column, number in zip(columns, answer.amounts, strict=True):
            plan[column] = plan.get(column, 0) + number
        gap.offer(plan)
        if not proves:
            return
        if answer.ending is Ending.LIMIT:
            known = f"at least {gap.count} struts stand at once, at most {gap.most}; neither is proven to be the most"
            raise NoPlanError(f"the search was stopped after {seconds:.0f} s: {known}")
        # Every column that a plan of so many struts could have was let in, and none came: there is no such plan.
        if not gap.closed:
            gap.most -= 1


class TooLongError(Exception):
    """The search was given up; nothing is known from it.  Handled by who asks; a leak of it is a bug."""


class Search:
    """A search by hand, column by column, each as often as it goes first: for a rig's few columns, without a solver."""

    def __init__(self, uses: list[Uses], bound: Bound, steps: int) -> None:
        self._uses, self._bound, self._steps = uses, bound, steps

    def plan_of(self, count: int, stock: tuple[int, ...], active: int) -> Amounts | None:
        """A plan of ``count`` struts, or None: there is none (TooLongError: after so many steps as were allowed)."""
        if count <= 0:
            return {}
        self._steps -= 1
        if self._steps < 0:
            raise TooLongError
        if self._bound(stock, active) < count:
            return None
        column = bits(active)[0]
        uses, rest = self._uses[column], active & ~(1 << column)
        most = min(count, *(stock[row] // each for row, each in uses))
        for number in range(most, -1, -1):
            found = self.plan_of(count - number, tuple(left_after([uses], stock, {0: number})), rest)
            if found is not None:
                return found | {column: number} if number else found
        return None
