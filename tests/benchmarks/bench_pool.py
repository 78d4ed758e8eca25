"""A pooled store of 10,000 pieces and 400 needs, against general solvers on the store as one programme."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from datetime import date
from functools import partial

from laws import generators, stores

from benchmarks.pool_model import Model, by_cpsat, by_highs, model_of
from benchmarks.timing import Benchmark, Suite
from cache_check.model.need import Scene
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.rows import Rows
from cache_check.planning.scenes import ask_of, scene
from cache_check.planning.stores.blocks import Asked, Blocks, want_of
from cache_check.planning.stores.pricing import Pricing

TODAY = date(2026, 3, 1)
NEEDS, STRUTS = 400, 2_000
LIMIT_S = 120.0
GOAL_S = 20.0
Told = tuple[int, int]
"""At least and at most so many struts."""


def pricing_of(muster: Muster, wanted: Scene) -> Pricing:
    """What the product starts from, as the solvers' model does."""
    rows = Rows(muster.joined, muster.book, muster.pointable)
    wants = [want_of(muster, ask_of(need), ask_of(need).top, need.count) for need in wanted.needs]
    stock = rows.stock(muster.usable.counts, muster.usable.pointed)
    return Pricing(Asked(muster, Blocks(muster.joined, rows), wants), stock)


def _member(solve: Callable[[Model, float], Told], name: str, seed: int, flavour: str) -> Benchmark:
    instance, wanted = generators.large(seed, flavour), stores.scene_of(seed, NEEDS, STRUTS)
    cache = stores.store_of(instance)

    def product() -> Told:
        answer = scene(Muster(cache, instance.book, TODAY), wanted)
        return answer.served, answer.bound

    def baseline() -> Told:
        return solve(model_of(pricing_of(Muster(cache, instance.book, TODAY), wanted)), LIMIT_S)

    def agree(one: Told, two: Told) -> bool:
        print(f"  {instance.name}: product {one[0]} to {one[1]}; {name} {two[0]} to {two[1]}", file=sys.stderr)
        return max(one[0], two[0]) <= min(one[1], two[1])

    return Benchmark(
        instance.name, f"{NEEDS} needs, cache and rules to a verified plan and proven bound; baseline stopped in 120 s",
        product=product, baseline=baseline, faster=LIMIT_S / GOAL_S, runs=3, baseline_runs=1, same=agree,
    )  # fmt: skip


def benchmarks() -> Iterator[Suite]:
    """Both solvers on every seed and flavour; a ratio of 6 is 20 s against a solver stopped after 120."""
    for name, solve in (("CP-SAT", by_cpsat), ("HiGHS", by_highs)):
        members = [
            partial(_member, solve, name, seed, flavour)
            for seed in range(4) for flavour in ("", "tight", "scarce")
        ]  # fmt: skip
        yield Suite(f"pooled store, {name}", members, every=True)
