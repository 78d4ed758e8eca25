"""Situation files and options: the same words, the same refusals, each with its place."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from desk import SAMPLES, Desk

from cache_check.errors import InputError
from cache_check.files.situation import read_situation, situation_of
from cache_check.model.situation import Situation
from cache_check.units import NEWTON_PER_LBF, NM_PER_INCH

HEAD = "situation: x\nunits: us\ncontact_height: 40\n"
SITUATIONS = sorted(path for path in SAMPLES.glob("*.yaml") if "\nsituation:" in path.read_text(encoding="utf-8"))
LEAST: dict[str, Any] = {"contact_height": "40", "angle": "60"}


def lines(desk: Desk, text: str) -> list[str]:
    """The first line of each mistake of a file."""
    return [line for line in desk.says(HEAD + text, read_situation).split("\n") if not line.startswith("  ")]


def refused(**options: Any) -> list[str]:
    """What is said of options on top of the least."""
    with pytest.raises(InputError) as error:
        situation_of({name: value for name, value in (LEAST | options).items() if value is not None}, "us")
    return str(error.value).split("\n")


@pytest.mark.parametrize("path", SITUATIONS, ids=lambda path: path.stem)
def test_the_samples_read(path: Path) -> None:
    """Every sample that says it is a situation reads; the least that each says is a height and a steepness."""
    one = read_situation(path)

    assert len(SITUATIONS) == 3
    assert one.title
    assert one.steepness is not None or one.base_offset is not None


def test_a_file_and_options_say_the_same(desk: Desk) -> None:
    """The same entries written either way make the same situation."""
    path = desk.put(
        HEAD + "angle: 60\nweight: 3000\nweight_outside: 20\nhalf_angles: [30 left, 25 right]\nsoil: 2000 psf\n"
    )
    options = LEAST | {
        "weight": "3000",
        "weight_outside": "20",
        "half_angles": ["30 left", "25 right"],
        "soil": "2000psf",
    }

    assert read_situation(path) == situation_of(options, "us").changed(title="x")


def test_options_take_the_place_of_what_a_file_says(desk: Desk) -> None:
    """An option replaces its entry, and the entries that would disagree with it."""
    path = desk.put(HEAD + "angle: 60\nvertical: unknown\nsoil: 2000\n")
    one = read_situation(path, {"base_offset": "1 m", "weight": "2 t", "one_end_pivots": True}, "si")

    assert (one.angle, one.base_offset) == (None, 10**9)
    assert (one.vertical, one.unknown) == (None, ())
    assert one.weight == 2000 * Fraction("9.80665")
    assert one.soil is not None


def test_bare_numbers_take_the_units_of_whoever_wrote_them(desk: Desk) -> None:
    """A file in mm and an option in inches each keep their own."""
    path = desk.put("situation: x\nunits: si\ncontact_height: 1000\nangle: 60\nvertical: 5\n")
    one = read_situation(path, {"ground_drop": "6"}, "us")

    assert (one.contact_height, one.ground_drop) == (10**9, 6 * NM_PER_INCH)
    assert one.vertical == 5000


def test_a_weight_is_a_mass_or_a_force() -> None:
    """3,200 lb of mass and 3,200 lbf weigh the same; 14 kN is a force; a bare number is a mass."""
    mass, force, bare = (
        situation_of(LEAST | {"weight": weight, "weight_outside": "20"}, "us").weight
        for weight in ("3200 lb", "3200 lbf", "3200")
    )

    assert mass == force == bare == 3200 * NEWTON_PER_LBF
    assert situation_of(LEAST | {"weight": "14 kN", "weight_outside": "20"}, "us").weight == 14_000


@pytest.mark.parametrize(
    ("written", "signed"),
    [
        ("30", (30, -30)),
        (["30", "25"], (30, -25)),
        (["30 right", "25 left"], (-30, 25)),
        (["30 left", "20 left"], (30, 20)),
        (["30 left", "0", "30 right"], (30, 0, -30)),
        (["22.5 deg left", "30 deg right"], (Fraction("22.5"), -30)),
    ],
)
def test_half_angles_say_their_side(written: Any, signed: tuple[Any, ...]) -> None:
    """One is both sides, two are left and right; a side that is written holds, left being positive."""
    assert situation_of(LEAST | {"half_angles": written}, "us").plan_angles == signed


@pytest.mark.parametrize(
    ("options", "says"),
    [
        ({"angle": "0"}, "--angle: must be at least 1 and at most 90"),
        ({"angle": "90.1"}, "--angle: must be at least 1 and at most 90"),
        ({"angle": "-30"}, "--angle: must be at least 1 and at most 90"),
        ({"contact_height": "0"}, "--contact-height: must be more than zero"),
        ({"contact_height": "-4"}, "--contact-height: must be more than zero"),
        ({"contact_height": None}, "missing --contact-height; add it"),
        ({"angle": None}, "how steep the strut stands is not said; add one of angle, angle_from_vertical, base_offset"),
        (
            {"base_offset": "20"},
            "--base-offset: stands beside 'angle', which says the same another way; keep one of them",
        ),
        ({"vertical": "0"}, "--vertical: must be more than zero"),
        (
            {"vertical": "5 kg"},
            "--vertical: 'kg' is not a unit of force; write a number with lbf, kip, N "
            'or kN, for example "6000 lbf" or "5 kN"',
        ),
        (
            {"vertical": "much"},
            "--vertical: 'much' is not a force; write a number with lbf, kip, N or kN, "
            'for example "6000 lbf" or "5 kN"',
        ),
        (
            {"vertical": "4,000"},
            "--vertical: '4,000' has a comma, which reads as thousands or as a decimal; write it without",
        ),
        (
            {"vertical": "5", "axial": "5"},
            "--axial: stands beside 'vertical', which says the same another way; keep one of them",
        ),
        (
            {"weight": "5 in"},
            '--weight: \'in\' is not a unit of mass; write a number with lb, kg or t, for example "13 lb" or "6 kg"',
        ),
        (
            {"weight": "5"},
            "--weight: what part of it comes onto the strut is not said; add weight_inside or weight_outside, its "
            "distance from the edge that the vehicle would turn about; or one_end_pivots: true for half of it",
        ),
        (
            {"weight_outside": "5"},
            "--weight-outside: where a weight lies says nothing without it; add weight, or weight: unknown",
        ),
        (
            {"weight": "3000", "weight_inside": "5", "state": "leaning"},
            "--state: a vehicle leaning does not have its weight inside the edge; state: at rest, or weight_outside",
        ),
        ({"one_end_pivots": True}, "--one-end-pivots: half of what weight is not said; add weight, or weight: unknown"),
        (
            {"ground_drop": "-40"},
            "--ground-drop: the base would stand as high as the contact or higher; check the sign and the figures",
        ),
        ({"dynamic_allowance": "0.9"}, "--dynamic-allowance: must be at least 1 and at most 10"),
        ({"dynamic_allowance": "x"}, "--dynamic-allowance: 'x' is not a number; write one with a point, as 0.3"),
        ({"friction": "-0.1"}, "--friction: must be at least 0 and at most 1"),
        ({"on_this_side": 0}, "--on-this-side: 0 is too few; write 1 or more"),
        ({"half_angles": ["-30"]}, "--half-angles: must be at least 0 and at most 89"),
        (
            {"half_angles": ["30 left"]},
            "--half-angles: one strap is half a restraint; add the strap on the other side, or leave the side out",
        ),
        ({"half_angles": ["30 left", "20"]}, "--half-angles: some say left or right and some do not; say it of each"),
        (
            {"half_angles": ["30", "20", "10"]},
            '--half-angles: of more than two, each must say left or right; write "30 left"',
        ),
        ({"rise": ["10", "20", "5"]}, "--rise: is a list of 3 for 2 straps; write one value, or 2"),
        ({"anchors": [["0", "0", "5"]]}, "--anchors: one strap is half a restraint; add the anchor on the other side"),
        ({"anchors": [["0", "0"], ["1", "2"]]}, "--anchors: a list is not a place; write x, y and z"),
        (
            {"ties": "none", "rise": ["5"]},
            "--rise: there are no straps or chains in this situation; take it out, or change ties",
        ),
        (
            {"strut_places": ["0", "50"]},
            "--strut-places: where the load lies between the struts is not said; add load_at",
        ),
        (
            {"strut_places": ["0", "50"], "load_at": "60"},
            "--load-at: the load lies outside the two struts and would lift one of them; check the places",
        ),
        (
            {"angle": "90", "pretension": ["5"]},
            "--pretension: straps cannot press an upright strut; take it out, or set the base out",
        ),
        ({"contact_height": "400 m"}, "--contact-height: is more than 100 m; check the figure and its unit"),
        (
            {"soil": "5 lbf"},
            "--soil: 'lbf' is not a unit of pressure; write a number with psf, psi or kPa, "
            'for example "2000 psf" or "100 kPa"',
        ),
        ({"vehicle": "bus"}, "--vehicle: 'bus' is not one of car or heavy"),
    ],
)
def test_what_is_wrong_is_said_in_one_line(options: dict[str, Any], says: str) -> None:
    """Each mistake is one clear line: the option, what is wrong, what would be right."""
    assert refused(**options) == [f"command line: {says}"]


def test_a_file_says_all_its_mistakes_at_once_with_their_places(desk: Desk) -> None:
    """Line and column of each, from top to bottom."""
    assert lines(desk, "angel: 60\nvertical: 5 kg\non_this_side: 0\nhalf_angles: [30 left, 95]\n") == [
        "x.yaml:4:1: angel: 'angel' is not a field here; did you mean 'angle'?",
        "x.yaml:5:1: vertical: 'kg' is not a unit of force; write a number with lbf, kip, N or kN, for example "
        '"6000 lbf" or "5 kN"',
        "x.yaml:6:1: on_this_side: 0 is too few; write 1 or more",
        "x.yaml:7:24: half_angles[2]: must be at least 0 and at most 89",
    ]


def test_words_of_before_name_those_of_now(desk: Desk) -> None:
    """A file with the old words is told the new ones, one line each."""
    assert lines(desk, "angle: 60\nweight: 3000\nlever: 20\nmultiplier: 1.5\nstruts: 3\n") == [
        "x.yaml:6:1: lever: 'lever' is no longer a word here; write weight_outside where the weight lies beyond the "
        "edge toward the strut, weight_inside where it does not",
        "x.yaml:7:1: multiplier: 'multiplier' is no longer a word here; write dynamic_allowance",
        "x.yaml:8:1: struts: 'struts' is no longer a word here; write on_this_side, and on_the_other_side for those "
        "that stand against them",
    ]


def test_what_does_not_go_together_points_at_its_entry(desk: Desk) -> None:
    """A disagreement stands at the entry that it is about."""
    assert lines(desk, "angle: 60\nbase_offset: 30\n") == [
        "x.yaml:5:1: base_offset: stands beside 'angle', which says the same another way; keep one of them"
    ]


def test_unknown_is_a_value_of_its_own(desk: Desk) -> None:
    """Weight, lever, vertical and soil may be unknown; nothing else may."""
    one = read_situation(desk.put(HEAD + "angle: 60\nweight: unknown\nweight_outside: 20\nsoil: unknown\n"))

    assert one.unknown == ("weight", "soil")
    assert one.loaded == "unknown"
    assert "unknown" in lines(desk, "angle: unknown\n")[0]


def test_every_entry_is_an_option() -> None:
    """The command's options are the entries of a situation, less its title and what it answers for."""
    from cache_check.cli.commands.load import command

    named = {one.name for one in command.params}

    assert set(Situation.model_fields) - {"title", "unknown", "sure", "why", "factor"} <= named
