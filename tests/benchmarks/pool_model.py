"""A large store as one whole-number programme, factored as far as a modeller would, for general solvers.

A variable for each want, body and length besides the body's own (of each block) that serves it; for each of these
lengths the stacks and classes of fittings that make it; for each class its pairs of fittings, and for held bases
each way of holding one.  Equations tie the stages together; stocks and wants bound them.  Listing assemblies
instead would be some hundred times as many variables.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from cache_check.planning.stores.blocks import NEVER
from cache_check.planning.stores.pricing import Pricing


@dataclass
class Model:
    """Rows of (low, high) and their entries (row, column, number); the first ``counted`` columns count as struts."""

    highs: list[float] = field(default_factory=list)
    equal: list[bool] = field(default_factory=list)
    entries: list[tuple[Any, Any, Any]] = field(default_factory=list)
    columns: int = 0
    counted: int = 0

    def row(self, high: float, *, equal: bool = False) -> int:
        """A new row: at most ``high``, or exactly."""
        self.highs.append(high)
        self.equal.append(equal)
        return len(self.highs) - 1

    def new(self, number: int) -> Any:
        """The numbers of new columns."""
        self.columns += number
        return np.arange(self.columns - number, self.columns)

    def add(self, rows: Any, columns: Any, number: Any) -> None:
        """Entries, all of one shape or a single number."""
        rows, columns, number = np.broadcast_arrays(rows, columns, number)
        self.entries.append((rows.reshape(-1), columns.reshape(-1), number.reshape(-1)))

    def matrix(self) -> tuple[Any, Any, Any]:
        """Rows, columns and numbers of all entries, sorted by column; double ones added up."""
        rows, columns, numbers = (np.concatenate(part) for part in zip(*self.entries, strict=True))
        from scipy.sparse import coo_array

        made = coo_array((numbers.astype(float), (rows, columns)), shape=(len(self.highs), self.columns)).tocsc()
        made.sum_duplicates()
        return made.indptr, made.indices, made.data


def model_of(pricing: Pricing) -> Model:
    """The programme of a scene."""
    made = Model()
    for have in pricing.stock:
        made.row(have)
    wants = [made.row(want.count) for want in pricing.asked.wants]
    windows = pricing.asked.windows
    spread = {kind: _spread(of) for kind, of in windows.items()}
    counted = {kind: made.new(len(at)) for kind, (at, _) in spread.items()}
    made.counted = made.columns
    for kind, (at, lengths) in spread.items():
        of = windows[kind]
        made.add(np.asarray(wants)[of.want[at]], counted[kind], 1)
        made.add(of.body[at], counted[kind], 1)
        _lengths(made, pricing, kind, counted[kind], lengths)
    return made


def _spread(windows: Any) -> tuple[Any, Any]:
    """Each window as often as it has lengths, and those lengths."""
    size = windows.last - windows.first + 1
    at = np.repeat(np.arange(len(size)), size)
    begins = np.repeat(np.cumsum(size) - size, size)
    return at, windows.first[at] + np.arange(len(at)) - begins


def _lengths(made: Model, pricing: Pricing, kind: Any, counted: Any, lengths: Any) -> None:
    tables = pricing.blocks.tables
    weak = {pricing.blocks.rows.row[part] for part in kind.weak if part in pricing.blocks.rows.row}
    total = sum(len(table.lengths) for table in tables)
    links = np.asarray([made.row(0, equal=True) for _ in range(total)])
    made.add(links[lengths], counted, 1)
    classes: dict[int, Any] = {}
    begins = 0
    for table in tables:
        entries = made.new(len(table.stack))
        number = np.diff(np.append(table.starts, len(table.stack)))
        made.add(links[begins + np.repeat(np.arange(len(number)), number)], entries, -1)
        begins += len(number)
        for piece in table.pieces[table.stack].T:
            made.add(piece, entries, 1)
        for row, each in table.pins:
            made.add(row, entries, each)
        if id(table.pairs) not in classes:
            classes[id(table.pairs)] = _pairs(made, pricing, kind, table.pairs, weak)
        made.add(classes[id(table.pairs)][table.pair], entries, 1)


def _pairs(made: Model, pricing: Pricing, kind: Any, pairs: Any, weak: set[int]) -> Any:
    """For each class of pairs the row that ties it to its pairs; a pair for each way of holding its base."""
    rows = np.asarray([made.row(0, equal=True) for _ in pairs.starts])
    number = np.diff(np.append(pairs.starts, len(pairs.ground)))
    of = rows[np.repeat(np.arange(len(number)), number)]
    for at, (ground, _) in enumerate(pairs.parts):
        ways = [uses for _, uses in pricing.ways(ground.id, kind)] if kind.held else [()]
        for uses in ways:
            if {int(pairs.ground[at]), int(pairs.load[at])} & weak:
                continue
            (column,) = made.new(1)
            made.add(of[at], column, -1)
            for row, each in ((int(pairs.ground[at]), 1), (int(pairs.load[at]), 1), *uses):
                made.add(row, column, each)
    return rows


def by_highs(made: Model, limit_s: float) -> tuple[int, int]:
    """What HiGHS finds and proves within a limit."""
    import highspy

    solver: Any = highspy.Highs()  # type: ignore[no-untyped-call]  # ships no types
    for name, value in (("output_flag", False), ("time_limit", limit_s), ("mip_abs_gap", 0.999)):
        solver.setOptionValue(name, value)
    model = highspy.HighsLp()
    starts, rows, numbers = made.matrix()
    model.num_col_, model.num_row_ = made.columns, len(made.highs)
    model.sense_ = highspy.ObjSense.kMaximize
    model.col_cost_ = (np.arange(made.columns) < made.counted).astype(float)
    model.col_lower_ = np.zeros(made.columns)
    model.col_upper_ = np.full(made.columns, np.inf)
    highs = np.asarray(made.highs, dtype=float)
    model.row_upper_ = highs
    model.row_lower_ = np.where(made.equal, highs, -np.inf)
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_, model.a_matrix_.index_, model.a_matrix_.value_ = starts, rows, numbers
    model.integrality_ = [highspy.HighsVarType.kInteger] * made.columns
    solver.passModel(model)
    solver.run()
    info = solver.getInfo()
    found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    bound = info.mip_dual_bound
    return round(info.objective_function_value) if found else 0, int(bound + 1e-6) if bound < NEVER else NEVER


def by_cpsat(made: Model, limit_s: float) -> tuple[int, int]:
    """What CP-SAT finds and proves within a limit, two workers."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    starts, rows, numbers = made.matrix()
    most = int(max(made.highs))
    columns = [model.new_int_var(0, most, "") for _ in range(made.columns)]
    by_row: dict[int, tuple[list[Any], list[int]]] = {}
    for column, variable in enumerate(columns):
        for at in range(starts[column], starts[column + 1]):
            terms, weights = by_row.setdefault(int(rows[at]), ([], []))
            terms.append(variable)
            weights.append(int(numbers[at]))
    for row, (terms, weights) in by_row.items():
        total = cp_model.LinearExpr.weighted_sum(terms, weights)
        model.add(total == int(made.highs[row]) if made.equal[row] else total <= int(made.highs[row]))
    model.maximize(cp_model.LinearExpr.sum(columns[: made.counted]))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_time_in_seconds = limit_s
    status = solver.solve(model)
    found = round(solver.objective_value) if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else 0
    return found, int(solver.best_objective_bound)
