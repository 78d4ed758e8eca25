"""Rows that every whole choice of a programme keeps, though its optimum with fractions may not.

Rows of the programme are added up, each so many times; what is left over of each, and what each number is off its
bound, are whole numbers that are not negative.  Such a sum may be rounded: Gomory's mixed-integer cut, as in
Nemhauser and Wolsey, "Integer and Combinatorial Optimization", II.1.6 (from memory).

How often each row is counted comes from a solver and may be off.  The rounding is done in whole numbers here and is
right whatever the counts are; poor ones only give rows of no use.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from cache_check.planning.solving.programme import Programme, Row
from cache_check.planning.solving.tables import Array, bounds, dense

_MOST_SHARES = 2_000
"""Counts of rows are taken as so-manieths of whole numbers, and no finer."""
_NEAR = 1e-6
_EXACT = float(2**50)
"""Sums of floats stay whole up to here."""
_WIDE = float(2**40)
"""Sums with larger numbers than this are not rounded."""
_LONGEST = 2_000
"""Cuts with larger numbers than this are not taken; a solver that reckons with fractions would lose their meaning."""
_BEYOND = 1e-3
"""A cut must shut out the optimum with fractions by so much, as a distance."""


class Cutter:
    """The rows of a programme as a table that grows, and the cuts that follow from them."""

    def __init__(self, programme: Programme) -> None:
        self._lows = np.asarray(programme.lows, dtype=np.float64)
        self._highs = np.asarray([np.inf if high is None else high for high in programme.highs], dtype=np.float64)
        self._table = np.zeros((0, len(self._lows)))
        self._low = self._high = np.zeros(0)
        self._cut = np.zeros(0, dtype=bool)
        self.add(programme.rows)

    def add(self, rows: Sequence[Row]) -> None:
        """Take up rows of the programme."""
        self._grow(dense(rows, len(self._lows)), *bounds(rows), np.zeros(len(rows), dtype=bool))

    def fix(self, column: int, value: int) -> None:
        """Take up that a column has one value."""
        self._lows[column] = self._highs[column] = value

    def drop(self, totals: Array) -> Array:
        """Forget the cuts whose sums, of which these are all, do not reach what they must not pass; their places."""
        loose = self._cut & (self._high - totals > _NEAR)
        kept = ~loose
        self._table, self._low, self._high = self._table[kept], self._low[kept], self._high[kept]
        self._cut = self._cut[kept]
        return np.flatnonzero(loose)

    def _grow(self, table: Array, low: Array, high: Array, cut: Array) -> None:
        self._table = np.concatenate([self._table, table])
        self._low = np.concatenate([self._low, low])
        self._high = np.concatenate([self._high, high])
        self._cut = np.concatenate([self._cut, cut])

    def cuts(self, values: Array, totals: Array, counts: Array, most: int) -> tuple[Array, Array]:
        """Up to ``most`` cuts that shut out a choice with fractions: lines of numbers, and what they must not pass.

        ``values`` are the choice, by column; ``totals`` the sums of the rows in it; ``counts`` (one line for each
        sum, one number for each row) how often each row is counted in each sum.  They are taken up as rows too.
        """
        shares, counts = self._whole(counts)
        up = self._high - totals <= totals - self._low
        edge = np.where(up, self._high, self._low)
        may = np.isfinite(edge)
        good = (shares > 0) & ~(counts[:, ~may] != 0).any(axis=1)
        table, limits = self._rounded(values, shares[good], counts[good], up, np.where(may, edge, 0.0))
        kept = _best(table, limits, values, most)
        table, limits = table[kept], limits[kept]
        self._grow(table, np.full(len(limits), -np.inf), limits, np.ones(len(limits), dtype=bool))
        return table, limits

    def _whole(self, counts: Array) -> tuple[Array, Array]:
        """By which number each line of counts becomes whole (0: none), and the whole numbers."""
        broken = np.abs(counts - np.rint(counts)) > _NEAR
        shares = np.asarray([_share(line[apart].tolist()) for line, apart in zip(counts, broken, strict=True)])
        return shares, np.rint(counts * shares[:, None])

    def _rounded(self, values: Array, shares: Array, counts: Array, up: Array, edge: Array) -> tuple[Array, Array]:
        """The sums, rounded; those that could lose a digit are left out."""
        turned = np.isfinite(self._highs) & (self._highs - values < values - self._lows)
        sign = np.where(turned, -1.0, 1.0)
        start = np.where(turned, self._highs, self._lows)
        side = np.where(up, 1.0, -1.0)
        sums = counts @ self._table
        reach = np.abs(self._table) @ (np.abs(start) + 1.0) + np.abs(edge)
        exact = np.abs(counts) @ reach < _WIDE
        shares, counts, sums = shares[exact], counts[exact], sums[exact]

        share = shares[:, None].astype(np.int64)
        total = np.rint(counts @ edge - sums @ start).astype(np.int64)[:, None]
        over = total % share
        left = share - over
        numbers = _round(np.rint(sums * sign).astype(np.int64), share, over) * sign
        slack = np.where(self._low == self._high, 0.0, _round((counts * side).astype(np.int64), share, over) * side)
        table = numbers - slack @ self._table
        limits = (total // share * left)[:, 0] + numbers @ start - slack @ edge
        size = np.abs(numbers) @ np.abs(start) + np.abs(slack) @ (np.abs(self._table).sum(axis=1) + np.abs(edge))
        return _divided(table, limits, size < _EXACT)


def _share(counts: list[float]) -> int:
    """A number by which all counts become whole, made up from one after the other; 0: there is none up to a limit."""
    share = 1
    for count in counts:
        rest = abs(count * share) % 1.0
        if min(rest, 1.0 - rest) > _NEAR:
            share *= _denominator(rest)
            if share > _MOST_SHARES:
                return 0
    return share


def _denominator(number: float) -> int:
    """The denominator of the first convergent that is near a number between none and one."""
    before, now, rest = 0, 1, number
    while rest % 1.0 and now <= _MOST_SHARES and abs(number * now - round(number * now)) > _NEAR:
        rest = 1.0 / (rest % 1.0)
        before, now = now, before + int(rest) * now
    return now


def _round(numbers: Array, share: Array, over: Array) -> Array:
    """The rounded numbers of a sum that has so many shares to one, of which its total is over a whole by ``over``."""
    return numbers // share * (share - over) + np.maximum(0, numbers % share - over)


def _divided(table: Array, limits: Array, good: Array) -> tuple[Array, Array]:
    """Rows divided by what their numbers share, their limits rounded down."""
    table, limits = table[good].astype(np.int64), limits[good].astype(np.int64)
    shared = np.maximum(1, np.gcd.reduce(table, axis=1)) if len(table) else limits
    return (table // shared[:, None]).astype(np.float64), (limits // shared).astype(np.float64)


def _best(table: Array, limits: Array, values: Array, most: int) -> list[int]:
    """The places of the rows that shut the choice out furthest, none twice."""
    length = np.sqrt((table * table).sum(axis=1))
    beyond = (table @ values - limits) / np.maximum(length, 1.0)
    good = (beyond > _BEYOND) & (np.abs(table).max(axis=1, initial=0.0) <= _LONGEST)
    kept: dict[bytes, int] = {}
    for i in np.lexsort((np.arange(len(limits)), -np.round(beyond, 6))):
        if good[i]:
            kept.setdefault(table[i].tobytes(), int(i))
    return list(kept.values())[:most]
