"""The rows of a programme as numpy arrays, for those that reckon with all of them at once."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain
from typing import Any

import numpy as np

from cache_check.planning.solving.programme import Row

Array = Any
"""Of numpy; floats, unless said otherwise."""


def sparse(rows: Sequence[Row]) -> tuple[Array, Array, Array]:
    """The terms of rows, one row after the other: how many each has (whole numbers), their columns, their numbers."""
    lengths = np.asarray([len(row.terms) for row in rows], dtype=np.int32)
    flat = list(chain.from_iterable(chain.from_iterable(row.terms for row in rows)))
    return lengths, np.asarray(flat[::2], dtype=np.int32), np.asarray(flat[1::2], dtype=np.float64)


def bounds(rows: Sequence[Row]) -> tuple[Array, Array]:
    """What the sums of rows must not fall below, and not pass; infinite where nothing is said."""
    lows = np.asarray([-np.inf if row.low is None else row.low for row in rows], dtype=np.float64)
    highs = np.asarray([np.inf if row.high is None else row.high for row in rows], dtype=np.float64)
    return lows, highs


def dense(rows: Sequence[Row], columns: int) -> Array:
    """Rows as a table with a line of numbers for each; large numbers may lose digits."""
    lengths, at, numbers = sparse(rows)
    table = np.zeros((len(rows), columns))
    table[np.repeat(np.arange(len(rows)), lengths), at] = numbers
    return table
