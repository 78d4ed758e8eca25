"""Laws of strut, straps and vehicle together, on random rigs."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from cache_check.loads.triangle import TriangleForces, pretension_moment, solve_triangle

Point = tuple[float, float, float]


@dataclass(frozen=True)
class Rig:
    """One rig: weight and its lever, contact, base, anchors."""

    weight: float
    lever: float
    contact: tuple[float, float]
    base: tuple[float, float]
    anchors: tuple[Point, ...]

    def solve(self, friction: float = 0.0) -> TriangleForces:
        """Its forces."""
        return solve_triangle(self.weight, self.lever, self.contact, self.base, self.anchors, friction_counted=friction)


@st.composite
def _rigs(draw: st.DrawFn) -> Rig:
    """A vehicle on its pivot, a strut between 20 and 80 deg, and two to four straps to low points."""
    contact = (draw(st.floats(-0.3, 1.0)), draw(st.floats(1.0, 3.0)))
    drop, angle = draw(st.floats(-0.3, 0.3)), math.radians(draw(st.floats(20, 80)))
    base = (contact[0] + (contact[1] + drop) / math.tan(angle), -drop)
    assume(base[0] > 0.9)
    sides = [1, -1, *draw(st.lists(st.sampled_from([1, -1]), max_size=2))]
    anchors = tuple(
        (draw(st.floats(-0.3, 0.3)), draw(st.floats(0.0, 0.5)), side * draw(st.floats(0.1, 1.0))) for side in sides
    )
    return Rig(draw(st.floats(1e3, 1e5)), draw(st.floats(0.05, 1.0)), contact, base, anchors)


def _solved(rig: Rig, friction: float = 0.0) -> TriangleForces:
    try:
        return rig.solve(friction)
    except ValueError:
        assume(condition=False)
        raise


@given(_rigs(), st.sampled_from([0.0, 0.2, 0.5]))
def test_both_bodies_are_in_balance(rig: Rig, friction: float) -> None:
    """Every force as a vector: the base sums to nothing, the vehicle's moment about the pivot is nothing."""
    forces = _solved(rig, friction)
    seat, contact = np.array([*rig.base, 0.0]), np.array([*rig.contact, 0.0])
    along = (contact - seat) / np.linalg.norm(contact - seat)
    pulls = [
        tension * (np.array(anchor) - seat) / np.linalg.norm(np.array(anchor) - seat)
        for tension, anchor in zip(forces.straps, rig.anchors, strict=True)
    ]
    ground = np.array([-forces.base_friction, forces.base_reaction, 0.0])
    on_base = -forces.strut * along + sum(pulls) + ground
    moment = (
        np.cross(contact, forces.strut * along)[2]
        + sum(np.cross(anchor, -pull)[2] for anchor, pull in zip(rig.anchors, pulls, strict=True))
        - rig.weight * rig.lever
    )
    scale = rig.weight + forces.strut

    assert on_base == pytest.approx([0, 0, 0], abs=1e-6 * scale)
    assert moment == pytest.approx(0, abs=1e-6 * scale)
    assert forces.base_reaction + forces.pivot_reaction == pytest.approx(rig.weight)


@given(_rigs())
def test_the_ground_knows_nothing_of_the_straps(rig: Rig) -> None:
    """Taken as one body without friction, base and vehicle give N = W e / x of the base, whatever the anchors."""
    assert _solved(rig).base_reaction == pytest.approx(rig.weight * rig.lever / rig.base[0], rel=1e-6)


@given(_rigs())
def test_mirror_image(rig: Rig) -> None:
    """Mirrored across the strut's plane nothing changes."""
    mirrored = Rig(rig.weight, rig.lever, rig.contact, rig.base, tuple((x, y, -z) for x, y, z in rig.anchors))
    here, there = _solved(rig), mirrored.solve()

    assert there.strut == pytest.approx(here.strut)
    assert there.straps == pytest.approx(here.straps, abs=1e-6 * here.strut)


@given(_rigs(), st.floats(0.1, 10), st.floats(0.1, 10))
def test_scale(rig: Rig, heavier: float, larger: float) -> None:
    """Forces grow with the weight; a rig enlarged in all lengths has the same forces."""
    bigger = Rig(
        rig.weight * heavier,
        rig.lever * larger,
        (rig.contact[0] * larger, rig.contact[1] * larger),
        (rig.base[0] * larger, rig.base[1] * larger),
        tuple((x * larger, y * larger, z * larger) for x, y, z in rig.anchors),
    )
    here, there = _solved(rig), bigger.solve()

    assert there.strut == pytest.approx(here.strut * heavier, rel=1e-6)
    assert there.straps == pytest.approx([heavier * t for t in here.straps], rel=1e-5, abs=1e-6 * there.strut)


@given(_rigs(), st.floats(0.05, 1.0))
def test_superposition(rig: Rig, lever: float) -> None:
    """The forces of two weights together are the sums of the forces of each."""
    other = Rig(rig.weight, lever, rig.contact, rig.base, rig.anchors)
    both = Rig(rig.weight, rig.lever + lever, rig.contact, rig.base, rig.anchors)

    assert both.solve().strut == pytest.approx(_solved(rig).strut + other.solve().strut)


@given(_rigs())
def test_straps_never_help_an_anchor_above_the_pivot(rig: Rig) -> None:
    """With anchors straight above the pivot the strut sees at least what the textbook says."""
    above = Rig(rig.weight, rig.lever, rig.contact, rig.base, tuple((0.0, max(y, 0.0), z) for _, y, z in rig.anchors))
    forces = _solved(above)
    angle, (x, y) = math.radians(forces.angle_deg), rig.contact
    textbook = rig.weight * rig.lever / (x * math.sin(angle) + y * math.cos(angle))

    assert forces.strut >= textbook * (1 - 1e-9)


@given(_rigs(), st.floats(0.05, 0.5))
def test_counted_friction_never_loads_the_straps(rig: Rig, coefficient: float) -> None:
    """For the same strut force, friction under a base that stays down only takes from the straps."""
    without, counted = _solved(rig), _solved(rig, coefficient)
    assume(without.base_reaction > 0)

    for bare, eased in zip(without.straps, counted.straps, strict=True):
        assert eased / counted.strut <= bare / without.strut + 1e-9


@given(_rigs(), st.floats(10, 1000))
def test_pretension_moment_is_that_of_its_forces(rig: Rig, tension: float) -> None:
    """Strut and straps tight with no load: their moment is the base's reaction times its distance."""
    own, moment = pretension_moment(rig.contact, rig.base, rig.anchors, [tension] * len(rig.anchors))
    seat = np.array([*rig.base, 0.0])
    ways = [(np.array(anchor) - seat) / np.linalg.norm(np.array(anchor) - seat) for anchor in rig.anchors]
    angle = math.atan2(rig.contact[1] - rig.base[1], rig.base[0] - rig.contact[0])
    reaction = own * math.sin(angle) - tension * sum(float(way[1]) for way in ways)

    assert own * math.cos(angle) == pytest.approx(-tension * sum(float(way[0]) for way in ways))
    assert moment == pytest.approx(reaction * rig.base[0], rel=1e-6, abs=1e-6 * own)
