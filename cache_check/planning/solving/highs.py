"""HiGHS behind the port of packings, and as ``relaxation.py`` asks it of programmes; nothing else knows it.

One thread and a fixed seed, so that the same question gets the same answer.  Version 1.16 prints a banner to
file descriptor 1 when its first object is made; that object is made with the descriptor pointed away, since
nothing but data may reach standard output.
"""

import os
import sys
from collections.abc import Sequence
from functools import cache
from typing import Any

import highspy
import numpy as np

from cache_check.planning.solving.solver import Ending, Relaxed, Uses, Whole

PRIMAL, DEVEX = 4, 1
LIGHT: dict[str, Any] = {
    "presolve": "on", "presolve_rule_off": (1 << 17) - (1 << 6), "mip_allow_restart": False,
    **dict.fromkeys((f"mip_heuristic_run_{name}" for name in ("root_reduced_cost", "rins", "rens")), False),
}  # fmt: skip
"""Take out once the rows and columns that can only be as they are, and no more; guess by no smaller programmes."""
NEAR_WHOLE = 1e-4
"""A bound must be so much above a whole number to be called the next: more than floats put it off by."""


@cache
def _banner_is_out() -> bool:
    sys.stdout.flush()
    kept, nowhere = os.dup(1), os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        return highspy.Highs() is not None
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)


def new_solver(model: Any, **options: float | str) -> Any:
    """A solver of a model that says nothing and answers alike."""
    _banner_is_out()
    solver = highspy.Highs()
    # Of thousands of columns presolve compares each with each, and takes fifty times what the search then does.
    fixed: dict[str, Any] = {"output_flag": False, "threads": 1, "random_seed": 1, "presolve": "off"}
    for option, value in (fixed | options).items():
        solver.setOptionValue(option, value)
    solver.passModel(model)
    return solver


def over_rows(lows: Any, highs: Any) -> Any:
    """A model of rows with their bounds, and no column yet."""
    model = highspy.HighsLp()
    model.num_row_ = len(lows)
    model.row_lower_, model.row_upper_ = lows, highs
    return model


def in_whole_numbers(columns: Any, rows: tuple[Any, Any], terms: tuple[Any, Any, Any], **options: Any) -> Any:
    """A solver of a programme: costs, lows and highs of columns, lows and highs of rows, terms column by column.

    Terms are starts (one more than columns), rows and numbers.  Costs are whole, so a gap below one is none.
    """
    return new_solver(_model(columns, rows, terms), mip_rel_gap=0.0, mip_abs_gap=0.99, **options)


def _model(columns: Any, rows: tuple[Any, Any], terms: tuple[Any, Any, Any]) -> Any:
    model, number = over_rows(*rows), len(columns[0])
    model.num_col_ = number
    model.col_cost_, model.col_lower_, model.col_upper_ = columns
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_, model.a_matrix_.index_, model.a_matrix_.value_ = terms
    model.integrality_ = [highspy.HighsVarType.kInteger] * number
    return model


class Presolved:
    """A programme as for ``in_whole_numbers``, less what HiGHS's presolve takes out: ``left`` is its relaxation.

    ``places`` are by column where it stands there; those taken out are not named.
    """

    def __init__(self, columns: Any, rows: tuple[Any, Any], terms: tuple[Any, Any, Any]) -> None:
        model = _model(columns, rows, terms)
        model.col_names_ = list(map(str, range(model.num_col_)))
        self._solver = new_solver(model, **LIGHT)
        self._solver.presolve()
        self.left = self._solver.getPresolvedLp()
        self.places = {int(name): place for place, name in enumerate(self.left.col_names_)}
        self.left.integrality_ = []

    @property
    def impossible(self) -> bool:
        """Whether no choice keeps the rows."""
        return bool(self._solver.getModelPresolveStatus() == highspy.HighsPresolveStatus.kInfeasible)

    def values(self, left: Any) -> Any:
        """A choice of what is left, by column of the programme."""
        if len(left):
            solution = highspy.HighsSolution()
            solution.col_value, solution.value_valid = left, True
            self._solver.postsolve(solution)
        else:
            self._solver.run()
        return np.asarray(self._solver.getSolution().col_value)


def terms_of(model: Any) -> tuple[Any, Any, Any]:
    """The rows, columns and numbers of a model's terms."""
    matrix, by_column = model.a_matrix_, model.a_matrix_.format_ == highspy.MatrixFormat.kColwise
    # Presolve that takes out all leaves the terms of before.
    starts = np.asarray(matrix.start_)[: 1 + (model.num_col_ if by_column else model.num_row_)]
    across = np.repeat(np.arange(len(starts) - 1), np.diff(starts))
    along = np.asarray(matrix.index_, dtype=np.int64)[: len(across)]
    numbers = np.asarray(matrix.value_, dtype=np.float64)[: len(across)]
    return (along, across, numbers) if by_column else (across, along, numbers)


def begin_at(solver: Any, basis: Any) -> None:
    """Begin the simplex method at a basis; rows that it does not know yet are basic."""
    new = solver.getNumRow() - len(basis.row_status)
    if new:
        basis.row_status = [*basis.row_status, *[highspy.HighsBasisStatus.kBasic] * new]
    solver.setBasis(basis)


def end_beyond(solver: Any, cost: float, looks: float = np.inf) -> None:
    """Let a search end once its bound shows that nothing costs as little as a whole cost, or after so many looks at it.

    HiGHS looks about once for each round of cuts.
    """
    had = [0]

    def stop(event: Any) -> None:
        had[0] += event.data_out.mip_dual_bound > -np.inf
        if event.data_out.mip_dual_bound > cost + NEAR_WHOLE or had[0] > looks:
            event.interrupt()

    solver.cbMipInterrupt.subscribe(stop)


def found_one(solver: Any) -> bool:
    """Whether a run found a choice."""
    return bool(solver.getInfo().primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible)


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
            # New columns leave the optimum feasible, so the primal method goes on from there.
            options = {"simplex_strategy": PRIMAL} if self._growing else {}
            self._simplex = new_solver(over_rows(np.full(self._rows, -np.inf), np.zeros(self._rows)), **options)
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
            starts, rows, amounts = _terms([self._uses[column] for column in new])
            self._simplex.addCols(
                len(new), np.ones(len(new)) * -1.0, np.zeros(len(new)), np.full(len(new), np.inf),
                len(rows), starts[:-1], rows, amounts,
            )  # fmt: skip
            for column in new:
                self._loaded[column] = len(self._loaded)
            self._open.update(new)
        wanted = set(columns)
        if order := sorted(self._open ^ wanted):
            at = np.asarray([self._loaded[column] for column in order], dtype=np.int32)
            tops = np.asarray([np.inf if column in wanted else 0.0 for column in order])
            self._simplex.changeColsBounds(len(order), at, np.zeros(len(order)), tops)
            self._open = wanted

    def whole(
        self, columns: tuple[int, ...], stock: tuple[int, ...], seconds: float, nodes: int | None = None, most: int = 0
    ) -> Whole:
        """The most struts in whole numbers; no further than to show that ``most`` cannot stand."""
        number, options = len(columns), {"mip_max_nodes": nodes} if nodes is not None else {}
        each = (np.full(number, -1.0), np.zeros(number), np.full(number, np.inf))
        bounds = np.zeros(len(stock)), np.asarray(stock, dtype=np.float64)
        terms = _terms([self._uses[column] for column in columns])
        solver = in_whole_numbers(each, bounds, terms, time_limit=seconds, **(LIGHT | options))
        end_beyond(solver, float(-most))
        solver.run()
        ended, told = solver.getModelStatus(), highspy.HighsModelStatus
        proven = ended in (told.kOptimal, told.kInfeasible, told.kInterrupt)
        values = solver.getSolution().col_value if found_one(solver) else [0.0] * number
        amounts = tuple(map(round, values))
        return Whole(amounts, Ending.OPTIMAL if proven else Ending.LIMIT)


def _terms(uses: list[Uses]) -> tuple[Any, Any, Any]:
    starts = np.cumsum([0, *map(len, uses)], dtype=np.int32)
    rows = np.asarray([row for column in uses for row, _ in column], dtype=np.int32)
    amounts = np.asarray([amount for column in uses for _, amount in column], dtype=np.float64)
    return starts, rows, amounts


def ended(solver: Any) -> Ending:
    """How a run ended; a programme of which every column is nought is solved."""
    status = solver.getModelStatus()
    reached = highspy.HighsModelStatus.kObjectiveTarget
    if status in (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kModelEmpty, reached):
        return Ending.OPTIMAL
    return Ending.INFEASIBLE if status == highspy.HighsModelStatus.kInfeasible else Ending.LIMIT
