"""Values of the equations worked out by hand, each where a sign, a bound or a factor turned over would show."""

from __future__ import annotations

import math
from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from builders import needs_of, tidy

import cache_check as api
from cache_check.files.rules import read_rules
from cache_check.loads import chart, conventions, demand, geometry, triangle
from cache_check.loads.capacity import of_strength
from cache_check.loads.chart import DesignFactor, Flaw, Row
from cache_check.loads.restraint import Strap
from cache_check.loads.solve import per_load, pretension_turns, push_left, ratio, setup_of, shape_of
from cache_check.model.part import Strength
from cache_check.model.situation import Situation
from cache_check.planning.packing.muster import Muster
from cache_check.units import NEWTON_PER_LBF

ROOT = math.sqrt(3)


@pytest.mark.parametrize(
    ("found", "by_hand"),
    [
        # A strap 30 deg off the line and 60 deg up: sin 30 cos 60.
        (lambda: Strap(30, 60).sideways, 0.25),
        # tan 60: a strut at 60 deg against an upright face.
        (lambda: demand.head_friction_needed(60, 0), ROOT),
        (lambda: demand.head_friction_needed(89.5, 0), 114.588650),  # tan 89.5, by the tables
        # Angles up to a millionth of a degree from upright are answered.
        (lambda: Strap(0, 89.5).rise_deg, 89.5),
        (lambda: Strap(0, -89.5).rise_deg, -89.5),
        (lambda: geometry.height_above_seat(1, -0.5), 0.5),
        (lambda: Strap(89.5, 0).plan_angle_deg, 89.5),
        (lambda: conventions.strut_angle(89.5, upright=False), 89.5),
        (lambda: demand.sideways_by_practice(100, 45), 150),
        # Level, one straight back and 2 long, two at 45 deg and 2 sqrt 2 long: stretched by the square root of 1/2 of
        # the first's, and as much softer, so each holds half as much.
        (lambda: _shared((2, 0, 0), (2, 0, 2), (2, 0, -2)), [0.5, 0.5]),
        # cos 30 - 0.5 (sin 30 - t / 4) = t, for a strap that rises 30 deg and pulls 1/2 for a thrust of 1.
        (lambda: triangle.held_by_straps(30, [Strap(0, 30)], [0.5], 0.5), (ROOT / 2 - 0.25) / (1 - 0.125)),
        # The strut at 45 deg, one strap straight back and level, tightened to 100: 141 in the strut, whose line passes
        # 3 / sqrt 2 from the pivot, so 300; the strap's anchor is 1 under the pivot and adds its 100.
        (lambda: triangle.pretension_moment((1, 2), (4, -1), [(0, -1, 0)], [100]), (100 * math.sqrt(2), 400)),
    ],
)
def test_a_value_by_hand(found: object, by_hand: object) -> None:
    """What the equation gives is what the sum on paper gives."""
    assert callable(found)
    assert found() == pytest.approx(by_hand)


def _shared(*anchors: tuple[float, float, float]) -> list[float]:
    """What each further strap of a strut at 45 deg holds, of what the first does."""
    solved = triangle.solve_triangle(9, 1, (0, 4), (4, 0), anchors)
    return [one / solved.straps[0] for one in solved.straps[1:]]


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (lambda: demand.struts_needed(1, 1, 0), "minimum is 0; it must be a whole number"),
        (lambda: demand.struts_needed(1, 1, True), "minimum is True"),
        (lambda: demand.struts_needed(1, 1, 1.5), "minimum is 1.5"),  # type: ignore[arg-type]
        (lambda: chart.lowest_load([Row(48, (1,))], 40, 40, -1), "extensions is -1; it must be a whole number"),
        (
            lambda: chart.lowest_load([Row(48, (1,))], 40, 30, 0),
            "longest length is 30; it must be at least the shortest",
        ),
        (
            lambda: list(chart.unrated_spans([Row(48, (1,))], 0, 40, 30)),
            "open length is 30; it must be at least the closed",
        ),
        (lambda: demand.holding_arm(-1, 1, 45), "holding arm is"),
        (lambda: triangle.pretension_moment((1, 2), (0.5, 0), [], []), "base x is 0.5; it must be at least"),
        # The strap pulls 1.8 at 30 deg up, so lifts 0.9.
        (lambda: triangle.held_by_straps(30, [Strap(0, 30)], [1.8], 1.5), "under 1.11111: straps as steep"),
    ],
)
def test_a_refusal_says_what_would_be_right(asked: object, says: str) -> None:
    """Name, value and range stand in the sentence."""
    assert callable(asked)
    with pytest.raises(ValueError, match=says):
        asked()


@pytest.mark.parametrize(
    ("rows", "flaw"),
    [
        ([Row(48, (10, 11))], Flaw("rises with extensions", 0, 1, against=0, most=10)),
        ([Row(48, (10, 9)), Row(60, (11, 8))], Flaw("rises with length", 1, 0, against=0, most=10)),
        ([Row(48, (10, 9)), Row(60, (None, 11))], Flaw("rises with length", 1, 1, against=0, most=9)),
        ([Row(48, (10, None)), Row(60, (9, 11))], Flaw("rises with extensions", 1, 1, against=1, most=9)),
        ([Row(48, (8, None)), Row(60, (None, 11))], Flaw("rises with length and extensions", 1, 1, against=0, most=8)),
        ([Row(48, (10, 0))], Flaw("length or load not over 0", 0, 1, least=0)),
        ([Row(0, (10,))], Flaw("length or load not over 0", 0, least=0)),
        ([Row(48, (100, 50)), Row(60, (80, 70))], Flaw("rises with length", 1, 1, against=0, most=50)),
        ([Row(60, (10,)), Row(48, (9,))], Flaw("rows not sorted by length", 1, None, 0, 60)),
    ],
)
def test_what_is_wrong_with_a_chart(rows: list[Row], flaw: Flaw) -> None:
    """Each cell that rises, by what it rises along and against which row."""
    assert chart.flaws(rows) == [flaw]
    assert chart.flaws([Row(1, (1,))]) == []


@pytest.mark.parametrize(
    ("strength", "at_two"),
    [
        ({"failure_load": 40}, 20), ({"rated_load": 12, "factor": 4}, 24), ({"rated_load": 12}, None),
    ],
)  # fmt: skip
def test_a_part_of_its_own_strength(strength: dict[str, Any], at_two: int | None) -> None:
    """A failure load over the factor; a rated load times its own factor over ours; without one, unrated."""
    given = {"failure_load": None, "rated_load": None, "factor": None, **strength}

    assert of_strength(Strength.model_construct(**given), DesignFactor(Fraction(2), said=True)) == at_two


def test_the_link_of_a_strength_names_its_part() -> None:
    """A head that fails at 9,000 lbf is good for 4,500 at 2:1, whatever the chart says."""
    cache = tidy(parts={"head": {"strength": {"failure_load": 9000}}})
    muster = Muster(cache, read_rules(), date(2026, 4, 1))
    assembly = next(iter(muster.joined.assemblies()))
    at, two = assembly.closed, DesignFactor(Fraction(2), said=True)
    (link,) = [one for one in muster.capacity.links(assembly, at, at, two) if one.name == "head"]

    assert (link.part, link.rated, link.at) == ("T/head", 4500 * NEWTON_PER_LBF, Fraction(2))


def test_places_are_from_the_pivot_and_a_strap_meets_the_vehicle_above_its_base() -> None:
    """A pivot 10 up, ground 6 lower at the base: 16 under the pivot; at 45 deg a strap rises by what it runs back."""
    one = Situation.model_construct(
        contact_height=54, pivot_height=10, ground_drop=6, contact_x=1, base_offset=60, angle=None, anchors=(),
        angle_from_vertical=None, half_angles=(), rise=(Fraction(45),), pretension=(),
    )  # fmt: skip
    setup = setup_of(one, shape_of(one), (Fraction(0),))
    ((x, y, z),) = setup.anchors

    assert (setup.contact, setup.base) == ((1, 44), (61, -16))
    assert (y + 16, z) == pytest.approx((61 - x, 0))
    assert y > -16
    assert setup.worst == pytest.approx((1 / setup.straps[0].forward,))


@pytest.mark.parametrize(("friction", "axial"), [(0, 2.0), (Fraction(1, 5), 1.8)])
def test_friction_that_counts_relieves_a_strut_that_its_straps_pull_down(friction: Fraction, axial: float) -> None:
    """At 45 deg a strap rising 1 in 2 takes half of what the strut lifts; with 0.2 counted, 0.5 x 0.8 / 0.9 of it."""
    one = Situation.model_construct(
        contact_height=60, pivot_height=0, ground_drop=0, contact_x=0, base_offset=60, angle=None, anchors=(),
        angle_from_vertical=None, half_angles=(), rise=(Fraction(math.degrees(math.atan(0.5))),), pretension=(),
        friction=friction,
    )  # fmt: skip
    each = per_load(setup_of(one, shape_of(one), (Fraction(0),)), "vertical")

    assert (each.axial, each.with_straps) == pytest.approx((math.sqrt(2), axial * math.sqrt(2)))


@pytest.mark.parametrize(("share", "left"), [(None, 0), (Fraction(1, 4), 0), (Fraction(1, 2), Fraction(1, 8))])
def test_what_is_left_of_a_push_is_never_less_than_none(share: Fraction | None, left: Fraction) -> None:
    """Pushed 40 up, a weight 20 inside its edge stands half of itself; where no share is said nothing pushes it."""
    one = Situation.model_construct(
        contact_height=40, weight_inside=20, pivot_height=0, sideways_share=share, dynamic_allowance=Fraction(5, 4)
    )

    assert push_left(one) == left


@pytest.mark.parametrize(
    ("rise", "edge", "moment"),
    [
        # The strut alone, sqrt(2) x 100 with an arm of 3 / sqrt(2), makes 300; a level strap 1 under it makes 100.
        (0, 0, 400), (0, 3, 600),
        # A strap along the strut pulls all of it down again, which is no relief.
        (45, 0, 300),
    ],
)  # fmt: skip
def test_pretension_turns_the_vehicle_by_strut_and_low_straps(rise: int, edge: int, moment: int) -> None:
    """Contact at (1, 2), base at (4, -1): what the strut pushes, and what straps add to it; no relief."""
    one = Situation.model_construct(
        contact_height=2, pivot_height=0, ground_drop=1, contact_x=1, base_offset=3, angle=None, anchors=(),
        angle_from_vertical=None, half_angles=(), rise=(Fraction(rise),), pretension=(),
    )  # fmt: skip
    setup = setup_of(one, shape_of(one), (Fraction(0),))
    tight = Fraction(100) if not rise else ratio(100 * math.sqrt(2))

    assert pretension_turns(setup, (tight,), setup.straps, edge) == pytest.approx(moment)


@pytest.mark.parametrize(
    ("strength", "verdict"),
    [
        ({"rated_load": 9000}, "not known"),
        ({"rated_load": 9000, "factor": 2}, "met"),
        ({"failure_load": 9000}, "not met"),
    ],
)
def test_a_head_that_states_its_strength_caps_the_strut(strength: dict[str, Any], verdict: str) -> None:
    """5,000 at 2:1: marked at no factor nobody knows, marked at 2:1 it holds, failing at 9,000 it is good for 4,500."""
    cache, needs = tidy(parts={"head": {"strength": strength}}), needs_of([{"at": 40, "load": 5000}])

    (told,) = api.check(cache, read_rules(), needs=needs).tallies
    asked = [link.ask for link in told.links if link.name == "head"]

    assert (told.verdict, asked) == (verdict, ["ask the maker"] if verdict == "not known" else [])
