"""A frame solver (anastruct, plane frames, linear) against ``load``: strut, ties and ground under one to four ties."""

from __future__ import annotations

import math
import random
from typing import Any

import pytest
from anastruct.fem.system import SystemElements
from builders import change, loaded, tidy

from cache_check.units import NEWTON_PER_LBF

Point = tuple[float, float, float]
Frame = tuple[float, list[float], float]
STIFF, SOFT = 1e13, 1e7
"""A strut and a vehicle that give nothing beside ties that stretch."""


def drawn(number: int, seed: int) -> tuple[dict[str, Any], list[Point]]:
    """A leaning vehicle, its strut, and so many ties low on it: pairs on both sides, an odd one on the strut's line.

    ``load`` asks for two, so a single line has two that are alike.
    """
    draw = random.Random(10 * seed + number)
    asked = {
        "contact_height": draw.randint(40, 80), "contact_x": draw.randint(2, 20), "angle": draw.randint(46, 70),
        "weight": draw.randint(1000, 4000), "weight_outside": draw.randint(4, 15),
    }  # fmt: skip
    anchors: list[Point] = []
    for _ in range(number // 2):
        ahead, up, aside = draw.randint(-10, 2), draw.randint(2, 10), draw.randint(8, 30)
        anchors += [(ahead, up, aside), (ahead, up, -aside)]
    lone: list[Point] = [(-4.0, 5.0, 0.0)]
    return asked, lone * 2 if number == 1 else [*anchors, *lone * (number % 2)]


def framed(asked: dict[str, Any], anchors: list[Point]) -> Frame:
    """Strut, ties (two alike at one place as one) and ground by the frame solver.

    A tie that runs aside, projected on the strut's plane with c of its length left, is as stiff there as c ^ 3 of it.
    """
    contact = (asked["contact_x"], asked["contact_height"])
    base = (contact[0] + contact[1] / math.tan(math.radians(asked["angle"])), 0.0)
    places = sorted({anchor[:2] for anchor in anchors})
    centre = (asked["weight_outside"], 500.0)
    frame: Any = SystemElements(EA=STIFF, EI=STIFF * 1e4)
    for corner in (contact, *places, centre):
        frame.add_element(location=[[0.0, 0.0], list(corner)])
    strut = frame.add_truss_element(location=[list(base), list(contact)], EA=STIFF)
    shrunk = [math.dist(base, one[:2]) / math.dist((*base, 0.0), one) for one in anchors]
    ties = [
        frame.add_truss_element(
            location=[list(base), list(place)],
            EA=sum(SOFT * c**3 for c, one in zip(shrunk, anchors, strict=True) if one[:2] == place),
        )
        for place in places
    ]
    frame.add_support_hinged(node_id=frame.find_node_id((0.0, 0.0)))
    frame.add_support_roll(node_id=frame.find_node_id(base), direction="x")
    frame.point_load(node_id=frame.find_node_id(centre), Fy=-asked["weight"])
    frame.solve()
    pulls = {place: frame.get_element_results(tie)["Nmax"] for place, tie in zip(places, ties, strict=True)}
    alike = {place: sum(one[:2] == place for one in anchors) for place in places}
    each = [pulls[one[:2]] / alike[one[:2]] / c for c, one in zip(shrunk, anchors, strict=True)]
    up = abs(frame.get_node_results_system(frame.find_node_id(base))["Fy"])
    return -frame.get_element_results(strut)["Nmax"], each, up


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("number", [1, 2, 3, 4])
def test_load_against_a_frame(number: int, seed: int) -> None:
    """One line and a pair are the frame's; of three and four ``load`` checks for no less than the frame finds."""
    asked, anchors = drawn(number, seed)
    result = loaded(tidy(), change("STR-3", on=number > 1), anchors=[list(one) for one in anchors], **asked)
    strut, ties, up = framed(asked, anchors)
    forces = result.forces
    assert forces is not None
    along, out, ground = (
        float(one / NEWTON_PER_LBF) for one in (forces.axial_with_straps, forces.thrust_checked, forces.base_reaction)
    )

    if number < 3:
        assert along == pytest.approx(strut, rel=2e-3)
        assert [float(line.unit) * out for line in result.lines] == pytest.approx(ties, rel=2e-3)
        assert ground == pytest.approx(up, rel=2e-3)
    else:
        assert strut <= along * 1.002
        assert all(tie <= float(line.worst) * out * 1.002 for tie, line in zip(ties, result.lines, strict=True))
        assert ground <= up * 1.002
