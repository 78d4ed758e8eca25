"""The rows of a programme as numpy arrays, for those that reckon with all of them at once."""

from collections.abc import Iterable, Sequence
from itertools import chain
from typing import Any

import numpy as np

from cache_check.planning.solving.programme import Row

Array = Any
"""Of numpy; floats, unless said otherwise."""


class Table:
    """The numbers of a programme's rows, one after the other: the row, the column and the number of each term.

    ``low`` and ``high`` are what the sums of rows must not fall below and not pass, infinite where nothing is said.
    """

    def __init__(self, rows: Sequence[Row], columns: int) -> None:
        self.columns = columns
        lengths = np.asarray([len(row.terms) for row in rows], dtype=np.int32)
        flat = np.asarray(list(chain.from_iterable(chain.from_iterable(row.terms for row in rows))), dtype=np.float64)
        self.row = np.repeat(np.arange(len(rows), dtype=np.int32), lengths)
        self.column = flat[::2].astype(np.int32)
        self.number = flat[1::2]
        self.low = limits([row.low for row in rows], -np.inf)
        self.high = limits([row.high for row in rows], np.inf)

    def add(self, row: Row) -> None:
        """Take up one more row."""
        one = Table([row], self.columns)
        self.row = np.concatenate([self.row, one.row + np.int32(len(self.low))])
        self.column = np.concatenate([self.column, one.column])
        self.number = np.concatenate([self.number, one.number])
        self.low, self.high = np.concatenate([self.low, one.low]), np.concatenate([self.high, one.high])

    def priced(self, prices: Array) -> Array:
        """What each column takes at these prices of the rows."""
        return np.bincount(self.column, weights=self.number * prices[self.row], minlength=self.columns)

    def of(self, columns: Array) -> tuple[Array, Array, Array]:
        """The terms of some columns (numbers, rising), one column after the other: starts, rows, numbers."""
        place = np.full(self.columns, -1)
        place[columns] = np.arange(len(columns))
        here = np.flatnonzero(place[self.column] >= 0)
        at = place[self.column[here]]
        here = here[np.argsort(at, kind="stable")]
        starts = np.concatenate([[0], np.cumsum(np.bincount(at, minlength=len(columns)))]).astype(np.int32)
        return starts, self.row[here], self.number[here]


def limits(numbers: Iterable[int | None], unlimited: float) -> Array:
    """The bounds that are named, as floats."""
    return np.asarray([unlimited if number is None else number for number in numbers], dtype=np.float64)
