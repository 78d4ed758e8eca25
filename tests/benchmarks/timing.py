"""What a benchmark is, and how it is timed: product and baseline in turn, in one process, medians compared."""

from __future__ import annotations

import gc
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median
from time import perf_counter
from typing import Any


@dataclass(frozen=True)
class Benchmark:
    """One comparison.

    ``counted`` says what is counted in on both sides.  The goal is either ``faster`` (the baseline takes at
    least so many times the product's time) or ``within`` (the product takes at most so many times the
    baseline's).  ``baseline_runs`` fewer than ``runs`` is said in the table.  ``baseline_share`` is the part of
    the product's work that the baseline is given, its time scaled up.  ``same`` compares the two answers;
    ``clock`` says how many seconds have passed, of whichever time is measured.
    """

    name: str
    counted: str
    product: Callable[[], Any]
    baseline: Callable[[], Any]
    faster: float | None = None
    within: float | None = None
    runs: int = 7
    baseline_runs: int | None = None
    baseline_share: float = 1.0
    clock: Callable[[], float] = perf_counter
    same: Callable[[Any, Any], bool] = lambda one, two: bool(one == two)


@dataclass(frozen=True)
class Suite:
    """The same comparison on several seeds.

    With ``every`` the goal holds for the worst seed, else for the median one; the table shows that seed's times
    and the worst ratio beside it.
    """

    name: str
    members: Sequence[Callable[[], Benchmark]]
    every: bool = False


@dataclass(frozen=True)
class Timed:
    """One benchmark's medians, ms."""

    benchmark: Benchmark
    product_ms: float
    baseline_ms: float

    @property
    def ratio(self) -> float:
        """How many times as long the slower-by-goal side takes: compare with the goal."""
        if self.benchmark.faster is not None:
            return self.baseline_ms / self.product_ms
        return self.product_ms / self.baseline_ms

    @property
    def met(self) -> bool:
        """Whether the goal is met."""
        if self.benchmark.faster is not None:
            return self.ratio >= self.benchmark.faster
        assert self.benchmark.within is not None
        return self.ratio <= self.benchmark.within

    @property
    def goal(self) -> str:
        """The goal in words."""
        if self.benchmark.faster is not None:
            return f"at least {self.benchmark.faster:,g} times faster"
        return f"within {self.benchmark.within:,g} times"


def governing(results: list[Timed], every: bool) -> Timed:
    """The result that a suite is judged by: the worst, or the median one."""
    by_ratio = sorted(results, key=lambda result: result.ratio, reverse=results[0].benchmark.faster is None)
    return by_ratio[0] if every else by_ratio[(len(by_ratio) - 1) // 2]


class DisagreeError(Exception):
    """Product and baseline answer differently, so their times say nothing."""


def _clocked(work: Callable[[], Any], clock: Callable[[], float]) -> tuple[Any, float]:
    # Garbage of one side is not collected on the other's time.
    gc.collect()
    start = clock()
    answer = work()
    return answer, (clock() - start) * 1e3


def timed(benchmark: Benchmark) -> Timed:
    """Run both sides in turn and compare the medians.

    Raises:
        DisagreeError: the answers differ.
    """
    baseline_runs = benchmark.baseline_runs or benchmark.runs
    products: list[float] = []
    baselines: list[float] = []
    for run in range(benchmark.runs):
        answer, taken = _clocked(benchmark.product, benchmark.clock)
        products.append(taken)
        if run < baseline_runs:
            expected, taken = _clocked(benchmark.baseline, benchmark.clock)
            baselines.append(taken)
            if not benchmark.same(answer, expected):
                raise DisagreeError(f"{benchmark.name}: product {answer!r}, baseline {expected!r}")
    return Timed(benchmark, median(products), median(baselines) / benchmark.baseline_share)
