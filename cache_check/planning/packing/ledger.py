"""The sums behind a packing: what columns cost at prices, and filling a stock up.

This ledger works by plain Python, quick to start and right for a rig; the one in ``many.py`` answers the same by
numpy, for pooled stores with thousands of columns.
"""

from collections.abc import Sequence
from functools import cached_property
from itertools import combinations, product
from math import inf

from cache_check.errors import grouped
from cache_check.planning.packing.rows import bits, mask_of
from cache_check.planning.solving.solver import Uses

Prices = dict[int, int]  # a whole-number price for each row that has one
Amounts = dict[int, int]  # how many of each column


def left_after(uses: list[Uses], stock: Sequence[int], amounts: Amounts) -> list[int]:
    """What is left of a stock after some columns are built."""
    left = list(stock)
    for column, number in amounts.items():
        for row, each in uses[column]:
            left[row] -= each * number
    return left


class Ledger:
    """What a packer asks about its columns; columns and rows are numbers, sets of columns bit masks."""

    def __init__(self, uses: list[Uses]) -> None:
        self._uses = uses

    @cached_property
    def _of_row(self) -> dict[int, list[tuple[int, int]]]:
        """What takes each row: (column, how much), columns rising."""
        return grouped((row, (column, number)) for column, uses in enumerate(self._uses) for row, number in uses)

    def costs(self, prices: Prices) -> list[tuple[int, int]]:
        """What columns cost: (cost, mask of the columns that cost it), cheapest first."""
        each: dict[int, int] = {}
        for row, price in prices.items():
            for column, number in self._of_row.get(row, ()):
                each[column] = each.get(column, 0) + price * number
        costing = grouped((cost, column) for column, cost in each.items())
        costs = {cost: mask_of(columns, len(self._uses)) for cost, columns in costing.items() if cost}
        free = ((1 << len(self._uses)) - 1) ^ sum(costs.values())
        return sorted([*([(0, free)] if free else []), *costs.items()])

    def least(self, prices: Prices, active: int) -> int:
        """What the cheapest of the admitted columns costs."""
        return min(sum(prices.get(row, 0) * number for row, number in self._uses[i]) for i in bits(active))

    def filled(self, stock: tuple[int, ...], active: int, start: Amounts) -> Amounts:
        """``start`` filled up with admitted columns: half of what fits of what presses least on what is left."""
        left, amounts, fitting = left_after(self._uses, stock, start), dict(start), bits(active)
        while True:
            best, fitting = self._lightest(fitting, left)
            if best < 0:
                return amounts
            number = max(1, min(left[row] // each for row, each in self._uses[best]) // 2)
            amounts[best] = amounts.get(best, 0) + number
            left = left_after(self._uses, left, {best: number})

    def _lightest(self, columns: list[int], left: list[int]) -> tuple[int, list[int]]:
        """The column that presses least on what is left (-1: none fits), and all that fit."""
        best, lightest, fitting = -1, inf, []
        for column in columns:
            press = 0.0
            for row, each in self._uses[column]:
                if each > left[row]:
                    break
                press += each / left[row]
            else:
                fitting.append(column)
                if press < lightest:
                    best, lightest = column, press
        return best, fitting

    def guesses(self) -> list[frozenset[int]]:
        """Sets of rows worth trying as a first bound, one price on each: each row alone, and the slots."""
        used = {row for uses in self._uses for row, _ in uses}
        beside: dict[int, set[int]] = {row: set() for row in used}
        for uses in set(self._uses):
            together = {row for row, _ in uses}
            for row in together:
                beside[row] |= together
        alone = {frozenset({row}) for row in used}
        # A *slot* is a row with all that never stand beside it in a column: the bodies, say, or the bases.
        return sorted(alone | {frozenset({row} | (used - beside[row])) for row in used}, key=sorted)

    def cheaper(self, worth: tuple[float, ...], active: int) -> list[int]:
        """Admitted columns that cost less than one strut at these prices of rows; [] where there is none."""
        priced = [(sum(worth[row] * n for row, n in self._uses[i]), i) for i in bits(active)]
        return [i for cost, i in priced if cost < 1.0 - 1e-7]

    def paired(self, stock: tuple[int, ...], active: int, most: int) -> list[tuple[Prices, int]]:
        """Prices on two rows that bound better than ``most``, with the bounds: small caches are bound so most often."""
        admitted = [dict(self._uses[column]) for column in bits(active)]
        rows = sorted({row for uses in admitted for row in uses})
        taken = {row: [uses.get(row, 0) for uses in admitted] for row in rows}
        # Two rows of which a column takes nothing say nothing of it, and are no bound.
        takes = {row: mask_of([at for at, n in enumerate(taken[row]) if n], len(admitted)) for row in rows}
        both = [pair for pair in combinations(rows, 2) if takes[pair[0]] | takes[pair[1]] == (1 << len(admitted)) - 1]
        found: list[tuple[Prices, int]] = []
        for (one, two), (first, second) in product(both, ((1, 1), (1, 2), (2, 1))):
            cost = min([first * a + second * b for a, b in zip(taken[one], taken[two], strict=True)])
            bound = (first * stock[one] + second * stock[two]) // cost
            if bound < most:
                most = bound
                found.append(({one: first, two: second}, bound))
        return found
