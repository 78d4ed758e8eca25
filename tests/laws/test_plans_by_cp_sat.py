"""Lists and ready sets on middle-sized caches: CP-SAT, formulated otherwise, finds the same goal by goal."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from math import lcm

import pytest
from benchmarks import plan_baselines
from builders import needs_of, rescue_41

from cache_check.model.need import Needs
from cache_check.planning.buying.buy import Buyer
from cache_check.planning.buying.shop import Shop
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.rows import bits
from cache_check.planning.staging.stage import choose
from cache_check.planning.staging.staging import Stager
from laws import books, generators
from laws.shops import shop_of
from laws.strategies import THOROUGH
from laws.test_staging import figures

TODAY = date(2026, 11, 25)


def every_way(shop: Shop) -> dict[tuple[int, int], list[plan_baselines.Uses]]:
    """All ways to serve each need, none left out for taking more."""
    columns = shop.wide.columns
    found = {}
    for key, ask in shop.asks.items():
        found[key] = [columns.all[i].uses for i in bits(shop.wide.mask(ask, ask.top))]
    return found


@pytest.mark.parametrize(("seed", "flavour"), [(0, "tight"), (1, ""), (1, "tight"), *([(2, "")] if THOROUGH else [])])
def test_lists_agree_with_cp_sat_goal_by_goal(seed: int, flavour: str) -> None:
    """The most capability, its cost and its pieces: with any money, and with half of what that took."""
    shop = shop_of(seed, flavour)
    buyer, ways = Buyer(shop), every_way(shop)

    made = buyer.best()
    half = buyer.best(made.cost // 2)

    for one, budget in ((made, None), (half, made.cost // 2)):
        found = plan_baselines.list_by_struts(shop, ways, budget=budget)
        step = 1 + sum(scene.weight * sum(need.count for need in scene.needs) for scene in shop.scenes)
        assert (one.capability, one.cost, one.pieces) == (divmod(found.capability, step), found.cost, found.pieces)
    if made.everything:
        assert plan_baselines.list_by_columns(shop, "weighted") == (made.cost, made.packs)


@pytest.mark.parametrize("seed", range(3))
def test_of_many_equal_lists_it_is_the_one_that_cp_sat_settles_on(seed: int) -> None:
    """Every piece at the same price, so that many lists cost the same and are as short."""
    seeded = shop_of(seed, "")
    offers = tuple(replace(offer, price=2_500, pack=1, minimum=1, fixed=0) for offer in seeded.offers)
    shop = Shop(seeded.today, seeded.scenes, offers)

    made = Buyer(shop).whole()

    assert made is not None
    assert (made.cost, made.packs) == plan_baselines.list_by_columns(shop, "weighted", workers=2)


@pytest.mark.parametrize(("seed", "flavour"), [(0, "scarce"), *([(2, "")] if THOROUGH else [])])
def test_lists_from_a_wide_catalogue_are_those_of_cp_sat(seed: int, flavour: str) -> None:
    """Cost and list, where thousands of assemblies would serve and most of their parts must be bought."""
    shop = shop_of(seed, flavour, generators.medium, 12)

    made = Buyer(shop).whole()

    assert made is not None
    assert (made.cost, made.packs) == plan_baselines.list_by_columns(shop, "one by one", workers=2)


def played(stager: Stager) -> list[plan_baselines.Played]:
    """The scenes as CP-SAT is told them."""
    rows = stager.muster.columns
    return [
        plan_baselines.Played(
            scene.weight,
            by_need,
            sum(by_need),
            tuple(
                plan_baselines.Strut(n, one.parts, held, margin)
                for n, one, margin, *_ in answering.struts
                for held in (
                    [
                        tuple(
                            (rows.row[name], number) for name, number in rows.held(one.ground, hold, rows.families(one))
                        )
                        for hold in answering.holds[n, stager.base(one)]
                    ]
                    if scene.needs[n].restrained
                    else [()]
                )
            ),
        )
        for scene, by_need, answering in zip(stager.scenes, stager.by_need, stager.answering, strict=True)
    ]


def sets_of(stager: Stager) -> tuple[int, int, int, list[int], int]:
    """What CP-SAT finds; pins are to be aplenty."""
    masses = [one.assembly.mass for one in stager.candidates]
    grain = lcm(*(mass.denominator for mass in masses if mass is not None))
    candidates = [(one.assembly.parts, int((one.assembly.mass or 0) * grain)) for one in stager.candidates]
    parts = {part.id for part in stager.catalogue.parts if part.kind in ("body", "extension", "adapter", "fitting")}
    stock = {part: number for part, number in stager.muster.usable.counts.items() if part in parts and number}
    held = {row for scene in played(stager) for strut in scene.struts for row, _ in strut.held}
    rows = {row: stager.muster.stock[row] for row in held}
    return plan_baselines.sets_by_pieces(candidates, played(stager), stock, rows, stager.sets)


CAR_AND_VAN = needs_of(
    [{"shortest": 41, "longest": 50, "count": 2}, {"at": 36, "count": 1}], [{"shortest": 58, "longest": 66, "count": 2}]
)
LOW_AND_LONG = needs_of([{"at": 30.5, "count": 2, "restrained": False}], [{"at": 97, "count": 1}])
# Equal but for the scene that sets spare, and but for their pieces.
ONE_OR_TWO = needs_of([{"at": 33, "count": 1, "restrained": False}], [{"at": 66, "count": 2, "restrained": False}])
SHORT_AND_LONG = needs_of(
    [{"at": 33, "count": 1}], [{"at": 60, "count": 2, "restrained": False}] * 2, [{"at": 72, "count": 1}]
)


@pytest.mark.parametrize(
    ("needs", "sets"),
    [(CAR_AND_VAN, 1), (CAR_AND_VAN, 2), (LOW_AND_LONG, 1), (LOW_AND_LONG, 2), (ONE_OR_TWO, 2), (SHORT_AND_LONG, 2)],
)
def test_ready_sets_agree_with_cp_sat_goal_by_goal(needs: Needs, sets: int) -> None:
    """Joints, margin, heaviest set, joints by scene and pieces of Rescue 41, pins aplenty."""
    muster = Muster(rescue_41(joint_pin=60), books.book(), TODAY)
    stager = Stager(muster, needs.scenes, sets)
    masses = [one.assembly.mass for one in stager.candidates]
    grain = lcm(*(mass.denominator for mass in masses if mass is not None))

    joints, margin, heaviest, *rest = figures(stager, choose(stager))

    assert (joints, margin, int(heaviest * grain), *rest) == sets_of(stager)
