"""The rows of a programme as arrays, its relaxation at HiGHS, kept loaded, and HiGHS's search in whole numbers."""

from collections.abc import Iterable, Sequence
from itertools import chain
from threading import Thread
from typing import Any, Protocol

import numpy as np

from cache_check.frozen import dataclass
from cache_check.planning.solving.highs import (
    LIGHT,
    PRIMAL,
    end_beyond,
    ended,
    found_one,
    in_whole_numbers,
    new_solver,
    over_rows,
)
from cache_check.planning.solving.programme import Row
from cache_check.planning.solving.solver import Ending

Array = Any  # of numpy; floats, unless said otherwise
_NEAR = 1e-7
_FEW = 300  # columns, among which a guess takes longer than the search
_DEEP = 2  # what is needed by what is needed is asked for, and no further


@dataclass
class Table:
    """The numbers of a programme's rows, in any order: the row, the column and the number of each term.

    ``low`` and ``high`` are what the sums of rows must not fall below and not pass, infinite where nothing is said.
    """

    row: Array
    column: Array
    number: Array
    low: Array
    high: Array
    columns: int

    def add(self, row: Row) -> None:
        """Take up one more row."""
        one = tabled([row], self.columns)
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


def tabled(rows: Sequence[Row], columns: int) -> Table:
    """The table of these rows, one after the other."""
    lengths = np.asarray([len(row.terms) for row in rows], dtype=np.int32)
    flat = np.asarray(list(chain.from_iterable(chain.from_iterable(row.terms for row in rows))), dtype=np.float64)
    which, low, high = np.arange(len(rows), dtype=np.int32), [row.low for row in rows], [row.high for row in rows]
    return Table(
        np.repeat(which, lengths), flat[::2].astype(np.int32), flat[1::2], limits(low, -np.inf), limits(high, np.inf),
        columns,
    )  # fmt: skip


class Needs:
    """What columns need of others: rows of which all that is taken must be given by columns before those that take.

    So a strut needs one of the openings that yield its run, and an opening one of the sets that it opens.
    """

    def __init__(self, table: Table, lows: Array) -> None:
        takes, gives, rows = table.number > 0, table.number < 0, len(table.low)
        last, first = np.full(rows, -1), np.full(rows, table.columns)
        np.maximum.at(last, table.row[gives], table.column[gives])
        np.minimum.at(first, table.row[takes], table.column[takes])
        kept = (table.high <= 0) & (last >= 0) & (last < first) & (first < table.columns)
        kept[table.row[lows[table.column] < 0]] = False
        place = np.cumsum(kept) - 1
        taking, giving = (np.flatnonzero(terms & kept[table.row]) for terms in (takes, gives))
        giving = giving[np.argsort(table.row[giving], kind="stable")]
        self._row, self._takes, self._gives = place[table.row[taking]], table.column[taking], table.column[giving]
        self._starts = np.flatnonzero(np.diff(place[table.row[giving]], prepend=-1))

    def dear(self, reduced: Array, lows: Array, highs: Array, room: float) -> Array:
        """Which columns that may be none must be none, where no more than ``room`` may be added to a relaxed bound.

        One adds its reduced cost, and that of the least dear of those that it needs one of, which are other columns.
        """
        own = np.where(highs > 0, np.where(lows > 0, 0.0, np.maximum(reduced, 0.0)), np.inf)
        adds = own
        for _ in range(_DEEP if len(self._starts) else 0):
            least = np.minimum.reduceat(adds[self._gives], self._starts)
            more = np.zeros(len(own))
            np.maximum.at(more, self._takes, least[self._row])
            adds = own + more
        return (adds > room) & (lows <= 0)


def limits(numbers: Iterable[int | None], unlimited: float) -> Array:
    """The bounds that are named, as floats."""
    return np.asarray([unlimited if number is None else number for number in numbers], dtype=np.float64)


class Late(Protocol):
    """Columns that a relaxation can do without, and is given only as they would better it."""

    @property
    def columns(self) -> Array:
        """Their numbers."""

    def better(self, reduced: Array) -> Array:
        """Those to give next, at these reduced costs of all columns; none where none would better the optimum."""

    def worth(self, reduced: Array) -> tuple[Array, Array]:
        """Rows, and what is added to their prices so that none has a reduced cost below nothing."""


class Relaxation:
    """A programme with fractions allowed, kept loaded while costs and bounds change and rows are added."""

    def __init__(self, table: Table, lows: Array, highs: Array, late: Late | None = None) -> None:
        self._table, self._late, self._lows, self._highs = table, late, lows, highs
        self._waits = np.zeros(table.columns, dtype=bool)
        if late is not None:
            self._waits[late.columns] = True
        self._costs = np.zeros(table.columns)
        self._place = np.full(table.columns, -1, dtype=np.int32)
        self._loaded = np.zeros(0, dtype=np.int32)
        self._solver = new_solver(over_rows(table.low, table.high))

    def add(self, row: Row) -> None:
        """Keep one more row, which the table has already."""
        there = [(self._place[column], number) for column, number in row.terms if self._place[column] >= 0]
        (low,), (high,) = limits([row.low], -np.inf), limits([row.high], np.inf)
        columns = np.asarray([place for place, _ in there], dtype=np.int32)
        self._solver.addRow(low, high, len(there), columns, np.asarray([n for _, n in there], dtype=np.float64))

    def cap(self, high: float) -> None:
        """Change what the last row may be at most, which the table has already."""
        row = len(self._table.high) - 1
        self._solver.changeRowBounds(row, self._table.low[row], high)

    def bound(self, lows: Array, highs: Array) -> None:
        """Change the bounds of columns."""
        changed = (lows != self._lows) | (highs != self._highs)
        self._lows, self._highs = lows, highs
        at = np.flatnonzero(changed & (self._place >= 0))
        if len(at):
            self._solver.changeColsBounds(len(at), self._place[at], lows[at], highs[at])

    def solved(self, costs: Array, lows: Array, highs: Array, seconds: float) -> Ending:
        """Make a cost least within bounds; how that ended.  Columns that are shut are let in once they are not."""
        self.bound(lows, highs)
        if (costs != self._costs).any():
            self._costs = costs
            if len(self._loaded):
                self._solver.changeColsCost(len(self._loaded), self._place[self._loaded], costs[self._loaded])
        self._let_in(np.flatnonzero((self._place < 0) & (highs > 0) & ~self._waits))
        until = self._solver.getRunTime() + seconds
        self._solver.setOptionValue("time_limit", until)
        self._solver.run()
        if self._late is not None and ended(self._solver) is Ending.INFEASIBLE:
            self._let_in(np.flatnonzero((self._place < 0) & (highs > 0)))
            self._solver.run()
        while self._late is not None and ended(self._solver) is Ending.OPTIMAL:
            better = self._late.better(self._priced()[1])
            better = better[(self._place[better] < 0) & (highs[better] > 0)]
            if not len(better):
                break
            self._let_in(np.sort(better))
            self._solver.setOptionValue("simplex_strategy", PRIMAL)
            self._solver.run()
        return ended(self._solver)

    def _let_in(self, columns: Array) -> None:
        if len(columns):
            starts, rows, numbers = self._table.of(columns)
            self._solver.addCols(
                len(columns), self._costs[columns], self._lows[columns], self._highs[columns], len(rows),
                starts[:-1], rows, numbers,
            )  # fmt: skip
            self._place[columns] = np.arange(len(self._loaded), len(self._loaded) + len(columns))
            self._loaded = np.concatenate([self._loaded, columns]).astype(np.int32)

    @property
    def values(self) -> Array:
        """The optimum, by column."""
        values = np.zeros(self._table.columns)
        values[self._loaded] = np.asarray(self._solver.getSolution().col_value)
        return values

    def proof(self) -> tuple[float, Array, Array]:
        """A bound that no choice beats, by the dual prices of the rows; these, and the reduced cost of every column.

        It is summed up anew from the prices, so it holds whatever they are worth.
        """
        prices, reduced = self._priced()
        if self._late is not None:
            rows, more = self._late.worth(reduced)
            prices[rows] += more
            reduced = self._costs - self._table.priced(prices)
        return summed(self._table, prices, reduced, self._lows, self._highs), prices, reduced

    def _priced(self) -> tuple[Array, Array]:
        return duals(self._table, self._costs, self._solver)


def duals(table: Table, costs: Array, solver: Any) -> tuple[Array, Array]:
    """The dual prices of the rows at a solver, and the reduced cost of every column."""
    prices = np.asarray(solver.getSolution().row_dual)
    prices[((prices > 0) & ~np.isfinite(table.low)) | ((prices < 0) & ~np.isfinite(table.high))] = 0.0
    return prices, costs - table.priced(prices)


def summed(table: Table, prices: Array, reduced: Array, lows: Array, highs: Array) -> float:
    """The bound that prices of rows and reduced costs of columns make, whatever they are worth."""
    ends = np.where(reduced > 0, lows, highs)
    reduced[(np.abs(reduced) < _NEAR) & ~np.isfinite(ends)] = 0.0
    sides = np.where(prices > 0, table.low, table.high)[prices != 0] @ prices[prices != 0]
    return float(sides + ends[reduced != 0] @ reduced[reduced != 0])


def search(
    table: Table, costs: Array, lows: Array, highs: Array, seconds: float, most: float | None = None,
    enough: float = np.inf, looks: float = np.inf,
) -> tuple[Ending, list[float] | None, float]:  # fmt: skip
    """Search for the least of a cost within bounds: how it ended, the best found, and a bound (may be infinite).

    With ``most`` it ends with the first choice found that costs no more.
    It ends too once its bound, rounded up to whole numbers, is ``enough``, or after so many ``looks`` at it.
    """
    kept = np.flatnonzero((highs > 0) | (lows != 0))
    if not len(kept):
        holds = (table.low <= 0).all() and (table.high >= 0).all()
        return (Ending.OPTIMAL, [0.0] * table.columns, 0.0) if holds else (Ending.INFEASIBLE, None, np.inf)
    columns = (costs[kept], lows[kept], highs[kept])
    solver = in_whole_numbers(columns, (table.low, table.high), table.of(kept), time_limit=seconds, **LIGHT)
    solver.setOptionValue("mip_heuristic_run_feasibility_jump", len(kept) > _FEW)
    if most is not None:
        solver.setOptionValue("objective_target", most + 0.5)  # it stops below its target, not at it
    if min(enough, looks) < np.inf:
        end_beyond(solver, enough - 1, looks)
    _interruptibly(solver)
    info, ending = solver.getInfo(), ended(solver)
    values = None
    if found_one(solver):
        every = np.zeros(table.columns)
        every[kept] = np.asarray(solver.getSolution().col_value)
        values = every.tolist()
    return ending, values, min(info.mip_dual_bound, enough)


def _interruptibly(solver: Any) -> None:
    """Run a solver in a thread of its own, so that an interrupt is heard while it works."""
    solver.HandleUserInterrupt = True
    run = Thread(target=solver.run, daemon=True)
    run.start()
    try:
        while run.is_alive():
            run.join(0.1)
    except KeyboardInterrupt:
        solver.cancelSolve()
        run.join(5.0)
        raise
