"""Bad input: every equation refuses what it cannot answer, and says name, value and range."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import pytest

from cache_check.loads import chart, demand, geometry, restraint, triangle
from cache_check.loads.restraint import Strap

V = (Strap(30.0, 10.0), Strap(-30.0, 10.0))


@dataclass(frozen=True)
class Ask:
    """One equation, arguments that it answers, and for some of them values that it must refuse."""

    equation: Callable[..., Any]
    good: tuple[Any, ...]
    bad: tuple[tuple[int, Any], ...]


ASKS = [
    Ask(geometry.height_above_seat, (52.0, 6.0), ((0, 0), (0, -5), (1, -52), (1, -60))),
    Ask(geometry.strut_length, (48.0, 81.0), ((0, 0), (0, -48), (1, -1))),
    Ask(geometry.strut_angle_deg, (48.0, 81.0), ((0, 0), (0, -48), (1, -1))),
    Ask(geometry.length_at_angle, (48.0, 60.0), ((0, 0), (1, 0), (1, -30), (1, 90.5), (1, 120), (1, 1e-9))),
    Ask(geometry.offset_at_angle, (48.0, 60.0), ((0, -1), (1, 0), (1, -30), (1, 120))),
    Ask(geometry.angle_of_length_deg, (60.0, 48.0), ((0, 47.9), (0, 0), (1, 0), (1, 61))),
    Ask(demand.axial_from_vertical, (1000.0, 60.0), ((0, -1), (1, 0), (1, -10), (1, 91))),
    Ask(demand.thrust_from_vertical, (1000.0, 60.0), ((0, -1), (1, 0), (1, 91))),
    Ask(demand.holding_arm, (1.0, 2.0, 60.0), ((0, -4), (1, -2), (2, 0), (2, 91))),
    Ask(demand.lateral_floor, (1e4, 0.02), ((0, -1), (1, -0.1))),
    Ask(demand.half_left_by_pivoting, (20_000.0,), ((0, -1),)),
    Ask(demand.sideways_at_45_deg, (10_000.0,), ((0, -1),)),
    Ask(demand.sideways_by_practice, (10_000.0, 45.0), ((0, -1), (1, 0), (1, 91))),
    Ask(demand.two_strut_shares, (1e4, 0.0, 3.0, 1.0), ((0, -1), (1, 3), (3, -0.1), (3, 3.1))),
    Ask(demand.struts_needed, (1e4, 4e3), ((0, -1), (1, 0), (1, -4e3))),
    Ask(demand.foot_friction_needed, (60.0,), ((0, 0), (0, 91))),
    Ask(demand.head_friction_needed, (60.0, 0.0), ((0, 0), (0, 90), (1, -1), (1, 91))),
    Ask(chart.least_by_euler, (1000, 48, 96), ((0, 0), (1, 0), (2, 47))),
    Ask(chart.rated_from_ultimate, (24_000, 4), ((0, -1), (1, 0), (1, -4))),
]


def _named(ask: Ask) -> str:
    return ask.equation.__name__


@pytest.mark.parametrize("ask", ASKS, ids=_named)
def test_good_arguments_are_answered(ask: Ask) -> None:
    """The arguments that the refusals start from are themselves fine, and the answer is finite."""
    answer = ask.equation(*ask.good)
    numbers = answer if isinstance(answer, tuple) else (answer,)

    assert all(math.isfinite(number) for number in numbers if isinstance(number, int | float))


@pytest.mark.parametrize(
    ("ask", "place", "value"),
    [(ask, place, value) for ask in ASKS for place, value in ask.bad],
    ids=lambda part: _named(part) if isinstance(part, Ask) else str(part),
)
def test_out_of_range_is_refused(ask: Ask, place: int, value: float) -> None:
    """Negative, zero, past 90 degrees and impossible shapes raise a sentence with value and range."""
    arguments = (*ask.good[:place], value, *ask.good[place + 1 :])

    with pytest.raises(ValueError, match=r" (is|are) .*; (it|they|there) must be ") as refusal:
        ask.equation(*arguments)
    assert any(str(argument) in str(refusal.value) for argument in arguments)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, 1e300, True, "12", None])
@pytest.mark.parametrize(
    ("ask", "place"),
    [(ask, place) for ask in ASKS for place in range(len(ask.good))],
    ids=lambda part: _named(part) if isinstance(part, Ask) else str(part),
)
def test_what_is_no_number_is_refused(ask: Ask, place: int, value: object) -> None:
    """NaN, infinities, absurd sizes, truth values, text and nothing are refused in every place."""
    arguments = (*ask.good[:place], value, *ask.good[place + 1 :])

    with pytest.raises(ValueError, match="must be"):
        ask.equation(*arguments)


def test_the_sentence_names_value_and_range() -> None:
    """One refusal, word for word."""
    with pytest.raises(ValueError) as refusal:  # noqa: PT011 - the whole sentence is compared below
        demand.axial_from_vertical(1000, 120)

    assert str(refusal.value) == "angle from the horizontal, deg, is 120; it must be over 0 and at most 90"


STEEP = Strap(0.0, 70.0)
ROWS = [chart.Row(48, (100,))]


@pytest.mark.parametrize(
    ("equation", "arguments", "says"),
    [
        (triangle.held_by_straps, (45, [STEEP], [1 / STEEP.forward], 0.5),
         "friction counted is 0.5; it must be under 0.36397: straps as steep as these lift the base off its friction"),
        (triangle.solve_triangle, (1, 1, (0.5, 2.0), (0.4, 0.0), ()),
         "base x is 0.4; it must be at least the contact's, 0.5"),
        (geometry.strap_angles_deg, ((1.0, 0.0, 0.0), (0.0, 7.0, 2e6)),
         "anchor x is 0.0; it must be under the base's x, 1.0, toward the vehicle"),
        (geometry.angle_of_length_deg, (47, 48),
         "length is 47; it must be at least the height, 48, for the strut to reach from seat to contact"),
        (restraint.strut_force, ([Strap(0)], [1], 90 - 1e-7),
         "angle from the horizontal, deg, is 89.9999999; it must be at least 1e-6 from 0 and from 90"),
        (restraint.shared_tensions, (1, [Strap(0)] * 11), "number of straps is 11; it must be from 1 to 10"),
        (chart.lowest_load, (ROWS, 50, 40, 0), "longest length is 40; it must be at least the shortest, 50"),
        (chart.lowest_load, (ROWS, 40, 50, -1), "extensions is -1; it must be a whole number, 0 or more"),
        (chart.least_by_euler, (1, 60, 48), "longer length is 48; it must be at least the length, 60"),
        (chart.rated_from_ultimate, (1, 0.5), "design factor is 0.5; it must be at least 1"),
        (chart.rated_at_factor, (1, 0.5, chart.DesignFactor(Fraction(2))),
         "stated factor is 0.5; it must be at least 1"),
        (demand.struts_needed, (1, 1, 0), "minimum is 0; it must be a whole number, 1 or more"),
        (demand.two_strut_shares, (1, 0, 4, -1), "load's place is -1; it must be between the struts, 0 to 4"),
    ],
)  # fmt: skip
def test_refusals_word_for_word(equation: Callable[..., Any], arguments: tuple[Any, ...], says: str) -> None:
    """Each names what is wrong, what it is held against and what would be right."""
    with pytest.raises(ValueError, match=f"^{re.escape(says)}$"):
        equation(*arguments)


@pytest.mark.parametrize(("extensions", "closed", "opened"), [(-1, 40, 50), (0, 0, 50), (0, 50, 49)])
def test_spans_of_no_assembly_are_refused(extensions: int, closed: int, opened: int) -> None:
    """Fewer than no extensions, no length, or open shorter than closed."""
    with pytest.raises(ValueError, match="must be"):
        list(chart.unrated_spans(ROWS, extensions, closed, opened))


@pytest.mark.parametrize(
    "angles", [(30.0, 20.0), (-30.0,), (10.0, 20.0, 80.0), (-1.0, -60.0)], ids=lambda angles: str(angles)
)
def test_straps_on_one_side_are_refused(angles: tuple[float, ...]) -> None:
    """Both straps on one side hold nothing: refused, with the angles named."""
    from cache_check.loads.restraint import shared_tensions, worst_tensions

    straps = [Strap(angle) for angle in angles]
    for equation in (shared_tensions, worst_tensions):
        with pytest.raises(ValueError, match="both sides") as refusal:
            equation(1000, straps)
        assert f"{angles[0]:g}" in str(refusal.value)


@pytest.mark.parametrize("field", [(90.0, 0.0, 1.0), (0.0, 90.0, 1.0), (0.0, 0.0, 0.0), (math.nan, 0.0, 1.0)])
def test_a_strap_that_cannot_be(field: tuple[float, float, float]) -> None:
    """A strap square to the thrust, upright or without stiffness is refused when it is written down."""
    with pytest.raises(ValueError, match="must be"):
        Strap(*field)


LOW = ((0.0, 0.3, 0.8), (0.0, 0.3, -0.8))


@pytest.mark.parametrize(
    ("contact", "base", "anchors", "friction"),
    [
        ((0.5, 2.0), (0.4, 0.0), LOW, 0.0),
        ((0.5, 2.0), (2.5, 2.0), LOW, 0.0),
        ((0.5, 2.0), (2.5, 3.0), LOW, 0.0),
        ((0.5, -1.0), (2.5, -2.0), LOW, 0.0),
        ((0.5, 2.0), (2.5, 0.0), ((2.5, 0.3, 0.8), (0.0, 0.3, -0.8)), 0.0),
        ((0.5, 2.0), (2.5, 0.0), ((3.0, 0.3, 0.8), (0.0, 0.3, -0.8)), 0.0),
        ((0.5, 2.0), (2.5, 0.0), ((0.0, 0.3, 0.8), (0.0, 0.3, 0.1)), 0.0),
        ((0.5, 2.0), (2.5, 0.0), (), 0.0),
        ((0.5, 2.0), (2.5, 0.0), ((0.5, 3.0, 0.8), (0.5, 3.0, -0.8)), 0.0),
        ((0.5, 2.0), (2.5, 0.0), LOW, -0.1),
        ((0.5, math.nan), (2.5, 0.0), LOW, 0.0),
        ((0.1, 0.4), (3.0, 0.0), ((2.4, 3.0, 0.8), (2.4, 3.0, -0.8)), 2.0),
    ],
    ids=[
        "base under the vehicle",
        "base level with contact",
        "base above contact",
        "contact under the pivot",
        "strap square to thrust",
        "strap away from vehicle",
        "both on one side",
        "no straps",
        "anchor above the strut",
        "negative friction",
        "not a number",
        "straps lift the base off its friction",
    ],
)
def test_impossible_triangles(
    contact: tuple[float, float],
    base: tuple[float, float],
    anchors: tuple[tuple[float, float, float], ...],
    friction: float,
) -> None:
    """A rig that cannot stand or cannot be is refused, never answered with a negative force."""
    with pytest.raises(ValueError, match="must"):
        triangle.solve_triangle(10_000, 1.0, contact, base, anchors, friction_counted=friction)
