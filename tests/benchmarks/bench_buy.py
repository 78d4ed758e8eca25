"""The list that meets every scene, against CP-SAT on the same reduced model.

What a person reads is one list, so both sides find the same one: cheapest, of these the shortest, of these the first in
a fixed order.  CP-SAT is asked goal by goal, each held before the next and told the last answer.  Beside it stands
CP-SAT to the least cost alone, of a list that could be any of several, while the product goes on to the one list.
"""

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
List = tuple[int, tuple[tuple[int, int], ...]]


def _list(shop: Shop) -> List | None:
    made = Buyer(shop).whole()
    return (made.cost, made.packs) if made else None


def _cost(shop: Shop) -> int | None:
    made = _list(shop)
    return made[0] if made else None


def _by_cp_sat(shop: Shop) -> List:
    return plan_baselines.list_by_columns(shop, settled=True)


def _cost_by_cp_sat(shop: Shop) -> int:
    return plan_baselines.list_by_columns(shop)[0]


def _of(make: Callable[[int, str], generators.Instance], faster: float, seed: int, flavour: str) -> Benchmark:
    shop = shop_of(seed, flavour, make)
    _list(shop)  # what a shop works out of itself once serves both sides
    return Benchmark(
        _name(make, seed, flavour),
        "from the same columns, stock and offers to the same list, model building on both sides",
        product=partial(_list, shop), baseline=partial(_by_cp_sat, shop), faster=faster, runs=5, baseline_runs=3,
    )  # fmt: skip


def _to_cost(make: Callable[[int, str], generators.Instance], faster: float, seed: int, flavour: str) -> Benchmark:
    shop = shop_of(seed, flavour, make)
    _list(shop)
    return Benchmark(
        f"{_name(make, seed, flavour)}, least cost alone",
        "CP-SAT stops at the least cost; the product goes on to the one list",
        product=partial(_cost, shop), baseline=partial(_cost_by_cp_sat, shop), faster=faster, runs=5, baseline_runs=3,
    )  # fmt: skip


def _name(make: Callable[[int, str], generators.Instance], seed: int, flavour: str) -> str:
    return f"{make.__name__} {flavour} {seed}".replace("  ", " ")


def _met(make: Callable[[int, str], generators.Instance]) -> list[tuple[int, str]]:
    """The seeds on which some list meets every scene."""
    return [which for which in SEEDS if _list(shop_of(*which, make)) is not None]


def benchmarks() -> Iterator[Suite]:
    """Small rigs and medium catalogues."""
    for make, faster in ((generators.small, 3), (generators.medium, 1)):
        seeds = _met(make)
        yield Suite(f"buy {make.__name__} against CP-SAT", [partial(_of, make, faster, *which) for which in seeds])
        costs = [partial(_to_cost, make, faster, *which) for which in seeds]
        yield Suite(f"buy {make.__name__} against CP-SAT, least cost alone", costs)
