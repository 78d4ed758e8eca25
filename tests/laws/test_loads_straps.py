"""Laws of straps on one base, on random layouts; scipy as an independent solver."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import linprog, nnls

from cache_check.loads.restraint import (
    Strap,
    base_reaction,
    shared_tensions,
    strap_pull,
    tensions_with_one_lost,
    worst_by_line,
    worst_tensions,
)

HALF = st.floats(0.5, 85)
RISE = st.floats(-60, 60)
FORCE = st.floats(1, 1e5)
STIFF = st.floats(0.2, 5)


@st.composite
def _layouts(draw: st.DrawFn) -> list[Strap]:
    """Two to six straps, at least one on each side."""
    left = draw(st.lists(HALF, min_size=1, max_size=3))
    right = draw(st.lists(HALF, min_size=1, max_size=3))
    angles = draw(st.permutations([*left, *(-angle for angle in right)]))
    return [Strap(angle, draw(RISE), draw(STIFF)) for angle in angles]


def _balance(straps: list[Strap]) -> np.ndarray:
    return np.array([[s.forward for s in straps], [s.sideways for s in straps]])


@given(_layouts())
def test_shared_tensions_store_the_least_energy(straps: list[Strap]) -> None:
    """Against scipy: among balances without pushing, the division by stiffness stores the least energy."""
    tensions = np.array(shared_tensions(1, straps))
    balance, roots = _balance(straps), np.sqrt([s.stiffness for s in straps])
    weight = 1e6
    stacked = np.vstack([weight * balance * roots, np.eye(len(straps))])
    found, _ = nnls(stacked, np.array([weight, 0.0, *([0.0] * len(straps))]))

    assert np.min(tensions) >= 0
    assert balance @ tensions == pytest.approx([1, 0], abs=1e-6)
    assert tensions / roots == pytest.approx(found, abs=1e-4 * max(1.0, float(np.max(found))))


@given(_layouts())
def test_shared_tensions_without_slack_are_least_norm(straps: list[Strap]) -> None:
    """Where no strap goes slack, the division is linear algebra's least weighted norm."""
    tensions = shared_tensions(1, straps)
    assume(min(tensions) > 1e-6)
    roots = np.sqrt([s.stiffness for s in straps])
    least, *_ = np.linalg.lstsq(_balance(straps) * roots, np.array([1.0, 0.0]), rcond=None)

    assert tensions == pytest.approx(least * roots, rel=1e-6, abs=1e-9)


@given(_layouts())
def test_worst_tensions_against_linear_programmes(straps: list[Strap]) -> None:
    """Against scipy: each worst tension is the greatest that any balance without pushing allows."""
    worst = worst_tensions(1, straps)
    for place in range(len(straps)):
        goal = np.zeros(len(straps))
        goal[place] = -1
        best = linprog(goal, A_eq=_balance(straps), b_eq=[1, 0], bounds=(0, None))
        assert best.status == 0
        assert worst[place] == pytest.approx(-best.fun, rel=1e-6, abs=1e-7)


@given(_layouts(), FORCE)
def test_sharing_scales_and_stays_under_the_worst(straps: list[Strap], thrust: float) -> None:
    """Twice the thrust is twice each tension, and no tension passes the worst for its strap."""
    once, twice = shared_tensions(thrust, straps), shared_tensions(2 * thrust, straps)
    worst = worst_tensions(thrust, straps)

    assert twice == pytest.approx([2 * tension for tension in once])
    assert all(tension <= most * (1 + 1e-6) + 1e-6 * thrust for tension, most in zip(once, worst, strict=True))


@given(_layouts())
def test_one_strap_lost(straps: list[Strap]) -> None:
    """After a loss the others see the worst by line without that strap, or None just when one side is empty."""
    for lost, left in enumerate(tensions_with_one_lost(1, straps)):
        rest = [strap for place, strap in enumerate(straps) if place != lost]
        sides = {math.copysign(1, strap.plan_angle_deg) for strap in rest}
        if len(sides) < 2:
            assert left is None
        else:
            assert left == pytest.approx(worst_by_line(1, rest))


@given(_layouts(), st.floats(5, 89))
def test_base_reaction_adds_up(straps: list[Strap], angle: float) -> None:
    """Strut, straps and ground on the base sum to nothing upward, by components added one by one."""
    thrust = math.cos(math.radians(angle))
    tensions = shared_tensions(thrust, straps)
    reaction = base_reaction(1, angle, straps, tensions)
    upward = sum(t * math.sin(math.radians(s.rise_deg)) for t, s in zip(tensions, straps, strict=True))

    assert reaction + upward - math.sin(math.radians(angle)) == pytest.approx(0, abs=1e-9)


@given(FORCE, HALF, HALF, RISE, RISE)
def test_two_straps_share_in_one_way_only(
    thrust: float, first: float, second: float, rise_1: float, rise_2: float
) -> None:
    """Against scipy and by components: two straps hold the thrust, leave nothing across it, and neither pushes."""
    straps = [Strap(first, rise_1), Strap(-second, rise_2)]
    tensions = shared_tensions(thrust, straps)
    along, _, across = strap_pull(straps, tensions)
    found, _ = nnls(_balance(straps), np.array([thrust, 0.0]))

    assert along == pytest.approx(thrust)
    assert across == pytest.approx(0, abs=1e-9 * max(tensions) + 1e-9)
    assert tensions == pytest.approx(found, rel=1e-6, abs=1e-6)
