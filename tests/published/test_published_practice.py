"""Facts of the trade, through the command's own verb.  Source of all: common practice, no source.

Beside each stands what statics says of it, which is plain trigonometry.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest
from builders import change, loaded, tidy

from cache_check.model.load import Comparison, LoadResult
from cache_check.units import NEWTON_PER_LBF

HALF, SIDEWAYS = "Half left by one end pivoting", "Sideways load at 45 deg"


def at_45(vertical: int = 10_000, **more: Any) -> LoadResult:
    """A strut at 45 deg that lifts so much (lbf), straps of 3,300 lbf along its line unless said otherwise."""
    cache = tidy(parts={"strap": {"wll": 3300}}, counts={"strap": 40})
    place = {"contact_height": 35, "angle": 45, "vertical": vertical, "half_angles": 0}
    return loaded(cache, change("STR-3", on=False), **place | more)


def compared(result: LoadResult, what: str) -> Comparison:
    """The short cut of that name beside the statics."""
    [found] = [one for one in result.comparisons if one.what == what]
    return found


def pounds(newtons: Fraction | None) -> Fraction | None:
    """A force in lbf."""
    return None if newtons is None else newtons / NEWTON_PER_LBF


def test_one_end_pivoting_leaves_half_the_weight() -> None:
    """20,000 lb with one end pivoting leaves 10,000; statics has no figure while the lever is not known."""
    result = loaded(tidy(), contact_height=40, angle=60, weight=20_000, one_end_pivots=True)
    half = compared(result, HALF)

    assert pounds(half.practice) == 10_000
    assert half.statics is None
    assert "lever" in half.differ
    assert result.forces is not None
    assert pounds(result.forces.vertical) == 10_000


def test_at_four_thousand_a_strut_that_takes_three() -> None:
    """10,000 lbf left at 4,000 lbf a strut take three struts, by equal share."""
    limited: dict[str, Any] = {"weight": 20_000, "one_end_pivots": True, "strut_limit": 4000, "vehicle": "car"}
    result = loaded(tidy(), contact_height=40, angle=60, **limited)

    assert result.wanted is not None
    assert (result.wanted.count, result.wanted.by_load) == (3, 3)
    assert pounds(result.wanted.each) == 4000
    assert "NUM-1" in {finding.rule for finding in result.findings}


@pytest.mark.parametrize(("outside", "governs"), [(20, "practice"), (50, "statics")])
def test_half_beside_statics_the_more_severe_is_checked(outside: int, governs: str) -> None:
    """Contact 80 in out from the pivot: half is right for a weight 40 in out, too much before, too little past it."""
    result = loaded(
        tidy(), contact_height=40, angle=90, contact_x=80, weight=20_000, weight_outside=outside, one_end_pivots=True,
        strut_limit=4000, vehicle="car",
    )  # fmt: skip
    half = compared(result, HALF)

    assert result.forces is not None
    assert pounds(half.statics) == pytest.approx(20_000 * outside / 80)
    severe = half.practice if governs == "practice" else half.statics
    assert severe == max(half.practice, half.statics or 0)
    assert result.forces.axial_checked == severe
    assert result.wanted is not None
    assert result.wanted.by_load == math.ceil(severe / (4000 * NEWTON_PER_LBF))


def test_weight_times_lever_over_contact_offset_beside_statics() -> None:
    """2,000 lb 30 in out, contact 20 out and 40 up, 60 deg: 3,000 lifted by practice; 60,000 / 37.32 sin 60 by all."""
    result = loaded(tidy(), contact_height=40, angle=60, contact_x=20, weight=2000, weight_outside=30)
    beside = compared(result, "Weight times lever over contact offset")
    along = 60_000 / (20 * math.sin(math.radians(60)) + 40 * math.cos(math.radians(60)))

    assert pounds(beside.practice) == 3000
    assert float(pounds(beside.along_strut) or 0) == pytest.approx(along)
    assert float(pounds(beside.statics) or 0) == pytest.approx(along * math.sin(math.radians(60)))


def test_at_45_deg_the_sideways_load_is_one_and_a_half_times_the_vertical() -> None:
    """10,000 gives 15,000 by practice; statics gives 1.00 along the ground and 1.41 along the strut, and says why."""
    result = at_45()
    beside = compared(result, SIDEWAYS)

    assert pounds(beside.practice) == 15_000
    assert pounds(beside.statics) == 10_000
    assert float(pounds(beside.along_strut) or 0) == pytest.approx(10_000 * math.sqrt(2))
    assert "1.00" in beside.differ
    assert "1.41" in beside.differ
    assert result.forces is not None
    assert pounds(result.forces.thrust_checked) == 15_000
    assert result.forces.governs_thrust == "practice"


def test_straps_of_3300_then_take_five() -> None:
    """15,000 lbf on straps of 3,300 take five along the strut's line, where statics would take four."""
    result = at_45()
    way = result.ties[-1]
    beside = compared(result, SIDEWAYS)

    assert way.per_base == 5
    assert {run.plan_angle_deg for run in way.runs} == {0}
    assert (beside.ties_by_practice, beside.ties_by_statics) == (5, 4)


@pytest.mark.parametrize(("half_angle", "count"), [(15, 6), (30, 6), (45, 8)])
def test_more_straps_if_they_spread(half_angle: int, count: int) -> None:
    """The wider they spread the more it takes: the fewest of which the worst sees no more than 3,300."""
    way = at_45(half_angles=half_angle).ties[-1]

    assert way.per_base == count
    assert pounds(way.tension) == pytest.approx(_fan(15_000, half_angle, count))
    assert _fan(15_000, half_angle, count) <= 3300 < _fan(15_000, half_angle, count - 2)


def _fan(thrust: float, half_angle: float, count: int) -> float:
    """The tension of like straps in pairs; an odd one on the strut's line might have to take it all."""
    return thrust / (2 * math.cos(math.radians(half_angle))) / (count // 2)


def test_the_short_cut_is_said_of_45_deg_only() -> None:
    """At 44 and 46 deg there is no short cut to show, and statics alone is checked."""
    for angle in (44, 46):
        result = loaded(tidy(), contact_height=35, angle=angle, vertical=3000, half_angles=30)
        assert result.comparisons == ()
        assert result.forces is not None
        assert result.forces.governs_thrust == "statics"
