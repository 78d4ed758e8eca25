"""A small search in whole numbers by hand: is there a plan of so many struts?

For a rig's few columns this settles what simple bounds leave open, exactly and without loading a solver.
"""

from __future__ import annotations

from collections.abc import Callable

from cache_check.planning.packing.ledger import Amounts
from cache_check.planning.packing.masks import bits
from cache_check.planning.solving.solver import Uses

Bound = Callable[[tuple[int, ...], int], int]
"""The most struts of a set of columns (a mask) that a stock can hold, as far as is known."""


class TooLongError(Exception):
    """The search was given up; nothing is known from it.  Handled by who asks; a leak of it is a bug."""


class Search:
    """Looks for plans column by column, each as often as it goes first, and turns back where the bound falls short."""

    def __init__(self, uses: list[Uses], bound: Bound, steps: int) -> None:
        self._uses = uses
        self._bound = bound
        self._steps = steps

    def plan_of(self, count: int, stock: tuple[int, ...], active: int) -> Amounts | None:
        """A plan of ``count`` struts, or None: there is none.

        Raises:
            TooLongError: after so many steps as were allowed.
        """
        if count <= 0:
            return {}
        self._steps -= 1
        if self._steps < 0:
            raise TooLongError
        if self._bound(stock, active) < count:
            return None
        column = bits(active)[0]
        uses = self._uses[column]
        rest = active & ~(1 << column)
        most = min(count, *(stock[row] // each for row, each in uses))
        for number in range(most, -1, -1):
            left = list(stock)
            for row, each in uses:
                left[row] -= each * number
            found = self.plan_of(count - number, tuple(left), rest)
            if found is not None:
                return found | {column: number} if number else found
        return None
