"""HiGHS behind the port.  The only file that knows it.

One thread and a fixed seed, so that the same question gets the same answer.  Version 1.16 prints a banner to
file descriptor 1 when its first object is made; that object is made with the descriptor pointed away, since
nothing but data may reach standard output.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import cache
from threading import Thread
from typing import Any, Protocol

import highspy
import numpy as np

from cache_check.planning.solving.programme import Row
from cache_check.planning.solving.solver import Ending, Relaxed, Uses, Whole
from cache_check.planning.solving.tables import Array, Table

_PRIMAL = 4
_NEAR = 1e-7


@contextmanager
def _silent() -> Iterator[None]:
    sys.stdout.flush()
    kept = os.dup(1)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)


@cache
def _banner_is_out() -> bool:
    with _silent():
        highspy.Highs()
    return True


def _new() -> Any:
    _banner_is_out()
    solver = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("random_seed", 1)
    return solver


class Highs:
    """Packings of one set of columns, kept loaded between questions; ``growing`` where columns are added between."""

    def __init__(self, uses: Sequence[Uses], rows: int, *, growing: bool = False) -> None:
        self._uses = uses
        self._rows = rows
        self._growing = growing
        self._simplex: Any = None
        self._loaded: dict[int, int] = {}
        self._open: set[int] = set()
        self._stock: tuple[int, ...] = ()

    def relaxed(self, columns: tuple[int, ...], stock: tuple[int, ...]) -> Relaxed:
        """The optimum with fractions; amounts are by place in ``columns``."""
        if self._simplex is None:
            self._simplex = _new()
            self._simplex.setOptionValue("presolve", "off")
            if self._growing:
                # New columns leave the optimum feasible, so the primal method goes on from there.
                self._simplex.setOptionValue("simplex_strategy", _PRIMAL)
            self._simplex.passModel(_empty(self._rows))
        self._load(columns)
        if stock != self._stock:
            every = np.arange(self._rows, dtype=np.int32)
            highs = np.asarray(stock, dtype=np.float64)
            self._simplex.changeRowsBounds(self._rows, every, np.full(self._rows, -np.inf), highs)
            self._stock = stock
        self._simplex.run()
        solution = self._simplex.getSolution()
        amounts = solution.col_value
        return Relaxed(
            tuple(amounts[self._loaded[column]] for column in columns),
            tuple(max(0.0, -worth) for worth in solution.row_dual),
        )

    def _load(self, columns: tuple[int, ...]) -> None:
        """Have exactly these columns open: new ones are added, others are shut by a bound of zero."""
        new = [column for column in columns if column not in self._loaded]
        if new:
            starts, rows, amounts = _sparse([self._uses[column] for column in new])
            self._simplex.addCols(
                len(new), np.ones(len(new)) * -1.0, np.zeros(len(new)), np.full(len(new), np.inf),
                len(rows), starts, rows, amounts,
            )  # fmt: skip
            for column in new:
                self._loaded[column] = len(self._loaded)
            self._open.update(new)
        wanted = set(columns)
        shut = self._open - wanted
        opened = wanted - self._open
        if shut or opened:
            order = sorted(shut | opened)
            at = np.asarray([self._loaded[column] for column in order], dtype=np.int32)
            tops = np.asarray([np.inf if column in opened else 0.0 for column in order])
            self._simplex.changeColsBounds(len(order), at, np.zeros(len(order)), tops)
            self._open = wanted

    def whole(
        self,
        columns: tuple[int, ...],
        stock: tuple[int, ...],
        used: tuple[int, ...],
        seconds: float,
        nodes: int | None = None,
    ) -> Whole:
        """The most struts in whole numbers; every strut counts one, so a gap below one is none."""
        solver = _new()
        # Of thousands of columns presolve compares each with each, and takes fifty times what the search then does.
        solver.setOptionValue("presolve", "off")
        solver.setOptionValue("time_limit", seconds)
        solver.setOptionValue("mip_rel_gap", 0.0)
        solver.setOptionValue("mip_abs_gap", 0.99)
        if nodes is not None:
            solver.setOptionValue("mip_max_nodes", nodes)
        solver.passModel(_programme(columns, self._uses, stock, used))
        solver.run()
        ended = solver.getModelStatus()
        proven = ended in (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kInfeasible)
        found = solver.getInfo().primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
        amounts = tuple(round(value) for value in solver.getSolution().col_value) if found else (0,) * len(columns)
        return Whole(amounts, Ending.OPTIMAL if proven else Ending.LIMIT)


def _sparse(uses: list[Uses]) -> tuple[Any, Any, Any]:
    starts = np.cumsum([0, *(len(column) for column in uses)][:-1], dtype=np.int32)
    rows = np.asarray([row for column in uses for row, _ in column], dtype=np.int32)
    amounts = np.asarray([amount for column in uses for _, amount in column], dtype=np.float64)
    return starts, rows, amounts


def _empty(rows: int) -> Any:
    model = highspy.HighsLp()
    model.num_row_ = rows
    model.row_lower_ = np.full(rows, -np.inf)
    model.row_upper_ = np.zeros(rows)
    return model


def _programme(columns: tuple[int, ...], uses: Sequence[Uses], stock: tuple[int, ...], used: tuple[int, ...]) -> Any:
    starts, rows, amounts = _sparse([uses[column] for column in columns])
    model = highspy.HighsLp()
    model.num_col_ = len(columns)
    model.num_row_ = len(stock)
    model.sense_ = highspy.ObjSense.kMinimize
    model.col_cost_ = np.full(len(columns), -1.0)
    model.col_lower_ = np.zeros(len(columns))
    model.col_upper_ = np.full(len(columns), np.inf)
    model.row_lower_ = np.asarray(used, dtype=np.float64)
    model.row_upper_ = np.asarray(stock, dtype=np.float64)
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_ = np.append(starts, len(rows))
    model.a_matrix_.index_ = rows
    model.a_matrix_.value_ = amounts
    model.integrality_ = [highspy.HighsVarType.kInteger] * len(columns)
    return model


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
        self._table = table
        self._late = late
        self._waits = np.zeros(table.columns, dtype=bool)
        if late is not None:
            self._waits[late.columns] = True
        self._lows, self._highs = lows, highs
        self._costs = np.zeros(table.columns)
        self._place = np.full(table.columns, -1, dtype=np.int32)
        self._loaded = np.zeros(0, dtype=np.int32)
        self._solver = _new()
        self._solver.setOptionValue("presolve", "off")
        model = highspy.HighsLp()
        model.num_row_ = len(table.low)
        model.row_lower_, model.row_upper_ = table.low, table.high
        self._solver.passModel(model)

    def add(self, row: Row) -> None:
        """Keep one more row, which the table has already."""
        there = [(self._place[column], number) for column, number in row.terms if self._place[column] >= 0]
        low, high = -np.inf if row.low is None else row.low, np.inf if row.high is None else row.high
        columns = np.asarray([place for place, _ in there], dtype=np.int32)
        self._solver.addRow(low, high, len(there), columns, np.asarray([n for _, n in there], dtype=np.float64))

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
        while self._late is not None and _ended(self._solver) is Ending.OPTIMAL:
            better = self._late.better(self._priced()[1])
            better = better[(self._place[better] < 0) & (highs[better] > 0)]
            if not len(better):
                break
            self._let_in(np.sort(better))
            self._solver.setOptionValue("simplex_strategy", _PRIMAL)
            self._solver.run()
        return _ended(self._solver)

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

    def proof(self) -> tuple[float, Array]:
        """A bound that no choice beats, by the dual prices of the rows; and the reduced cost of every column.

        It is summed up anew from the prices, so it holds whatever they are worth.
        """
        low, high = self._table.low, self._table.high
        prices, reduced = self._priced()
        if self._late is not None:
            rows, more = self._late.worth(reduced)
            prices[rows] += more
            reduced = self._costs - self._table.priced(prices)
        reduced[np.abs(reduced) < _NEAR] = 0.0
        sides = np.where(prices > 0, low, high)[prices != 0] @ prices[prices != 0]
        ends = np.where(reduced > 0, self._lows, self._highs)[reduced != 0] @ reduced[reduced != 0]
        return float(sides + ends), reduced

    def _priced(self) -> tuple[Array, Array]:
        """The dual prices of the rows, and the reduced cost of every column."""
        low, high = self._table.low, self._table.high
        prices = np.asarray(self._solver.getSolution().row_dual)
        prices[((prices > 0) & ~np.isfinite(low)) | ((prices < 0) & ~np.isfinite(high))] = 0.0
        return prices, self._costs - self._table.priced(prices)


def search(
    table: Table, costs: Array, lows: Array, highs: Array, seconds: float, most: int | None = None
) -> tuple[Ending, list[float] | None, float]:
    """Search for the least of a cost within bounds: how it ended, the best found, and a bound (may be infinite).

    With ``most`` it ends with the first choice found that costs no more, and none that costs more is looked for.
    """
    kept = np.flatnonzero((highs > 0) | (lows != 0))
    if not len(kept):
        holds = (table.low <= 0).all() and (table.high >= 0).all()
        return (Ending.OPTIMAL, [0.0] * table.columns, 0.0) if holds else (Ending.INFEASIBLE, None, np.inf)
    solver = _new()
    solver.setOptionValue("time_limit", seconds)
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", 0.99)
    solver.setOptionValue("presolve", "off")  # as in ``Highs.whole``
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(kept), len(table.low)
    model.sense_ = highspy.ObjSense.kMinimize
    model.col_cost_, model.col_lower_, model.col_upper_ = costs[kept], lows[kept], highs[kept]
    model.row_lower_, model.row_upper_ = table.low, table.high
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_, model.a_matrix_.index_, model.a_matrix_.value_ = table.of(kept)
    model.integrality_ = [highspy.HighsVarType.kInteger] * len(kept)
    solver.passModel(model)
    if most is not None:
        solver.setOptionValue("objective_target", float(most))
        paid = np.flatnonzero(costs[kept]).astype(np.int32)
        solver.addRow(-np.inf, float(most), len(paid), paid, costs[kept][paid])
    _interruptibly(solver)
    info, ending = solver.getInfo(), _ended(solver)
    values = None
    if info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible:
        every = np.zeros(table.columns)
        every[kept] = np.asarray(solver.getSolution().col_value)
        values = every.tolist()
    return ending, values, info.mip_dual_bound


def _ended(solver: Any) -> Ending:
    """How a run ended; a programme of which every column is nought is solved."""
    status = solver.getModelStatus()
    reached = highspy.HighsModelStatus.kObjectiveTarget
    if status in (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kModelEmpty, reached):
        return Ending.OPTIMAL
    return Ending.INFEASIBLE if status == highspy.HighsModelStatus.kInfeasible else Ending.LIMIT


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
