"""Ready sets of ordinary rigs, against CP-SAT on the same programme.

The programme is the first of all sets that ``stage`` writes, with what has run out by then counted; both sides are
asked for the first goal, fewer joints than the best that is known then.  What ``stage`` does before and after that
(laying out ways, playing scenes exactly, four goals more) is on neither side.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from benchmarks import plan_baselines
from benchmarks.ordinary import TODAY, ordinary
from benchmarks.timing import Benchmark, Suite
from cache_check.api.base import WhatIf, muster_of
from cache_check.planning.solving.programme import AtSolver, silent
from cache_check.planning.solving.solver import Clock, Ending, solver
from cache_check.planning.staging.sifted import Sifted
from cache_check.planning.staging.stage import _Choice
from cache_check.planning.staging.staging import Plan, Stager

LIMIT_S = 10.0
RIGS = range(0, 300, 25)
Told = tuple[int, int]
"""So many joints at least, and at most."""


class _Written(Exception):  # noqa: N818  # no error: the search goes no further than its programme
    """The programme of all sets."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan


class _First(_Choice):
    """A search as far as its first programme of all sets."""

    def _opened(self, plan: Plan, late: Sifted | None = None) -> AtSolver:
        if late is not None:
            raise _Written(plan)
        return super()._opened(plan)


def _member(seed: int) -> Benchmark:
    from ortools.sat.python import cp_model  # noqa: F401  # a baseline that runs once is not charged with its import

    one = ordinary(seed)
    stager = Stager(muster_of(one.cache, one.book, WhatIf(on=TODAY), needs=one.needs), one.needs.scenes, 1 + seed % 6)
    search = _First(stager, Clock(60), silent)
    try:
        search.made()
    except _Written as written:
        plan = written.plan
    programme, costs, under, few = plan.draft.done(), stager.joints(plan).costs, search.best.joints, search.few

    def product() -> Told:
        opened = solver()(programme, Sifted(plan, few), lambda: plan.sums(stager.candidates))
        answer = opened.least(costs, 60, under=under)
        if answer.ending is Ending.INFEASIBLE:
            return under, under
        return answer.bound or 0, under if answer.cost is None else answer.cost

    return Benchmark(
        f"an ordinary rig, {seed}, {len(programme.lows):,} columns",
        f"from one programme to its fewest joints, model building on both sides; baseline stopped in {LIMIT_S:g} s",
        product=product, baseline=partial(plan_baselines.least_of, programme, costs, under, LIMIT_S),
        faster=3, runs=3, baseline_runs=1, same=lambda one, two: max(one[0], two[0]) <= min(one[1], two[1]),
    )  # fmt: skip


def benchmarks() -> Iterator[Suite]:
    """One rig in 25; on each of these there is a programme, since a few sets alone do not prove the best."""
    yield Suite("stage, an ordinary rig, the fewest joints", [partial(_member, seed) for seed in RIGS])
