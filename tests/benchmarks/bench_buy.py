"""The cheapest list that meets every scene, against CP-SAT on the same reduced model."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from laws import generators
from laws.shops import shop_of

from benchmarks import plan_baselines
from benchmarks.timing import Benchmark, Suite
from cache_check.planning.buy import Buyer
from cache_check.planning.shop import Shop

SEEDS = [(seed, flavour) for seed in range(4) for flavour in ("", "tight", "scarce")]


def _list(shop: Shop) -> int | None:
    made = Buyer(shop).whole()
    return made.cost if made else None


def _cp_sat(shop: Shop) -> int | None:
    return plan_baselines.list_by_columns(shop)


def _of(make: Callable[[int, str], generators.Instance], faster: float, seed: int, flavour: str) -> Benchmark:
    shop = shop_of(seed, flavour, make)
    _list(shop)  # what a shop works out of itself once serves both sides
    return Benchmark(
        f"{make.__name__} {flavour} {seed}".replace("  ", " "), "from the same columns, stock and offers to a proven "
        "cost, model building on both sides; product then also the fewest pieces, verified",
        product=partial(_list, shop), baseline=partial(_cp_sat, shop), faster=faster, runs=5, baseline_runs=3,
    )  # fmt: skip


def _met(make: Callable[[int, str], generators.Instance]) -> list[tuple[int, str]]:
    """The seeds on which some list meets every scene."""
    return [which for which in SEEDS if _list(shop_of(*which, make)) is not None]


def benchmarks() -> Iterator[Suite]:
    """Small rigs and medium catalogues."""
    for make, faster in ((generators.small, 3), (generators.medium, 1)):
        members = [partial(_of, make, faster, *which) for which in _met(make)]
        yield Suite(f"buy {make.__name__} against CP-SAT", members)
