"""Worked examples of two open statics books (status: read), turned into struts, straps and bases."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from cache_check.loads.demand import axial_from_thrust, thrust_above_pivot, thrust_from_axial
from cache_check.loads.geometry import from_vertical_deg, strap_angles_deg, strap_length
from cache_check.loads.restraint import Strap, base_reaction, equal_v_tension, strap_pull, two_strap_tensions
from cache_check.loads.sharing import shared_tensions
from cache_check.loads.slip import friction_needed

DATA = Path(__file__).parent / "data"


def _published() -> dict[tuple[str, str], float]:
    with (DATA / "statics_worked_examples.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert {row["status"] for row in rows} == {"read"}
    return {(row["example"], row["quantity"]): float(row["value"]) for row in rows}


PUBLISHED = _published()


def test_strut_with_tie() -> None:
    """BH-STATICS-3, Cargo Boom: a strut at 40 deg from vertical and one tie, stood on its head, carry 24 kN."""
    angle = from_vertical_deg(40)
    tie = Strap(0.0, -math.degrees(math.atan(1 / 4)))
    (unit_tension,) = shared_tensions(thrust_from_axial(1, angle), [tie])
    boom = 24 / base_reaction(1, angle, [tie], [unit_tension])

    assert boom == pytest.approx(PUBLISHED["boom and topping lift", "strut compression"], abs=0.05)
    assert boom * unit_tension == pytest.approx(PUBLISHED["boom and topping lift", "tie tension"], abs=0.005)


def test_even_v_in_plan() -> None:
    """BH-STATICS-3, Utility Pole: two pulls of three 10 kN lines at 76 deg balance the guy's level part."""
    example = "guy against two line pulls (plan V)"
    level = PUBLISHED[example, "guy horizontal component"]

    assert equal_v_tension(level, 76) == pytest.approx(30, rel=0.05 / 14.5)
    assert two_strap_tensions(level, (76, 76)) == pytest.approx((30, 30), rel=0.05 / 14.5)
    guy = axial_from_thrust(30 / equal_v_tension(1, 76), from_vertical_deg(38))
    assert guy == pytest.approx(PUBLISHED[example, "guy tension"], abs=0.05)


def test_three_ties_in_space() -> None:
    """BH-STATICS-3, Balloon: with tie B as the thrust, A and C hold as an uneven V, and all three hold 900 lb."""
    example = "three ground ties to one point"
    top = (0.0, 30.0, 0.0)
    feet = {"A": (-20.0, 0.0, 0.0), "B": (30.0, 0.0, 20.0), "C": (0.0, 0.0, -20.0)}
    lengths = {name: strap_length(foot, top) for name, foot in feet.items()}
    plans = {name: math.hypot(foot[0], foot[2]) for name, foot in feet.items()}
    rises = {name: math.degrees(math.atan2(30, plan)) for name, plan in plans.items()}
    tension_b = PUBLISHED[example, "tension B"]
    line = math.degrees(math.atan2(20, 30))
    tension_a, tension_c = two_strap_tensions(
        tension_b * plans["B"] / lengths["B"], (line, 90 - line), (rises["A"], rises["C"])
    )

    assert lengths["A"] == pytest.approx(PUBLISHED[example, "length A"], abs=0.05)
    assert lengths["B"] == pytest.approx(PUBLISHED[example, "length B"], abs=0.05)
    assert tension_a == pytest.approx(PUBLISHED[example, "tension A"], abs=0.8)
    assert tension_c == pytest.approx(PUBLISHED[example, "tension C"], abs=0.8)
    up = sum(strap_pull([Strap(0, rises[name])], [PUBLISHED[example, f"tension {name}"]])[1] for name in feet)
    assert up == pytest.approx(900, rel=1e-3)


def test_three_ties_run_where_their_points_say() -> None:
    """BH-STATICS-3, Balloon: angles found from points give the published vertical part of tie A."""
    plan, rise = strap_angles_deg((0.0, 0.0, 0.0), (-20.0, 30.0, 0.0))

    assert (plan, rise) == pytest.approx((0, math.degrees(math.atan2(30, 20))))


@pytest.mark.parametrize(
    ("example", "weight", "from_horizontal", "quantities", "tolerance"),
    [
        (
            "weight on two cables",
            100.0,
            (math.degrees(math.atan2(10, 80)), 45.0),
            ("left tension", "right tension"),
            0.05,
        ),
        (
            "weight on two wires",
            15.0 * 9.80,
            (30.0, 45.0),
            ("tension at 30 deg", "tension at 45 deg"),
            0.5,
        ),
    ],
    ids=["BH-STATICS-3", "OPENSTAX-6.1"],
)
def test_uneven_v(
    example: str,
    weight: float,
    from_horizontal: tuple[float, float],
    quantities: tuple[str, str],
    tolerance: float,
) -> None:
    """A weight on two cables is an uneven V stood upright: half-angles counted from the vertical."""
    first, second = from_horizontal
    tensions = two_strap_tensions(weight, (90 - first, 90 - second))

    for tension, quantity in zip(tensions, quantities, strict=True):
        assert tension == pytest.approx(PUBLISHED[example, quantity], abs=tolerance)


def test_ladder_on_a_smooth_wall() -> None:
    """OPENSTAX-12.2: the wall's push is W e / h, and the floor's friction at slip follows from it."""
    example = "uniform ladder on smooth wall"
    angle = math.radians(53)
    push = thrust_above_pivot(400, 2.5 * math.cos(angle), 5 * math.sin(angle))

    assert push == pytest.approx(PUBLISHED[example, "wall reaction"], abs=0.05)
    assert friction_needed(push, 400) == pytest.approx(PUBLISHED[example, "friction coefficient at slip"], abs=0.0005)
    assert math.hypot(push, 400) == pytest.approx(PUBLISHED[example, "floor resultant"], abs=0.06)
    resultant_angle = math.degrees(math.atan2(400, push))
    assert resultant_angle == pytest.approx(PUBLISHED[example, "floor resultant angle"], abs=0.06)
