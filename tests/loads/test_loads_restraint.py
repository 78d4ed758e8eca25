"""Straps of one base: figures that a person can check by hand."""

from __future__ import annotations

import math

import pytest

from cache_check.loads.demand import struts_needed, thrust_from_vertical
from cache_check.loads.restraint import Strap, base_reaction, shared_tensions, tensions_with_one_lost, worst_tensions


def test_rising_straps_lift_the_base() -> None:
    """A strut force of 3,000 at 60 deg with straps rising 20 deg leaves 2,052 under the base, not 2,598."""
    straps = [Strap(30, 20), Strap(-30, 20)]
    tensions = shared_tensions(3000 * math.cos(math.radians(60)), straps)

    assert base_reaction(3000, 60, straps, [0, 0]) == pytest.approx(2598.08, abs=0.01)
    assert base_reaction(3000, 60, straps, tensions) == pytest.approx(1967.7, abs=0.1)
    assert base_reaction(3000, 60, [Strap(30, -20), Strap(-30, -20)], tensions) > 2598.08


def test_steep_straps_lift_the_base_off() -> None:
    """Straps that rise more steeply than the strut leave a negative reaction: not a balance."""
    straps = [Strap(20, 60), Strap(-20, 60)]

    assert base_reaction(1000, 45, straps, shared_tensions(1000 * math.cos(math.radians(45)), straps)) < 0


def test_five_straps_by_practice() -> None:
    """15,000 sideways takes five straps of 3,300 along the line; a thrust met exactly takes no strap more."""
    assert struts_needed(15_000, 3300, 2) == 5
    assert struts_needed(thrust_from_vertical(10_000, 45), 2500, 2) == 4
    assert struts_needed(1000, 3333, 2) == 2


def test_three_straps_slack_and_worst() -> None:
    """Two at 30 deg and one on the line: by stiffness the line takes 0.4, at worst it takes all."""
    straps = [Strap(30), Strap(0), Strap(-30)]

    assert shared_tensions(1, straps) == pytest.approx((0.34641, 0.4, 0.34641), abs=1e-5)
    assert worst_tensions(1, straps) == pytest.approx((0.57735, 1.0, 0.57735), abs=1e-5)


def test_one_strap_lost() -> None:
    """Of a V of two the loss of either leaves nothing; of four the rest hold, the lone side taking more."""
    assert tensions_with_one_lost(1000, [Strap(30), Strap(-30)]) == (None, None)

    left = tensions_with_one_lost(1000, [Strap(30), Strap(30), Strap(-30), Strap(-30)])
    assert left[0] == pytest.approx((577.35, 288.68, 288.68), abs=0.01)
    assert tensions_with_one_lost(1000, [Strap(0)]) == (None,)

    line = tensions_with_one_lost(1000, [Strap(0), Strap(0), Strap(30), Strap(-30)])
    assert line[0] == pytest.approx((1000, 577.35, 577.35), abs=0.01)  # the one left on the line may take it all
