"""HiGHS behind the port of packings; ``relaxation.py`` has it for programmes, and nothing else knows it.

One thread and a fixed seed, so that the same question gets the same answer.  Version 1.16 prints a banner to
file descriptor 1 when its first object is made; that object is made with the descriptor pointed away, since
nothing but data may reach standard output.
"""

import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import cache
from typing import Any

import highspy
import numpy as np

from cache_check.planning.solving.solver import Ending, Relaxed, Uses, Whole

PRIMAL = 4


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


def new_solver() -> Any:
    """A solver that says nothing and answers alike."""
    _banner_is_out()
    solver = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("random_seed", 1)
    return solver


class Highs:
    """Packings of one set of columns, kept loaded between questions; ``growing`` where columns are added between."""

    def __init__(self, uses: Sequence[Uses], rows: int, *, growing: bool = False) -> None:
        self._uses, self._rows, self._growing = uses, rows, growing
        self._simplex: Any = None
        self._loaded: dict[int, int] = {}
        self._open: set[int] = set()
        self._stock: tuple[int, ...] = ()

    def relaxed(self, columns: tuple[int, ...], stock: tuple[int, ...]) -> Relaxed:
        """The optimum with fractions; amounts are by place in ``columns``."""
        if self._simplex is None:
            self._simplex = new_solver()
            self._simplex.setOptionValue("presolve", "off")
            if self._growing:
                # New columns leave the optimum feasible, so the primal method goes on from there.
                self._simplex.setOptionValue("simplex_strategy", PRIMAL)
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
        self, columns: tuple[int, ...], stock: tuple[int, ...], used: tuple[int, ...], seconds: float,
        nodes: int | None = None,
    ) -> Whole:  # fmt: skip
        """The most struts in whole numbers; every strut counts one, so a gap below one is none."""
        solver = new_solver()
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


def ended(solver: Any) -> Ending:
    """How a run ended; a programme of which every column is nought is solved."""
    status = solver.getModelStatus()
    reached = highspy.HighsModelStatus.kObjectiveTarget
    if status in (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kModelEmpty, reached):
        return Ending.OPTIMAL
    return Ending.INFEASIBLE if status == highspy.HighsModelStatus.kInfeasible else Ending.LIMIT
