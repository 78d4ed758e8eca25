"""Strut, straps and vehicle together: figures that a person can check by hand."""

from __future__ import annotations

import math

import pytest

from cache_check.loads.triangle import pretension_moment, solve_triangle

CONTACT, BASE = (0.5, 2.0), (2.5, -0.2)


def test_anchor_at_the_pivot_is_the_textbook() -> None:
    """With the anchor on the pivot the straps have no moment, and the strut sees the plain overturning force."""
    rig = solve_triangle(10_000, 1.0, CONTACT, BASE, [(0.0, 0.0, 0.0)])

    assert rig.strap_moment == pytest.approx(0, abs=1e-9)
    angle, (x, y) = math.radians(rig.angle_deg), CONTACT
    assert rig.strut == pytest.approx(10_000 * 1.0 / (x * math.sin(angle) + y * math.cos(angle)))


def test_an_anchor_above_the_pivot_adds_to_the_strut() -> None:
    """A strap to a higher point pulls the vehicle over, so the strut sees more than the textbook says."""
    plain = solve_triangle(10_000, 1.0, CONTACT, BASE, [(0.0, 0.0, 0.0)])
    real = solve_triangle(10_000, 1.0, CONTACT, BASE, [(0.0, 0.3, 0.8), (0.0, 0.3, -0.8)])

    assert real.strut > plain.strut
    assert real.strap_moment < 0


def test_ground_carries_by_lever_arm_whatever_the_straps() -> None:
    """Without friction the base takes W e / x of the base, the pivot the rest, wherever the anchors are."""
    for height in (0.0, 0.3, 0.6):
        rig = solve_triangle(10_000, 1.0, CONTACT, BASE, [(0.0, height, 0.8), (0.0, height, -0.8)])
        assert rig.base_reaction == pytest.approx(4000)
        assert rig.pivot_reaction == pytest.approx(6000)
        assert rig.base_reaction > 0
        assert rig.pivot_reaction >= 0


def test_counted_friction_relieves_the_straps() -> None:
    """Friction that policy counts is taken off the straps, and enough of it leaves them slack."""
    anchors = [(0.0, 0.3, 0.8), (0.0, 0.3, -0.8)]
    none, some, much = (
        solve_triangle(10_000, 1.0, CONTACT, BASE, anchors, friction_counted=coefficient)
        for coefficient in (0.0, 0.3, 1.5)
    )

    assert none.base_friction == 0
    assert some.straps[0] < none.straps[0]
    assert some.base_friction == pytest.approx(0.3 * some.base_reaction)
    assert much.straps == (0, 0)
    assert much.base_friction < 1.5 * much.base_reaction


def test_an_upright_strut_leaves_the_straps_slack() -> None:
    """A strut straight under its contact has no thrust; the strut force is W e / x."""
    rig = solve_triangle(10_000, 1.0, (2.0, 1.0), (2.0, 0.0), [(0.0, 0.2, 0.5), (0.0, 0.2, -0.5)])

    assert rig.angle_deg == 90
    assert rig.strut == pytest.approx(5000)
    assert rig.straps == (0, 0)


def test_nothing_to_hold() -> None:
    """A weight on the pivot asks nothing, and the base is not said to lift."""
    rig = solve_triangle(10_000, 0.0, CONTACT, BASE, [(0.0, 0.3, 0.8), (0.0, 0.3, -0.8)])

    assert (rig.strut, rig.base_reaction, rig.pivot_reaction) == (0, 0, 10_000)


def test_a_weight_past_the_base_lifts_the_pivot() -> None:
    """With the weight past the base the vehicle leaves its pivot: said, not hidden."""
    rig = solve_triangle(10_000, 3.0, CONTACT, BASE, [(0.0, 0.0, 0.0)])

    assert rig.pivot_reaction == pytest.approx(-2000)


def test_straps_steeper_than_the_strut_lift_the_base() -> None:
    """A base drawn toward a high anchor finds no balance."""
    with pytest.raises(ValueError, match="holding arm"):
        solve_triangle(10_000, 1.0, (0.0, 1.0), (2.0, 0.0), [(0.0, 1.2, 0.5), (0.0, 1.2, -0.5)])


def test_pretension_turns_the_vehicle_away() -> None:
    """Straps of 500 level with the pivot put 707 in a strut at 45 deg and a moment of F0 times its arm."""
    own, moment = pretension_moment((0.0, 2.0), (2.0, 0.0), [(0.0, 0.0, 0.0)], [500.0])

    assert own == pytest.approx(500 * math.sqrt(2))
    assert moment == pytest.approx(own * math.sqrt(2))
    with pytest.raises(ValueError, match="as many as the straps"):
        pretension_moment((0.0, 2.0), (2.0, 0.0), [(0.0, 0.0, 0.0)], [500.0, 500.0])
