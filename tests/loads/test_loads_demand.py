"""What a load asks: figures that a person can check by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cache_check.loads import demand, geometry
from cache_check.loads.conventions import settled
from cache_check.loads.solve import ratio


def test_upright_strut_has_no_thrust() -> None:
    """At 90 degrees the strut carries the vertical itself and pushes nothing outward, exactly."""
    assert demand.axial_from_vertical(6000, 90) == 6000
    assert demand.thrust_from_vertical(6000, 90) == 0
    assert geometry.offset_at_angle(60, 90) == 0


def test_ground_drop_lengthens_the_strut() -> None:
    """Contact at 52 in over ground that drops 6 in asks for a strut to 58 in."""
    height = geometry.height_above_seat(52, 6)

    assert height == 58
    assert geometry.length_at_angle(height, 60) == pytest.approx(66.97, abs=0.01)


def test_no_room_past_two_feet() -> None:
    """With the base 24 in out from a contact at 52 in the strut stands at 65 deg, 57.3 in long."""
    assert geometry.strut_length(52, 24) == pytest.approx(57.27, abs=0.01)
    assert geometry.strut_angle_deg(52, 24) == pytest.approx(65.22, abs=0.01)


def test_common_practice_beside_statics() -> None:
    """20,000 lb leaves 10,000; three struts at 4,000; at 45 deg 15,000 sideways where statics has 10,000."""
    vertical = demand.half_left_by_pivoting(20_000)

    assert vertical == 10_000
    assert demand.struts_needed(vertical, 4000) == 3
    assert demand.sideways_at_45_deg(vertical) == 15_000
    assert demand.sideways_by_practice(vertical, 45) == 15_000
    assert demand.sideways_by_practice(vertical, 60) is None
    assert settled(demand.thrust_from_vertical(vertical, 45)) == 10_000
    assert demand.axial_from_vertical(vertical, 45) == pytest.approx(14_142, abs=0.5)


def test_a_coefficient_is_the_small_fraction_that_it_is_but_for_dust() -> None:
    """A third is a third to the 12th digit, not to the 11th; a thousand and first is no small fraction."""
    assert ratio((1 + 5e-13) / 3) == Fraction(1, 3)
    assert ratio((1 + 2e-12) / 3) == Fraction("0.333333333334")
    assert ratio(1 / 1001) == Fraction("0.000999000999001")
    assert ratio(-0.125) == Fraction(-1, 8)


def test_two_struts_by_lever_arm() -> None:
    """A load one third of the way along leaves two thirds on the near strut."""
    assert demand.two_strut_shares(9000, 10, 40, 20) == pytest.approx((6000, 3000))


def test_exactly_enough_is_enough() -> None:
    """A load that n struts meet exactly takes n, not n + 1, even through trigonometry; a policy may add."""
    assert demand.struts_needed(12_000, 4000) == 3
    assert demand.struts_needed(demand.thrust_from_vertical(10_000, 45), 2500) == 4
    assert demand.struts_needed(12_000.01, 4000) == 4
    assert demand.struts_needed(1000, 4000, minimum=4) == 4
