"""The list that meets every scene, against CP-SAT on the same reduced model.

Two races.  What a person reads is one list: cheapest, of these the shortest, of these the first in a fixed order;
CP-SAT is asked goal by goal, each held before the next and told the last answer, in the way that is quicker for it.
And the least cost alone, of a list that could be any of several, on both sides.

A small rig has about 25 pieces of 11 types.  A medium catalogue has 32 types, of which a rig has about 50 pieces.
An ordinary rig (``ordinary.py``) has scenes that no money meets, so that its list is of the most that can stand; both
sides begin with all ways that serve a need, and which of them differ is the product's own work.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Literal

from laws import generators
from laws.shops import shop_of

from benchmarks import plan_baselines
from benchmarks.ordinary import TODAY, ordinary
from benchmarks.timing import Benchmark, Suite
from cache_check.api.base import WhatIf, muster_of
from cache_check.planning.buying.buy import Bought, Buyer
from cache_check.planning.buying.listing import Listing
from cache_check.planning.buying.offers import quoted
from cache_check.planning.buying.shop import Shop
from cache_check.planning.solving.programme import in_order
from cache_check.planning.solving.solver import Clock, solver

RIGS = range(9, 300, 36)
WORKED_OUT = ("wide", "have", "asks", "ways", "_enough_of", "enough", "parts", "spares", "asked_spare", "adding")
"""Of a shop of an ordinary rig, what both sides are given: the ways, the stock, and how much may be of use."""
SEEDS = [(seed, flavour) for seed in range(4) for flavour in ("", "tight", "scarce")]


@dataclass(frozen=True)
class Market:
    """Seeded shops of a kind, and the goal: how many times faster; CP-SAT's quicker way, and how often it runs."""

    name: str
    make: Callable[[int, str], generators.Instance]
    share: int
    faster: float
    settled: Literal["weighted", "one by one"]
    baseline_runs: int

    def shop(self, seed: int, flavour: str) -> Shop:
        """One shop, with all that it works out of itself once, which serves both sides."""
        shop = shop_of(seed, flavour, self.make, self.share)
        Buyer(shop).whole()
        return shop

    @property
    def seeds(self) -> list[tuple[int, str]]:
        """The seeds on which each need has some way to be served, so that a list can meet every scene."""
        return [which for which in SEEDS if all(shop_of(*which, self.make, self.share).ways.values())]


MARKETS = (
    Market("a small rig", generators.small, 2, 3, "weighted", 3),
    Market("a medium catalogue", generators.medium, 12, 1, "one by one", 1),
)


def _list(shop: Shop) -> tuple[int, tuple[tuple[int, int], ...]]:
    made = Buyer(shop).whole()
    assert made is not None
    return made.cost, made.packs


def _cost(shop: Shop) -> int:
    listing = Listing(shop, serving=[sum(need.count for need in scene.needs) for scene in shop.scenes])
    _, (cost,) = in_order(listing.done(), [listing.cost], solver(), Clock(60))
    return cost


def _cost_by_cp_sat(shop: Shop) -> int:
    return plan_baselines.list_by_columns(shop)[0]


def _to_list(market: Market, seed: int, flavour: str) -> Benchmark:
    shop = market.shop(seed, flavour)
    return Benchmark(
        f"{market.name}, {flavour} {seed}".replace("  ", " "),
        "from the same columns, stock and offers to the same list, model building on both sides",
        product=partial(_list, shop), baseline=partial(plan_baselines.list_by_columns, shop, market.settled),
        faster=market.faster, runs=5, baseline_runs=market.baseline_runs,
    )  # fmt: skip


def _to_cost(market: Market, seed: int, flavour: str) -> Benchmark:
    shop = market.shop(seed, flavour)
    return Benchmark(
        f"{market.name}, {flavour} {seed}, least cost".replace("  ", " "),
        "from the same columns, stock and offers to the least cost, model building on both sides",
        product=partial(_cost, shop), baseline=partial(_cost_by_cp_sat, shop),
        faster=market.faster, runs=5, baseline_runs=3,
    )  # fmt: skip


def _top(shop: Shop) -> Bought:
    buyer = Buyer(shop)
    return buyer.whole() or buyer.best()


def _of_ways(seed: int) -> Benchmark:
    from ortools.sat.python import cp_model  # noqa: F401  # a baseline that runs once is not charged with its import

    one = ordinary(seed)
    muster = muster_of(one.cache, one.book, WhatIf(on=TODAY), needs=one.needs)
    shop = Shop(muster, one.needs.scenes, quoted(muster, one.prices)[0])
    whole = _top(shop).everything
    given = {name: value for name, value in vars(shop).items() if name in WORKED_OUT}

    def product() -> tuple[int, tuple[tuple[int, int], ...]]:
        fresh = Shop(muster, shop.scenes, shop.offers)
        vars(fresh).update(given)
        made = _top(fresh)
        return made.cost, made.packs

    return Benchmark(
        f"an ordinary rig, {seed}", "from all ways that serve a need to the same list, model building on both sides",
        product=product,
        baseline=partial(plan_baselines.list_by_columns, shop, "one by one", reduced=False, most=not whole),
        faster=3, runs=5, baseline_runs=1,
    )  # fmt: skip


def benchmarks() -> Iterator[Suite]:
    """Small rigs, medium catalogues and ordinary rigs."""
    for market in MARKETS:
        yield Suite(f"buy, {market.name}, to the list", [partial(_to_list, market, *which) for which in market.seeds])
        yield Suite(f"buy, {market.name}, to the cost", [partial(_to_cost, market, *which) for which in market.seeds])
    yield Suite("buy, an ordinary rig, to the list", [partial(_of_ways, seed) for seed in RIGS])
