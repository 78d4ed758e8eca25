"""What the drawings of a situation put where, read back from the files, against the figures they are made from."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from datetime import date
from fractions import Fraction
from functools import cache
from typing import Any
from xml.etree import ElementTree as Tree

import pytest
from cli.running import SAMPLES

import cache_check as api
from cache_check.files.cache import read_cache
from cache_check.files.rules import read_rules
from cache_check.files.situation import read_situation, situation_of
from cache_check.model.load import LoadResult
from cache_check.model.situation import Situation
from cache_check.report.figures import canvas, load_views
from cache_check.report.say import Say

LBF = Fraction("4.4482216152605")
SVG = "{http://www.w3.org/2000/svg}"
Point = tuple[float, float]
STEEP = {"contact_height": "50 in", "angle": "60", "vertical": "3000 lbf"}


@cache
def sample(name: str) -> LoadResult:
    """The answer of Rescue 41 for a sample situation."""
    return answer(read_situation(SAMPLES / f"{name}.yaml"))


def answer(one: Situation) -> LoadResult:
    """The answer of Rescue 41 for a situation."""
    return api.load(
        read_cache(SAMPLES / "rescue-41.yaml"), read_rules(), one, suppose=api.WhatIf(on=date(2026, 11, 25))
    )


def given(**entries: Any) -> LoadResult:
    """The answer for entries as they are written."""
    return answer(situation_of({**STEEP, **entries}, "us"))


def say(result: LoadResult) -> Say:
    """The words of an answer."""
    return Say(result.basis.units, result.names)


class Seen:
    """A drawing as its file shows it: lines by id, y up, in the length that the scale bar says; every text."""

    def __init__(self, figure: Any) -> None:
        root = Tree.fromstring(canvas.written(figure, "svg"))  # noqa: S314 - written by us
        self.texts = [one.text or "" for one in root.iter(f"{SVG}text")]
        self.lines: dict[str, list[Point]] = {}
        for group in root.iter(f"{SVG}g"):
            path = group.find(f"{SVG}path")
            if path is not None and "id" in group.attrib:
                numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", path.attrib["d"])]
                self.lines[group.attrib["id"]] = [(x, -y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
        bar = next(one for one in self.texts if re.fullmatch(r"\d+ in", one))
        self.unit = self.far("scale-length") / float(bar.split()[0])

    def ends(self, gid: str) -> tuple[Point, Point]:
        """First and last place of a line."""
        return self.lines[gid][0], self.lines[gid][-1]

    def far(self, gid: str) -> float:
        """How long a line is on paper."""
        return math.dist(*self.ends(gid))

    def force(self, gid: str) -> float:
        """What an arrow says by its length, lbf, going by the bar of forces."""
        bar = next(one for one in self.texts if one.endswith("(arrows)"))
        return self.far(gid) / self.far("scale-force") * float(bar.split()[0].replace(",", ""))

    def between(self, start: Point, end: Point) -> Point:
        """From one place to another, inches of the situation."""
        return (end[0] - start[0]) / self.unit, (end[1] - start[1]) / self.unit


def side(result: LoadResult) -> Seen:
    """The side view."""
    return Seen(load_views.draw(load_views.SIDE, result, say(result)))


def key(result: LoadResult) -> list[str]:
    """What stands beside both views."""
    return load_views.key(result, say(result))


def plan(result: LoadResult) -> Seen:
    """The plan."""
    return Seen(load_views.draw(load_views.PLAN, result, say(result)))


@pytest.mark.parametrize(
    ("name", "angle", "height", "drop"), [("car-on-side", 55, 50, 3), ("trailer-one-end", 60, 46, 0)]
)
def test_side_view_is_to_scale(name: str, angle: float, height: float, drop: float) -> None:
    """Measured with the scale bar, the strut has its angle, offset and contact height, to a tenth, and the drop."""
    seen = side(sample(name))
    seat, contact = seen.ends("strut")
    out, up = seen.between(contact, seat)
    ground = seen.lines["ground"]

    assert math.degrees(math.atan2(-up, out)) == pytest.approx(angle, abs=0.1)
    assert out == pytest.approx((height + drop) / math.tan(math.radians(angle)), abs=0.1)
    assert seen.between(ground[0], contact)[1] == pytest.approx(height, abs=0.1)
    assert seen.between(ground[0], ground[-1])[1] == pytest.approx(-drop, abs=0.1)
    assert seen.between(*seen.ends("dimension-offset"))[0] == pytest.approx(out, abs=0.1)
    assert seen.between(*seen.ends("dimension-height"))[1] == pytest.approx(height, abs=0.1)


def test_straps_run_to_their_anchors() -> None:
    """The car's anchors lie 14 in behind its contact, 6 in up, 30 in to each side; left is toward the reader."""
    result = sample("car-on-side")
    seen, above = side(result), plan(result)
    contact = seen.ends("strut")[1]

    for number, left in ((1, 30), (2, -30)):
        assert seen.between(contact, seen.ends(f"run-{number}")[1]) == pytest.approx((-14, -44), abs=0.1)
        assert above.between(above.ends("strut")[1], above.ends(f"run-{number}")[1]) == pytest.approx(
            (-14, -left), abs=0.1
        )


def test_arrows_are_as_long_as_the_forces() -> None:
    """Each arrow, measured with the bar of forces, is its force; a strap's is that part which the view shows."""
    result = sample("car-on-side")
    forces, seen, above = result.forces, side(result), plan(result)
    assert forces is not None
    expected = {
        "along": float(result.tally.load or 0), "upright": float(forces.vertical),
        "thrust": float(forces.thrust_checked), "ground": float(forces.base_reaction),
    }  # fmt: skip

    for gid, newtons in expected.items():
        assert seen.force(f"arrow-{gid}") == pytest.approx(newtons / float(LBF), rel=0.005)
    run, rise, aside = 8 + 53 / math.tan(math.radians(55)) + 6, 9, 30
    for number in (1, 2):
        pull = 447.1 / math.sqrt(run**2 + rise**2 + aside**2)  # 448 lbf, as the page says
        assert seen.force(f"arrow-strap-{number}") == pytest.approx(pull * math.hypot(run, rise), rel=0.005)
        assert above.force(f"arrow-strap-{number}") == pytest.approx(pull * math.hypot(run, aside), rel=0.005)


def test_arrows_point_the_way_the_forces_act() -> None:
    """The load comes down the strut, the base is pushed out and held from below, the straps pull it in."""
    seen = side(sample("car-on-side"))
    way = {gid: seen.between(*seen.ends(f"arrow-{gid}")) for gid in ("along", "upright", "thrust", "ground", "strap-1")}

    assert way["along"][0] > 0 > way["along"][1]
    assert way["upright"][1] > 0
    assert way["thrust"][0] > 0
    assert way["ground"][1] > 0
    assert way["strap-1"][0] < 0 < way["strap-1"][1]
    assert seen.ends("arrow-along")[1] == pytest.approx(seen.ends("strut")[1], abs=0.01)
    assert seen.ends("arrow-ground")[1] == pytest.approx(seen.ends("strut")[0], abs=0.01)


def test_plan_has_the_half_angles() -> None:
    """30 left and 20 right stand in the plan as angles at the base, left toward the reader, and in words."""
    seen = plan(sample("leaning-van"))
    angles = []
    for number in (1, 2):
        back, aside = seen.between(*seen.ends(f"run-{number}"))
        angles.append(math.degrees(math.atan2(aside, -back)))

    assert angles == pytest.approx([-30, 20], abs=0.1)
    assert {"strap 1: 30.0 deg left", "strap 2: 20.0 deg right"} <= set(seen.texts)


def test_key_has_the_figures_of_the_page() -> None:
    """Every force is in the key with its name and the figure of the page, demands up and what pushes back down."""
    result = sample("car-on-side")
    texts = [*side(result).texts, *key(result)]

    assert "(1) along the strut, checked: 1,330 lbf" in texts
    assert "(3) out along the ground, for straps: 678 lbf" in texts
    assert "(4) ground pushes back at least: 847 lbf" in texts
    assert "(5) strap 1 pulls at most: 448 lbf" in texts
    assert "strut 64.7 in" in texts


def test_straps_on_one_side_are_refused() -> None:
    """Both straps left: REFUSED with the reason, and neither is drawn."""
    result = given(half_angles=["30 left", "20 left"])

    assert any(line.startswith("REFUSED, no tension given: all straps lie on one side") for line in key(result))
    for seen in (side(result), plan(result)):
        assert not [gid for gid in seen.lines if gid.startswith(("arrow-strap", "run-"))]


def test_unknown_load_draws_no_force() -> None:
    """Where the weight is not known no arrow is drawn, and it is said."""
    for seen in (side(sample("leaning-van")), plan(sample("leaning-van"))):
        assert not [gid for gid in seen.lines if gid.startswith("arrow-")]
        assert "scale-force" not in seen.lines
    assert "NOT KNOWN: the load. No force is drawn." in key(sample("leaning-van"))


def test_pretension_lengthens_the_arrows() -> None:
    """100 lbf more pre-tension in each strap is 100 lbf more on each strap's arrow, and more along the strut."""
    loose, tight = (given(half_angles=["30"], pretension=[f"{n} lbf"]) for n in (50, 150))
    short, long = plan(loose), plan(tight)

    assert long.force("arrow-strap-1") - short.force("arrow-strap-1") == pytest.approx(100, abs=2)
    assert side(tight).force("arrow-along") > side(loose).force("arrow-along") + 100


def test_a_base_that_is_lifted_is_said_to_be() -> None:
    """Where straps lift the base clear of the ground no arrow pushes back, and the key says not to use it."""
    result = sample("car-on-side")
    assert result.forces is not None
    lifted = replace(result, forces=replace(result.forces, base_reaction=Fraction(-100)))

    seen = side(lifted)
    assert seen.force("arrow-ground") == 0
    assert any("ground pushes NOTHING back, do not use" in line for line in key(lifted))
