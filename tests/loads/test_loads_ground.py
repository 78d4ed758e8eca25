"""What the soil sees."""

from __future__ import annotations

import pytest

from cache_check.loads.ground import bearing_pressure, pad_area_needed, pad_side_needed, vertical_allowed


def test_pad_for_a_soft_shoulder() -> None:
    """6,000 lbf on a 7 x 7 in base is 122 psi; at 20 psi it takes 300 sq in, 17.3 in square."""
    assert bearing_pressure(6000, 49) == pytest.approx(122.45, abs=0.01)
    assert pad_area_needed(6000, 20) == 300
    assert pad_side_needed(6000, 20) == pytest.approx(17.3205, abs=1e-4)


def test_the_needed_pad_just_passes() -> None:
    """The needed pad brings the pressure to the allowed value, and takes back the same load."""
    area = pad_area_needed(6000, 20)

    assert bearing_pressure(6000, area) == pytest.approx(20)
    assert vertical_allowed(area, 20) == pytest.approx(6000)
