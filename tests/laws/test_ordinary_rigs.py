"""Ordinary rigs: a plan always comes, verified, its goals proven one after another."""

from __future__ import annotations

import pytest
from benchmarks.ordinary import TODAY, Ordinary, ordinary

from cache_check import api
from cache_check.model.staging import Staging
from cache_check.planning.packing.muster import Muster
from cache_check.planning.scenes import scene, told
from cache_check.planning.staging.stage import choose
from cache_check.planning.staging.staging import Stager

SMALLER = [2, 3, 5, 9]
"""Seeds of rigs of one or two families that are soon settled."""


def staged(one: Ordinary, sets: int, seconds: float = 600) -> Staging:
    """The ready sets, played by the verifier on the way."""
    suppose = api.WhatIf(on=TODAY)
    found = api.stage(one.cache, one.book, needs=one.needs, sets=sets, suppose=suppose, seconds=seconds).staging
    assert found is not None
    return found


@pytest.mark.parametrize("seed", SMALLER)
def test_every_goal_is_proven(seed: int) -> None:
    """The joints are the bound, and no goal after them is left open."""
    found = staged(ordinary(seed), 4)

    assert (found.unproven, found.weighted_joints) == ("", found.bound)


@pytest.mark.parametrize("seed", SMALLER[:2])
def test_the_same_rig_gets_the_same_sets_and_struts(seed: int) -> None:
    """Drawn and planned twice, all that is told is the same."""
    assert staged(ordinary(seed), 3) == staged(ordinary(seed), 3)


@pytest.mark.parametrize("seed", [0, 4])
def test_without_time_there_is_a_plan_with_its_bound_and_the_true_reason(seed: int) -> None:
    """In no time at all the scenes are served all the same; what is not proven is said, and no time that was not."""
    one = ordinary(seed)

    found = staged(one, 4, seconds=1e-6)

    assert found.bound <= found.weighted_joints
    assert "reached its limit of time after" in found.unproven
    muster = Muster(one.cache, one.book, TODAY)
    assert [one.served for one in found.scenes] == [told(scene(muster, s), s) for s in one.needs.scenes]


@pytest.mark.parametrize("seed", [5])
def test_a_set_more_never_costs_a_joint_on_an_ordinary_rig(seed: int) -> None:
    """One set to six: the weighted joints never rise."""
    one = ordinary(seed)
    muster = Muster(one.cache, one.book, TODAY)

    joints = [choose(Stager(muster, one.needs.scenes, sets), seconds=600).joints for sets in range(1, 7)]

    assert joints == sorted(joints, reverse=True)
