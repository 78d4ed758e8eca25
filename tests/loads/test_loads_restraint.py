"""Straps of one base: figures that a person can check by hand."""

from __future__ import annotations

import math

import pytest

from cache_check.loads.demand import thrust_from_vertical
from cache_check.loads.restraint import (
    Strap,
    base_reaction,
    straps_needed,
)
from cache_check.loads.sharing import shared_tensions, tensions_with_one_lost, worst_by_line, worst_tensions


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
    """15,000 sideways takes five straps of 3,300 along the line, and more once they spread."""
    assert straps_needed(15_000, 3300).total == 5
    assert straps_needed(15_000, 3300, 30).total == 6


@pytest.mark.parametrize(
    ("thrust", "half_angle", "total", "each_side", "on_line"),
    [
        (0, 30, 2, 1, 0),
        (5000, 30, 2, 1, 0),
        (5772, 30, 2, 1, 0),
        (5773, 30, 4, 2, 0),
        (11_545, 30, 4, 2, 0),
        (11_546, 30, 6, 3, 0),
        (6666, 0, 2, 0, 2),
        (6667, 0, 3, 0, 3),
    ],
)
def test_number_of_straps(thrust: float, half_angle: float, total: int, each_side: int, on_line: int) -> None:
    """Fewest straps of 3,333 that hold, never under two; an odd one on the line might have to take it all."""
    count = straps_needed(thrust, 3333, half_angle)

    assert (count.total, count.each_side, count.on_the_line) == (total, each_side, on_line)
    assert count.largest_tension <= 3333


def test_ruled_minimum_and_exact_meeting() -> None:
    """A rule of four stands though two would hold; a thrust met exactly by trigonometry takes no third strap."""
    assert straps_needed(1000, 3333, 30, minimum=4).total == 4
    assert straps_needed(thrust_from_vertical(10_000, 45), 2500).total == 4
    assert straps_needed(2 * 3333 * math.cos(math.radians(30)), 3333, 30).total == 2


def test_fan_agrees_with_the_general_division() -> None:
    """The largest tension of a fan of six, and of five, is the most that the general division finds."""
    count, odd = straps_needed(15_000, 3300, 10), straps_needed(15_000, 15_000, 10, minimum=5)
    straps = [Strap(10), Strap(10), Strap(0), Strap(-10), Strap(-10)]

    assert (count.each_side, count.on_the_line) == (3, 0)
    assert (odd.each_side, odd.on_the_line) == (2, 1)
    assert max(worst_by_line(15_000, straps)) == pytest.approx(odd.largest_tension)
    assert max(worst_by_line(15_000, [Strap(10), Strap(-10)] * 3)) == pytest.approx(count.largest_tension)


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
