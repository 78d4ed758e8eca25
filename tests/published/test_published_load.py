"""Worked examples and tables of statics (status: read, unless the name says otherwise), each through ``load``."""

from __future__ import annotations

import csv
import math
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from builders import change, loaded, tidy

from cache_check.files.rules import read_rules
from cache_check.model.load import Forces, LoadResult
from cache_check.units import NEWTON_PER_LBF, mass_kg

DATA = Path(__file__).parent / "data"


def _rows(name: str) -> list[dict[str, str]]:
    with (DATA / f"{name}.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


STATICS = {(row["example"], row["quantity"]): float(row["value"]) for row in _rows("statics_worked_examples")}
WIDE = change("STR-3", max=89)


def asked(**fields: Any) -> LoadResult:
    """A strut at 60 deg and 40 in of height unless said otherwise, a V as wide as it is asked for."""
    return loaded(tidy(), WIDE, **({"contact_height": 40, "angle": 60} | fields))


def forces(result: LoadResult) -> Forces:
    """The forces, which every example has."""
    assert result.forces is not None
    return result.forces


def pounds(newtons: Fraction) -> float:
    """The unit of each example, whatever it is, is asked as lbf."""
    return float(newtons / NEWTON_PER_LBF)


def tensions(result: LoadResult) -> list[float]:
    """What each strap sees of the thrust."""
    return [float(line.unit) * pounds(forces(result).thrust) for line in result.lines]


def test_strut_with_tie() -> None:
    """BH-STATICS-3, Cargo Boom: a strut at 40 deg from vertical and a tie falling 1 in 4, stood on its head, 24 kN."""
    example = "boom and topping lift"
    boom = str(STATICS[example, "strut compression"])
    fall = f"{-math.degrees(math.atan(1 / 4)):.6f}"
    result = asked(angle=None, angle_from_vertical=40, axial=boom, half_angles=0, rise=fall)

    assert pounds(forces(result).base_reaction) == pytest.approx(24, abs=0.05)
    assert sum(tensions(result)) == pytest.approx(STATICS[example, "tie tension"], abs=0.04)


def test_even_v_in_plan() -> None:
    """BH-STATICS-3, Utility Pole: two pulls of three 10 kN lines at 76 deg balance the guy's level part."""
    example = "guy against two line pulls (plan V)"
    guy = str(STATICS[example, "guy tension"])
    result = asked(angle=None, angle_from_vertical=38, axial=guy, half_angles=76)

    assert pounds(forces(result).thrust) == pytest.approx(STATICS[example, "guy horizontal component"], abs=0.05)
    assert tensions(result) == pytest.approx([30, 30], rel=0.05 / 14.5)


def test_three_ties_in_space() -> None:
    """BH-STATICS-3, Balloon: with tie B as the thrust, A and C hold as an uneven V that rises to the balloon."""
    example = "three ground ties to one point"
    line, rise = math.degrees(math.atan2(20, 30)), math.degrees(math.atan2(30, 20))
    level = STATICS[example, "tension B"] * math.hypot(30, 20) / STATICS[example, "length B"]
    # A strut that is steep enough to stay down under straps that rise so.
    axial = level / math.cos(math.radians(75))
    result = asked(angle=75, axial=f"{axial:.6f}", half_angles=[f"{line:.6f}", f"{90 - line:.6f}"], rise=f"{rise:.6f}")

    assert tensions(result) == pytest.approx([STATICS[example, f"tension {name}"] for name in "AC"], abs=0.8)


@pytest.mark.parametrize(
    ("example", "weight", "from_horizontal", "quantities", "tolerance"),
    [
        ("weight on two cables", 100.0, (7.125016, 45.0), ("left tension", "right tension"), 0.05),
        ("weight on two wires", 15 * 9.80, (30.0, 45.0), ("tension at 30 deg", "tension at 45 deg"), 0.5),
    ],
    ids=["BH-STATICS-3", "OPENSTAX-6.1"],
)  # fmt: skip
def test_uneven_v(
    example: str, weight: float, from_horizontal: tuple[float, float], quantities: tuple[str, str], tolerance: float
) -> None:
    """A weight on two cables is an uneven V stood upright: half-angles counted from the vertical."""
    halves = [f"{90 - angle:.9f}" for angle in from_horizontal]
    result = asked(axial=f"{2 * weight}", half_angles=halves)

    assert tensions(result) == pytest.approx([STATICS[example, one] for one in quantities], abs=tolerance)


def test_ladder_on_a_smooth_wall() -> None:
    """OPENSTAX-12.2: what holds a leaning weight level at its height is the wall's push, W e / h.

    What the strut lifts and what is left on the pivot carry the weight; with the push they make the floor's resultant.
    """
    across, up = 250 * math.cos(math.radians(53)), 500 * math.sin(math.radians(53))
    result = asked(
        contact_height=f"{up:.4f}", contact_x=0, weight=400, weight_outside=f"{across:.4f} in", half_angles=30
    )

    found, ladder = forces(result), "uniform ladder on smooth wall"
    assert found.pivot_reaction is not None
    push, down = pounds(found.thrust), pounds(found.pivot_reaction + found.vertical)
    assert push == pytest.approx(STATICS[ladder, "wall reaction"], abs=0.05)
    assert math.hypot(push, down) == pytest.approx(STATICS[ladder, "floor resultant"], abs=0.06)
    assert math.degrees(math.atan2(down, push)) == pytest.approx(STATICS[ladder, "floor resultant angle"], abs=0.06)
    assert push / down == pytest.approx(STATICS[ladder, "friction coefficient at slip"], abs=0.0005)


@cache
def lifted(angle: int) -> tuple[float, float]:
    """What a strut that lifts 1 has along it and along the ground."""
    found = forces(asked(angle=angle, vertical=1000))
    return pounds(found.axial) / 1000, pounds(found.thrust) / 1000


FACTORS = _rows("raker_force_factors")


@pytest.mark.parametrize(
    "row",
    FACTORS,
    ids=[f"{n} {one['source']} {one['status'].replace('memory', 'from memory')}" for n, one in enumerate(FACTORS)],
)
def test_raker_force(row: dict[str, str]) -> None:
    """STATICS (derived) and FEMA-SCT (from memory): force along and vertical for each unit of level push."""
    along, out = lifted(int(row["angle_from_ground_deg"]))
    tolerance = 0.005 if row["status"] == "memory" else 5e-5

    assert along / out == pytest.approx(float(row["axial_per_horizontal"]), abs=tolerance)
    assert 1 / out == pytest.approx(float(row["vertical_per_horizontal"]), abs=tolerance)


def test_slings_by_angle() -> None:
    """OSHA, Guidance on Safe Sling Use, Tables 1 and 2: what legs lift at an angle, in every printed cell."""
    cells = [
        (float(row["single_leg_90deg_lb"]) * legs, angle, float(row[f"{name}_{angle}deg_lb"]))
        for row in _rows("sling_chain_rated_load_by_angle")
        for name, legs in (("two_leg", 2), ("three_four_leg", 3))
        for angle in (60, 45, 30)
        if row[f"{name}_{angle}deg_lb"]
    ]

    assert len(cells) == 16 * 6 - 4
    for single, angle, cell in cells:
        assert single / lifted(angle)[0] == pytest.approx(cell, abs=60.0)


def test_metal_on_wood() -> None:
    """OPENSTAX-6.2: at 0.5 an unstrapped base holds by friction only from 63.43 deg up; at 60 deg it slips."""
    pair = next(row for row in _rows("friction_coefficients") if row["pair"] == "metal on wood")

    steep, flat = (asked(angle=angle, vertical=1000).slip.foot for angle in ("63.43", "60"))
    assert float(steep or 0) == pytest.approx(float(pair["static_low"]), abs=3e-4)
    assert (flat or 0) > Fraction(pair["static_low"])


def test_carry_weights_of_the_rule() -> None:
    """OCCERG-46 with HSE-L23: 51 lb for one, and two carry two thirds of their sum, 68 lb; so says LFT-1."""
    values = {(row["item"], row["unit"]): Fraction(row["value"]) for row in _rows("manual_handling")}
    one = values["NIOSH revised lifting equation load constant", "lb"]
    share = values["two-person team share of summed individual capability", "ratio"]
    rules = read_rules()

    assert rules.value("LFT-1", "one_person") == mass_kg(f"{one} lb")
    assert rules.value("LFT-1", "two_persons") == mass_kg("68 lb")
    assert float(2 * one * share) == pytest.approx(68, abs=0.01)
