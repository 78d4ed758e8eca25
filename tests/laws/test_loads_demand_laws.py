"""Laws of demand, geometry, share and column on random figures."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from cache_check.loads import demand, geometry
from cache_check.loads.restraint import Strap

ANGLE = st.floats(1, 89)
FORCE = st.floats(1, 1e6)
LENGTH = st.floats(0.1, 500)
POINT = st.tuples(st.floats(-5, 5), st.floats(-5, 5), st.floats(-5, 5))


@given(FORCE, ANGLE, ANGLE)
def test_steeper_is_kinder_to_a_vertical_share(vertical: float, one: float, other: float) -> None:
    """For a vertical share, strut force and thrust never grow with steepness."""
    flat, steep = sorted((one, other))

    assert demand.axial_from_vertical(vertical, steep) <= demand.axial_from_vertical(vertical, flat)
    assert demand.thrust_from_vertical(vertical, steep) <= demand.thrust_from_vertical(vertical, flat)


@given(POINT, POINT)
def test_strap_angles_point_at_the_anchor(base: geometry.Point, anchor: geometry.Point) -> None:
    """Plan angle, rise and length lead back from the base to the anchor."""
    assume(base[0] - anchor[0] > 0.01)
    strap, length = Strap(*geometry.strap_angles_deg(base, anchor)), geometry.strap_length(base, anchor)
    ways = (-strap.forward, strap.upward, strap.sideways)
    reached = tuple(start + length * way for start, way in zip(base, ways, strict=True))

    assert reached == pytest.approx(anchor, abs=1e-6)


@given(FORCE, st.floats(-100, 100), st.floats(0.01, 100), st.floats(0, 1))
def test_lever_arm_shares_balance(load: float, start: float, span: float, part: float) -> None:
    """Two shares sum to the load and balance about the load's own place; mirrored they swap."""
    at = start + part * span
    assume(start <= at <= start + span)
    first, second = demand.two_strut_shares(load, start, start + span, at)

    assert first + second == pytest.approx(load)
    assert first * (at - start) == pytest.approx(second * (start + span - at), abs=1e-6 * load * span)
    assert demand.two_strut_shares(load, start + span, start, at) == pytest.approx((second, first), abs=1e-6 * load)


@given(FORCE, st.floats(1, 1e5))
def test_struts_needed_is_the_fewest(load: float, rated: float) -> None:
    """So many struts carry the load by equal share, one fewer does not."""
    assume(load / rated < 1e6)
    count = demand.struts_needed(load, rated)

    assert count * rated >= load * (1 - 1e-11)
    assert count == 1 or (count - 1) * rated < load
