"""Worked examples and tables of statics (status: read, unless the name says otherwise), each through ``load``."""

from __future__ import annotations

import math
from datetime import date
from fractions import Fraction
from functools import cache
from typing import Any

import pytest
from builders import change, loaded, tidy

import cache_check as api
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache
from cache_check.model.load import Forces, LoadResult
from cache_check.model.rule import Setting
from cache_check.units import KG_PER_LB, NEWTON_PER_LBF, NM_PER_INCH, mass_kg
from published.tables import Row, rows, title

STATICS = {(row["example"], row["quantity"]): float(row["value"]) for row in rows("statics_worked_examples")}
WIDE = change("STR-3", max=89)


def asked(*settings: Setting, cache: Cache | None = None, **fields: Any) -> LoadResult:
    """A strut at 60 deg and 40 in of height unless said otherwise, a V as wide as it is asked for."""
    return loaded(cache or tidy(), WIDE, *settings, **({"contact_height": 40, "angle": 60} | fields))


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
    along = change("STR-3", on=False)
    result = asked(along, angle=None, angle_from_vertical=40, axial=boom, half_angles=0, rise=fall)

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


@pytest.mark.parametrize(("name", "across", "ahead"), [("A", 12, 16), ("B", 20, 30)])
def test_ties_in_space_reach_as_far_as_their_lines(name: str, across: int, ahead: int) -> None:
    """BH-STATICS-3, Balloon: a tie 20 or 36.06 ft out and 30 up is so long, to half of the last digit printed.

    A strap that is longer by that and by its tail (STR-5) reaches, and one that is shorter by that does not.
    """
    line, half = STATICS["three ground ties to one point", f"length {name}"], 0.05
    x = f"{40 / math.tan(math.radians(80)) - 12 * ahead:.6f}"

    def reaches(feet: float) -> bool:
        """Whether straps so long, tail left out, reach both anchors."""
        cache = tidy(parts={"strap": {"length": f"{feet + 2:.2f} ft"}})
        anchors = [[x, 12 * 30, 12 * across], [x, 12 * 30, -12 * across]]
        result = asked(change("STR-5", tail=24 * NM_PER_INCH), cache=cache, angle=80, axial=100, anchors=anchors)
        assert [(one.length or 0) / NM_PER_INCH for one in result.lines] == pytest.approx(
            [12 * line] * 2, abs=12 * half
        )
        (link,) = (one for one in result.carriers[0].links if one.link == "reach of strap")
        return link.state == "holds"

    assert (reaches(line + half), reaches(line - half)) == (True, False)


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


FACTORS = rows("raker_force_factors")


@pytest.mark.parametrize("row", FACTORS, ids=[title(row, "angle_from_ground_deg") for row in FACTORS])
def test_raker_force(row: Row) -> None:
    """STATICS (derived) and FEMA-SCT (from memory): force along and vertical for each unit of level push."""
    along, out = lifted(int(row["angle_from_ground_deg"]))
    tolerance = 0.005 if row["status"] == "memory" else 5e-5

    assert along / out == pytest.approx(float(row["axial_per_horizontal"]), abs=tolerance)
    assert 1 / out == pytest.approx(float(row["vertical_per_horizontal"]), abs=tolerance)


def test_slings_by_angle() -> None:
    """OSHA, Guidance on Safe Sling Use, Tables 1 and 2: what legs lift at an angle, in every printed cell."""
    cells = [
        (float(row["single_leg_90deg_lb"]) * legs, angle, float(row[f"{name}_{angle}deg_lb"]))
        for row in rows("sling_chain_rated_load_by_angle")
        for name, legs in (("two_leg", 2), ("three_four_leg", 3))
        for angle in (60, 45, 30)
        if row[f"{name}_{angle}deg_lb"]
    ]

    assert len(cells) == 16 * 6 - 4
    for single, angle, cell in cells:
        assert single / lifted(angle)[0] == pytest.approx(cell, abs=60.0)


FRICTION = rows("friction_coefficients")


def _printed(row: Row) -> list[Fraction]:
    """The coefficients of a pair at rest, each once, the least first."""
    return sorted({Fraction(row["static_low"]), Fraction(row["static_high"])})


def test_what_friction_alone_would_hold_at_60_deg() -> None:
    """By its least coefficient (cot 60 = 0.577): three pairs of those published here; metal on wood slips."""
    needed = asked(vertical=1000).slip.foot
    assert needed is not None
    assert {row["pair"] for row in FRICTION if _printed(row)[0] >= needed} == {
        "rubber on dry concrete",
        "steel on steel dry",
        "rough concrete on sawn wood",
    }


@pytest.mark.parametrize("row", FRICTION, ids=[title(row, "pair") for row in FRICTION])
def test_friction_under_a_base(row: Row) -> None:
    """Under 1,000 lbf friction holds 1,000 times the coefficient: an unstrapped base just so, straps the rest.

    What is said of friction holds nothing until policy counts it (LOD-1), and then no more than policy allows.  Within
    1e-6, the digits of the angle asked.
    """
    for mu in _printed(row):
        just, flatter = (f"{90 - math.degrees(math.atan(slope)):.9f}" for slope in (mu, mu + Fraction(1, 10)))
        assert float(asked(angle=just, vertical=1000).slip.foot or 0) == pytest.approx(float(mu), abs=1e-6)

        def pulled(most: Fraction, mu: Fraction = mu, angle: str = flatter) -> float:
            """What each strap of a V of 60 deg to each side sees, all of what friction does not hold."""
            result = asked(
                change("LOD-1", friction=most), vertical=1000, angle=angle, friction=str(float(mu)), half_angles=60
            )
            (way,) = result.ties
            return pounds(way.tension)

        for most, held in ((Fraction(0), 0), (mu / 2, mu / 2), (mu, mu), (Fraction(1), mu)):
            assert pulled(most) == pytest.approx(1000 * float(mu + Fraction(1, 10) - held), abs=1e-3)


METALS = [row for row in FRICTION if 2 in (row["pair"].count("metal"), row["pair"].count("steel"))]


@pytest.mark.parametrize("row", METALS, ids=[title(row, "pair") for row in METALS])
def test_friction_at_a_head(row: Row) -> None:
    """A head of metal on metal just holds where the strut is off square by the angle of the coefficient, to 1e-6."""
    for mu in _printed(row):
        slip = asked(vertical=1000, face=f"{60 - math.degrees(math.atan(mu)):.9f}").slip.head
        assert float(slip or 0) == pytest.approx(float(mu), abs=1e-6)


def test_carry_weights() -> None:
    """OCCERG-46 and CCOHS: 51 lb or 23 kg for one; with HSE-L23 two carry two thirds of their sum: so says ``stage``.

    51 lb are 23.13 kg, printed to a whole one; 2/3 is printed 0.6667, which is 0.01 lb of the sum.
    """
    found = api.stage(tidy(), read_rules(), sets=1, suppose=api.WhatIf(on=date(2026, 4, 1)))
    one, two = found.one_person, found.two_persons
    assert one is not None
    assert two is not None

    constants = [row for row in rows("manual_handling") if "load constant" in row["item"]]
    for row in constants:
        if row["unit"] == "lb":
            assert one == mass_kg(f"{row['value']} lb")
        else:
            assert round(one) == int(row["value"])
    (share,) = (Fraction(row["value"]) for row in rows("manual_handling") if row not in constants)
    assert float(two / KG_PER_LB) == pytest.approx(float(2 * one * share / KG_PER_LB), abs=0.01)
