"""HiGHS behind the port.  The only file that knows it.

One thread and a fixed seed, so that the same question gets the same answer.  Version 1.16 prints a banner to
file descriptor 1 when its first object is made; that object is made with the descriptor pointed away, since
nothing but data may reach standard output.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import cache
from threading import Thread
from typing import Any

import highspy
import numpy as np

from cache_check.planning.solving.programme import Programme
from cache_check.planning.solving.solver import Ending, Relaxed, Uses, Whole
from cache_check.planning.solving.tables import bounds, sparse

_PRIMAL = 4


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


class Relaxation:
    """A programme with fractions allowed, kept loaded while its cost changes, and bounds, and rows are added.

    Costs are in steps (their greatest common divisor), so that a bound on them can be rounded to whole steps.
    """

    def __init__(self, programme: Programme) -> None:
        self._solver = _new()
        self._solver.setOptionValue("presolve", "off")
        self._solver.passModel(_general(programme))
        self._columns = np.arange(len(programme.costs), dtype=np.int32)

    def aim(self, costs: Mapping[int, int], step: int) -> None:
        """Make another cost least from now on."""
        self._solver.changeColsCost(len(self._columns), self._columns, _in_steps(costs, step, len(self._columns)))

    def add(self, table: Any, lows: Any, highs: Any) -> None:
        """Add rows: a line of numbers for each, and the bounds of its sum."""
        at, columns = np.nonzero(table)
        starts = np.searchsorted(at, np.arange(len(table))).astype(np.int32)
        self._solver.addRows(len(table), lows, highs, len(at), starts, columns.astype(np.int32), table[at, columns])

    def drop(self, rows: Any) -> None:
        """Take rows out by their places."""
        self._solver.deleteRows(len(rows), rows.astype(np.int32))

    def run(self, seconds: float) -> Ending:
        """Solve it anew, from where it stands."""
        self._solver.setOptionValue("time_limit", self._solver.getRunTime() + seconds)
        self._solver.run()
        status = self._solver.getModelStatus()
        if status == highspy.HighsModelStatus.kOptimal:
            return Ending.OPTIMAL
        return Ending.INFEASIBLE if status == highspy.HighsModelStatus.kInfeasible else Ending.LIMIT

    @property
    def cost(self) -> float:
        """The cost of the optimum, in steps."""
        return float(self._solver.getInfo().objective_function_value)

    @property
    def values(self) -> Any:
        """The optimum, by column."""
        return np.asarray(self._solver.getSolution().col_value)

    @property
    def totals(self) -> Any:
        """The sums of the rows in the optimum."""
        return np.asarray(self._solver.getSolution().row_value)

    @property
    def reduced(self) -> Any:
        """What one more of each column adds to the cost of the optimum, in steps, at the least."""
        return np.asarray(self._solver.getSolution().col_dual)

    def counts(self, columns: Sequence[int]) -> Any:
        """How often each row is counted in the sum that gives each of these columns, where they rest on no bound."""
        places = {column: i for i, column in enumerate(self._solver.getBasicVariables()[1])}
        lines = [self._solver.getBasisInverseRow(places[column])[1] for column in columns if column in places]
        return np.asarray(lines) if lines else np.zeros((0, self._solver.getNumRow()))

    def hold(self, column: int, low: int, high: float) -> None:
        """Change the bounds of a column."""
        self._solver.changeColBounds(column, float(low), high)


def search(
    programme: Programme, costs: Mapping[int, int], step: int, seconds: float
) -> tuple[Ending, list[float] | None, float]:
    """Search for the least of a cost: how it ended, the best found, and the bound in steps (may be infinite)."""
    solver = _new()
    solver.setOptionValue("time_limit", seconds)
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", 0.99)
    model = _general(programme)
    model.col_cost_ = _in_steps(costs, step, len(programme.costs))
    model.integrality_ = [highspy.HighsVarType.kInteger] * len(programme.costs)
    solver.passModel(model)
    _interruptibly(solver)
    info = solver.getInfo()
    found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    values = list(solver.getSolution().col_value) if found else None
    status = solver.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        return Ending.INFEASIBLE, None, info.mip_dual_bound
    optimal = status == highspy.HighsModelStatus.kOptimal
    return Ending.OPTIMAL if optimal else Ending.LIMIT, values, info.mip_dual_bound


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


def _in_steps(costs: Mapping[int, int], step: int, columns: int) -> Any:
    steps = np.zeros(columns)
    for column, cost in costs.items():
        steps[column] = cost // step
    return steps


def _general(programme: Programme) -> Any:
    """A programme for the solver, without its costs."""
    model = highspy.HighsLp()
    columns, rows = len(programme.costs), len(programme.rows)
    model.num_col_ = columns
    model.num_row_ = rows
    model.sense_ = highspy.ObjSense.kMinimize
    model.col_cost_ = np.zeros(columns)
    model.col_lower_ = np.asarray(programme.lows, dtype=np.float64)
    model.col_upper_ = np.asarray([np.inf if high is None else high for high in programme.highs], dtype=np.float64)
    model.row_lower_, model.row_upper_ = bounds(programme.rows)
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lengths, model.a_matrix_.index_, model.a_matrix_.value_ = sparse(programme.rows)
    model.a_matrix_.start_ = np.concatenate([[0], np.cumsum(lengths)]).astype(np.int32)
    return model
