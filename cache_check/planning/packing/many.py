"""The ledger by numpy, for thousands of columns."""

from functools import lru_cache
from itertools import chain

import numpy as np
from numpy.typing import NDArray

from cache_check.planning.packing.ledger import Amounts, Ledger, Prices, left_after
from cache_check.planning.solving.solver import Uses


class ManyColumns(Ledger):
    """Columns as a table of rows by columns."""

    def __init__(self, uses: list[Uses], rows: int) -> None:
        super().__init__(uses)
        sizes = np.asarray([len(column) for column in uses])
        wide = int(sizes.max(initial=1))
        self._rows_of = np.full((len(uses), wide), rows, dtype=np.int64)
        self._numbers = np.zeros((len(uses), wide))
        there = np.arange(wide) < sizes[:, None]
        flat = np.fromiter(chain.from_iterable(chain.from_iterable(uses)), dtype=np.int64)
        self._rows_of[there], self._numbers[there] = flat[::2], flat[1::2]
        self._table = np.zeros((rows + 1, len(uses)))
        self._table[self._rows_of, np.arange(len(uses))[:, None]] = self._numbers
        self._table = self._table[:rows]
        # Of the columns admitted last alone: a question and its bounds are about the same ones.
        self._columns = lru_cache(1)(lambda active: np.flatnonzero(_there(active, len(uses))))
        self._admitted = lru_cache(1)(lambda active: self._table[:, self._columns(active)])
        self._taking = lru_cache(1)(lambda active: (self._rows_of[at := self._columns(active)], self._numbers[at]))
        self._first = np.asarray([column[0][0] if column else 0 for column in uses], dtype=np.int64)

    def costs(self, prices: Prices) -> list[tuple[int, int]]:
        """See ``Ledger``.  Whole numbers up to 2**53 are exact in the table's floats."""
        rows = sorted(prices)
        cost = _priced(np.asarray([prices[row] for row in rows], dtype=np.float64), self._table[rows])
        order = np.argsort(cost)
        costing = np.split(order, 1 + np.flatnonzero(np.diff(cost[order])))
        return [(round(float(cost[own[0]])), _mask(own, len(self._uses))) for own in costing]

    def least(self, prices: Prices, active: int) -> int:
        """See ``Ledger``.  Exact as in ``costs``."""
        priced = np.zeros(len(self._table))
        priced[list(prices)] = list(prices.values())
        return round(float(_priced(priced, self._admitted(active)).min()))

    def filled(self, stock: tuple[int, ...], active: int, start: Amounts) -> Amounts:
        """See ``Ledger``.  Half of what fits of the lightest column is built at a time."""
        # One row more, of which there is one and nobody takes any, fills the short columns up.
        left = np.asarray([*left_after(self._uses, stock, start), 1], dtype=np.float64)
        amounts, columns = dict(start), self._columns(active)
        rows, numbers = self._taking(active)
        while True:
            have = left[rows]
            fits = (numbers <= have).all(axis=1)
            if not fits.any():
                return amounts
            columns, rows, numbers = columns[fits], rows[fits], numbers[fits]
            best = int(np.argmin((numbers / have[fits]).sum(axis=1)))
            taken = numbers[best] > 0
            number = max(1, int((left[rows[best][taken]] // numbers[best][taken]).min()) // 2)
            left[rows[best]] -= numbers[best] * number
            column = int(columns[best])
            amounts[column] = amounts.get(column, 0) + number

    def guesses(self) -> list[frozenset[int]]:
        """See ``Ledger``.  A single row seldom binds thousands of columns, so only slots are tried."""
        taken = np.packbits(self._table > 0, axis=1)
        beside = np.asarray([(taken & one).any(axis=1) for one in taken])
        rows = np.flatnonzero(beside.any(axis=1))
        apart = {frozenset([int(row), *(int(other) for other in rows[~beside[row, rows]])]) for row in rows}
        return sorted(apart, key=sorted)

    def cheaper(self, worth: tuple[float, ...], active: int) -> list[int]:
        """See ``Ledger``; of each first row the cheapest alone."""
        columns = self._columns(active)
        cost = _priced(np.asarray(worth), self._admitted(active))
        below = np.flatnonzero(cost < 1.0 - 1e-7)
        order = below[np.lexsort((cost[below], self._first[columns[below]]))]
        _, first = np.unique(self._first[columns[order]], return_index=True)
        return [int(column) for column in columns[order[first]]]


def fat(active: int, total: int, pairs: NDArray[np.int64]) -> int:
    """The mask of the admitted columns that have a leaner one beside them; ``pairs`` are columns over leaner ones."""
    there, (fatter, leaner) = _there(active, total), pairs
    return _mask(fatter[there[fatter] & there[leaner]], total)


def _there(active: int, total: int) -> NDArray[np.bool_]:
    packed = np.frombuffer(active.to_bytes(total // 8 + 1, "little"), dtype=np.uint8)
    return np.unpackbits(packed, bitorder="little")[:total].astype(bool)


def _priced(prices: NDArray[np.float64], table: NDArray[np.float64]) -> NDArray[np.float64]:
    """What columns cost; not by ``@``, whose threads wait for each other and take more time than the sums."""
    cost: NDArray[np.float64] = np.einsum("r,rc->c", prices, table)
    return cost


def _mask(columns: NDArray[np.int64], total: int) -> int:
    chosen = np.zeros(total, dtype=np.uint8)
    chosen[columns] = 1
    return int.from_bytes(np.packbits(chosen, bitorder="little").tobytes(), "little")
