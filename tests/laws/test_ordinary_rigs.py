"""Ordinary rigs: a plan always comes, verified, its goals proven one after another."""

from __future__ import annotations

import numpy as np
import pytest
from benchmarks.ordinary import TODAY, Ordinary, ordinary
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

import cache_check as api
from cache_check.api.base import muster_of
from cache_check.model.staging import Staging
from cache_check.planning.packing.muster import Muster
from cache_check.planning.scenes import scene, told
from cache_check.planning.solving.programme import Programme, Row
from cache_check.planning.staging.stage import choose
from cache_check.planning.staging.staging import Stager
from cache_check.planning.staging.staging_rows import laid, plan_of
from laws.strategies import THOROUGH

HARDEST = (89, 149, 148, 80, 125, 202, 153, 178, 108, 123, 22, 76, 27, 209, 101, 158, 39, 269, 262, 164)
"""Seeds of the twenty rigs of ``run_ordinary.py`` that take the longest, 18 s to 5."""


def staged(one: Ordinary, sets: int, seconds: float = 600) -> Staging:
    """The ready sets, played by the verifier on the way."""
    suppose = api.WhatIf(on=TODAY)
    found = api.stage(one.cache, one.book, needs=one.needs, sets=sets, suppose=suppose, seconds=seconds).staging
    assert found is not None
    return found


@pytest.mark.parametrize("seed", HARDEST)
def test_every_goal_is_proven(seed: int) -> None:
    """The joints are the bound, and no goal after them is left open."""
    found = staged(ordinary(seed), 1 + seed % 6)

    assert (found.unproven, found.weighted_joints) == ("", found.bound)


@pytest.mark.parametrize(("seed", "sets"), [(13, 2), *([(7, 6)] if THOROUGH else [])])
def test_few_columns_lose_no_choice(seed: int, sets: int) -> None:
    """One programme of all sets, all struts and every way, with all that could run out counted, finds no fewer joints.

    It is solved by SciPy, which is told nothing of bounds and prices.
    """
    one = ordinary(seed)
    stager = Stager(Muster(one.cache, one.book, TODAY), one.needs.scenes, sets)
    every = range(len(stager.candidates))
    plan = plan_of(stager, laid(stager, [stager.everything] * len(stager.scenes), every, told="apart"), every)

    found = choose(stager, seconds=600)

    assert (found.unproven, found.joints) == ("", found.bound)
    assert found.joints == least_cost(plan.draft.done(), stager.joints(plan).costs)


@pytest.mark.parametrize(("seed", "sets"), [(252, 4), *([(83, 5)] if THOROUGH else [])])
def test_counting_little_at_first_finds_what_counting_all_does(
    seed: int, sets: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The goals come out the same with all that could run out counted from the first, in one round.

    What one round finds of margin and weight is a bound for the next: these have a next one that comes to just that.
    """
    one = ordinary(seed)
    stager = Stager(Muster(one.cache, one.book, TODAY), one.needs.scenes, sets)
    found = choose(stager, seconds=600)

    monkeypatch.setattr("cache_check.planning.staging.stage.Counted", lambda *_: stager.everything)
    other = choose(stager, seconds=600)

    assert (found.sets, found.joints, found.least_margin) == (other.sets, other.joints, other.least_margin)
    assert not found.unproven + other.unproven


@pytest.mark.parametrize(
    ("seed", "sets"), [(286, 5), (143, 6), (29, 6), *([(295, 2), (65, 6), (279, 4)] if THOROUGH else [])]
)
def test_equal_sets_have_the_fewest_joints_of_the_longest_scene_first_then_the_fewest_pieces(
    seed: int, sets: int
) -> None:
    """Of all sets with so few joints, so much margin and none heavier: by SciPy, each number held for the next."""
    one = ordinary(seed)
    muster, scenes = Muster(one.cache, one.book, TODAY), one.needs.scenes
    stager, none = Stager(muster, scenes, sets), choose(Stager(muster, scenes, 0), seconds=600)
    found = choose(stager, seconds=600)
    heaviest = max(one.assembly.mass or 0 for one, _ in found.sets)
    light = [c for c, one in enumerate(stager.candidates) if (one.assembly.mass or 0) <= heaviest]
    counted = [stager.everything] * len(stager.scenes)
    plan = plan_of(stager, laid(stager, counted, light, least=found.least_margin, told="apart"), light)
    longest = sorted(range(len(scenes)), key=lambda s: -scenes[s].weight * none.scenes[s].joints)
    goals: list[dict[int, int]] = [{x: n for at, x, n in plan.made() if at == s and n} for s in longest]
    goals.append({x: len(stager.candidates[c].assembly.parts) for (c, _), x in plan.left.items()})
    held, reached = stager.joints(plan).held(found.joints), []
    for costs in goals:
        plan.draft.rows.append(held)
        reached.append(least_cost(plan.draft.done(), costs))
        held = Row(tuple(costs.items()), reached[-1], reached[-1])

    pieces = sum(len(one.assembly.parts) for one, _ in found.sets)
    assert [*(found.scenes[s].joints for s in longest), pieces] == reached


def least_cost(programme: Programme, costs: dict[int, int]) -> int:
    """The least cost in whole numbers of a programme, by SciPy."""
    columns = range(len(programme.lows))
    at = [(r, c, number) for r, row in enumerate(programme.rows) for c, number in row.terms]
    rows, places, numbers = zip(*at, strict=True)
    table = csr_array((numbers, (rows, places)), shape=(len(programme.rows), len(columns)))
    low = [-np.inf if row.low is None else row.low for row in programme.rows]
    high = [np.inf if row.high is None else row.high for row in programme.rows]
    tops = [np.inf if top is None else top for top in programme.highs]
    found = milp(
        [costs.get(column, 0) for column in columns], constraints=LinearConstraint(table, low, high),
        bounds=Bounds(programme.lows, tops), integrality=1, options={"mip_rel_gap": 0.0},
    )  # fmt: skip
    return round(float(found.fun))


def test_the_same_rig_gets_the_same_sets_and_struts() -> None:
    """Drawn and planned twice, all that is told is the same."""
    assert staged(ordinary(3), 3) == staged(ordinary(3), 3)


def test_without_time_there_is_a_plan_with_its_bound_and_the_true_reason() -> None:
    """In no time at all the scenes are served all the same; what is not proven is said, and no time that was not."""
    one = ordinary(4)

    found = staged(one, 4, seconds=1e-6)

    assert found.bound <= found.weighted_joints
    assert "reached its limit of time after" in found.unproven
    muster = muster_of(one.cache, one.book, api.WhatIf(on=TODAY), needs=one.needs)
    assert [one.served for one in found.scenes] == [told(scene(muster, s), s) for s in one.needs.scenes]


def test_a_set_more_never_costs_a_joint_on_an_ordinary_rig() -> None:
    """One set to six: the weighted joints never rise."""
    one = ordinary(5)
    muster = Muster(one.cache, one.book, TODAY)

    joints = [choose(Stager(muster, one.needs.scenes, sets), seconds=600).joints for sets in range(1, 7)]

    assert joints == sorted(joints, reverse=True)
