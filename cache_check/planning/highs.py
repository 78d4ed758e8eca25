"""HiGHS behind the port.  The only file that knows it.

One thread and a fixed seed, so that the same question gets the same answer.  Version 1.16 prints a banner to
file descriptor 1 when its first object is made; that object is made with the descriptor pointed away, since
nothing but data may reach standard output.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from math import ceil, gcd
from threading import Thread
from typing import Any

import highspy
import numpy as np

from cache_check.planning.columns import Uses
from cache_check.planning.programme import Answer, Programme
from cache_check.planning.solver import Ending, Relaxed, Whole

_NEAR = 1e-6
_NEAR_EACH = 1e-9
"""What the solver's bound on a whole cost may be off by: in all, and relative to its size."""


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
    """Packings of one set of columns, kept loaded between questions."""

    def __init__(self, uses: tuple[Uses, ...], rows: int) -> None:
        self._uses = uses
        self._rows = rows
        self._simplex: Any = None
        self._loaded: dict[int, int] = {}
        self._open: set[int] = set()
        self._stock: tuple[int, ...] = ()

    def relaxed(self, columns: tuple[int, ...], stock: tuple[int, ...]) -> Relaxed:
        """The optimum with fractions; amounts are by place in ``columns``."""
        if self._simplex is None:
            self._simplex = _new()
            self._simplex.setOptionValue("presolve", "off")
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

    def whole(self, columns: tuple[int, ...], stock: tuple[int, ...], used: tuple[int, ...], seconds: float) -> Whole:
        """The most struts in whole numbers; every strut counts one, so a gap below one is none."""
        solver = _new()
        solver.setOptionValue("time_limit", seconds)
        solver.setOptionValue("mip_rel_gap", 0.0)
        solver.setOptionValue("mip_abs_gap", 0.99)
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


def _programme(columns: tuple[int, ...], uses: tuple[Uses, ...], stock: tuple[int, ...], used: tuple[int, ...]) -> Any:
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


def solve(programme: Programme, seconds: float, start: tuple[int, ...] | None = None) -> Answer:
    """The cheapest choice of a programme in whole numbers; see ``programme.Solve``.

    Choices are checked exactly before they are believed; costs are whole, so a bound is rounded up.  A start is
    kept here and not handed over: version 1.16 was seen to return one unchanged under a better one's cost.
    """
    best = start if start is not None and programme.holds(start) else None
    if not programme.costs:
        holds = programme.holds(())
        return Answer(Ending.OPTIMAL, (), 0, 0) if holds else Answer(Ending.INFEASIBLE, None, None, None)
    solver = _new()
    solver.setOptionValue("time_limit", seconds)
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", 0.99)
    step = gcd(*programme.costs) or 1
    solver.passModel(_general(programme, step))
    _interruptibly(solver)
    info = solver.getInfo()
    if info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible:
        found = tuple(round(value) for value in solver.getSolution().col_value)
        if programme.holds(found) and (best is None or programme.cost(found) < programme.cost(best)):
            best = found
    if solver.getModelStatus() == highspy.HighsModelStatus.kInfeasible and best is None:
        return Answer(Ending.INFEASIBLE, None, None, None)
    least = _whole(info.mip_dual_bound, step)
    if best is None:
        return Answer(Ending.LIMIT, None, None, least)
    cost = programme.cost(best)
    # A choice that meets the bound is proven, and none other is, whatever the solver calls it.
    met = least is not None and cost <= least
    return Answer(Ending.OPTIMAL if met else Ending.LIMIT, best, cost, cost if met else least)


def _whole(bound: float, step: int) -> int | None:
    """The least cost that a bound on the cost in steps leaves; None where there is no bound."""
    return step * ceil(bound - _NEAR - _NEAR_EACH * abs(bound)) if np.isfinite(bound) else None


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


def _general(programme: Programme, step: int) -> Any:
    """A programme for the solver, its costs in steps."""
    model = highspy.HighsLp()
    columns, rows = len(programme.costs), len(programme.rows)
    model.num_col_ = columns
    model.num_row_ = rows
    model.sense_ = highspy.ObjSense.kMinimize
    model.col_cost_ = np.asarray([cost // step for cost in programme.costs], dtype=np.float64)
    model.col_lower_ = np.asarray(programme.lows, dtype=np.float64)
    model.col_upper_ = np.asarray([np.inf if high is None else high for high in programme.highs], dtype=np.float64)
    model.row_lower_ = np.asarray([-np.inf if r.low is None else r.low for r in programme.rows], dtype=np.float64)
    model.row_upper_ = np.asarray([np.inf if r.high is None else r.high for r in programme.rows], dtype=np.float64)
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.cumsum([0, *(len(row.terms) for row in programme.rows)], dtype=np.int32)
    model.a_matrix_.index_ = np.asarray([c for row in programme.rows for c, _ in row.terms], dtype=np.int32)
    model.a_matrix_.value_ = np.asarray([n for row in programme.rows for _, n in row.terms], dtype=np.float64)
    model.integrality_ = [highspy.HighsVarType.kInteger] * columns
    return model
