"""Laws of a situation solved: balance of base and vehicle, scaling, mirrors, and one line of pull said two ways."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from cache_check.loads.conventions import settled
from cache_check.loads.solve import Setup, forces, per_load, setup_of, shape_of, unit_forces
from cache_check.model.load import Forces
from cache_check.model.situation import Situation
from laws.strategies import SETTINGS

INCH = 25_400_000
NONE = Fraction(0)
CLOSE = 1e-7


@st.composite
def _situations(draw: st.DrawFn, *, kinds: tuple[str, ...] = ("vertical", "overturning")) -> Situation:
    """A contact of 20 to 100 in, 30 to 75 deg, two straps that may rise, with a load of some kind."""
    fields: dict[str, Any] = {
        "contact_height": draw(st.integers(20, 100)) * INCH,
        "ground_drop": draw(st.integers(-10, 10)) * INCH,
        "angle": Fraction(draw(st.integers(300, 750)), 10),
        "half_angles": [f"{draw(st.integers(5, 45))} left", f"{draw(st.integers(5, 45))} right"],
        "rise": [Fraction(draw(st.integers(-15, 15))), Fraction(draw(st.integers(-15, 15)))],
    }
    if draw(st.sampled_from(kinds)) == "vertical":
        fields["vertical"] = Fraction(draw(st.integers(100, 50_000)))
    else:
        fields["weight"] = Fraction(draw(st.integers(100, 50_000)))
        fields["weight_outside"] = draw(st.integers(1, 60)) * INCH
        fields["contact_x"] = draw(st.integers(0, 40)) * INCH
    return _read(fields)


def _read(fields: dict[str, Any]) -> Situation:
    plain = {name: value for name, value in fields.items() if name not in ("half_angles", "rise")}
    angles = [{"size": Fraction(text.split()[0]), "side": text.split()[1]} for text in fields["half_angles"]]
    return Situation.model_validate(plain | {"half_angles": angles, "rise": fields["rise"]})


def _unit(setup: Setup, one: Situation) -> Forces:
    assert one.loaded != "unknown"
    return unit_forces(setup, per_load(setup, one.loaded), NONE)


def _solved(one: Situation) -> tuple[Setup, Forces]:
    """Places and forces; a rig without balance is not drawn."""
    setup = setup_of(one, shape_of(one), one.plan_angles)
    try:
        unit = _unit(setup, one)
    except ValueError:
        assume(False)
        raise
    whole = one.vertical if one.vertical is not None else one.weight
    assert whole is not None
    return setup, forces(setup, unit, whole, whole, "one strut")


@SETTINGS
@given(_situations())
def test_the_base_is_in_balance(one: Situation) -> None:
    """Along the ground the straps hold what the strut pushes out; across it they are even."""
    setup, found = _solved(one)
    assume(found.governs_thrust == "statics")
    pulls = [float(found.thrust_checked) * unit for unit in setup.unit]
    along = math.fsum(pull * strap.forward for pull, strap in zip(pulls, setup.straps, strict=True))
    across = math.fsum(pull * strap.sideways for pull, strap in zip(pulls, setup.straps, strict=True))
    lift = math.fsum(pull * strap.upward for pull, strap in zip(pulls, setup.straps, strict=True))
    angle = math.radians(float(setup.angle))

    assert along == pytest.approx(float(found.axial_checked) * math.cos(angle), rel=CLOSE)
    assert across == pytest.approx(0, abs=CLOSE * along)
    assert float(found.base_reaction) == pytest.approx(float(found.axial_checked) * math.sin(angle) - lift, rel=CLOSE)


@SETTINGS
@given(_situations(kinds=("overturning",)))
def test_the_vehicle_is_in_balance_about_its_pivot(one: Situation) -> None:
    """Weight times lever is the strut's moment less what the straps pull the vehicle over."""
    setup, found = _solved(one)
    assume(setup.base[0] - setup.contact[0] > 0)
    strut = float(found.axial_with_straps)
    angle = math.radians(setup.angle)
    thrust = strut * math.cos(angle)
    held = strut * (setup.contact[0] * math.sin(angle) + setup.contact[1] * math.cos(angle))
    for strap, unit in zip(setup.straps, setup.unit, strict=True):
        # The strap pulls the vehicle away from it: its line goes through the base, which serves as its place.
        held -= thrust * unit * (setup.base[1] * strap.forward + setup.base[0] * strap.upward)

    assert one.weight is not None
    assert one.weight_outside is not None
    assert held == pytest.approx(float(one.weight) * one.weight_outside, rel=1e-6)


@SETTINGS
@given(_situations(), st.integers(2, 9))
def test_forces_are_in_proportion_to_the_load(one: Situation, times: int) -> None:
    """So many times the load gives exactly so many times each force."""
    setup, found = _solved(one)
    unit = _unit(setup, one)
    more = forces(setup, unit, found.share * times, found.whole * times, "one strut")

    for name in ("vertical", "axial", "thrust", "axial_checked", "thrust_checked", "bearing"):
        assert getattr(more, name) == getattr(found, name) * times


@SETTINGS
@given(_situations())
def test_left_and_right_are_alike(one: Situation) -> None:
    """The mirror of a situation has the same forces."""
    mirrored = one.changed(
        half_angles=tuple(angle.changed(side="left" if angle.side == "right" else "right") for angle in one.half_angles)
    )

    assert _solved(mirrored)[1] == _solved(one)[1]


@SETTINGS
@given(_situations(), st.integers(5, 40))
def test_an_anchor_may_lie_anywhere_on_its_line(one: Situation, inches: int) -> None:
    """Straps given by angles and by anchors on the same lines pull alike."""
    setup, found = _solved(one)
    places = [
        {
            "x": round(setup.base[0] - inches * INCH * strap.forward),
            "y": round(setup.base[1] + inches * INCH * strap.upward),
            "z": round(inches * INCH * strap.sideways),
        }
        for strap in setup.straps
    ]
    by_place = Situation.model_validate(
        {name: getattr(one, name) for name in one.model_fields_set - {"half_angles", "rise"}} | {"anchors": places}
    )
    again = _solved(by_place)[1]

    assert float(again.axial_checked) == pytest.approx(float(found.axial_checked), rel=1e-6)
    assert float(again.thrust_checked) == pytest.approx(float(found.thrust_checked), rel=1e-6)


@SETTINGS
@given(_situations(kinds=("vertical",)), st.integers(1, 10))
def test_a_steeper_strut_carries_an_upright_share_with_less(one: Situation, more: int) -> None:
    """A vertical share takes less along a steeper strut, and pushes its base out less."""
    level = one.changed(rise=(NONE, NONE))
    assert level.angle is not None
    steep = level.changed(angle=min(Fraction(89), level.angle + more))
    flat_forces, steep_forces = _solved(level)[1], _solved(steep)[1]

    assert steep_forces.axial < flat_forces.axial
    assert steep_forces.thrust < flat_forces.thrust
    assert flat_forces.axial >= flat_forces.vertical


@SETTINGS
@given(_situations())
def test_checked_is_never_less_than_statics_alone(one: Situation) -> None:
    """Whatever the straps do, no less is checked than what the strut alone would see; level ones change nothing."""
    _, found = _solved(one)
    level = one.changed(rise=(NONE, NONE), ground_drop=0)

    assert found.axial_checked >= found.axial
    assert settled(float(_solved(level)[1].axial_checked)) == settled(float(_solved(level)[1].axial))
