"""Rigs on which a strut in its place was called met and must not be, each written anew and asked by the command."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable, Sequence
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from builders import STATED

from cache_check.cli.output import guarded
from cache_check.units import NEWTON_PER_LBF

NO_FLOOR = ("--set", "NUM-1=off")
"""These cases are of struts by themselves, not of how many policy asks for on a class of vehicle."""
Load = Callable[..., dict[str, Any]]
"""``load(place={...}, parts={...}, counts={...}, items={...}, more=(...))``: the one answer, in JSON."""

PARTS: dict[str, dict[str, Any]] = {
    "jack": {"kind": "body", "closed": 30, "open": 60, "lock": "collar", "mass": 20},
    "foot": {
        "kind": "fitting", "serves": "base", "adds": 2, "mass": 5, "points": [{"wll": 5000}, {"wll": 5000}],
        "footprint": {"length": 12, "width": 12},
    },
    "claw": {"kind": "fitting", "serves": "head", "adds": 2, "mass": 2, "contacts": ["edge", "flat"]},
    "belt": {"kind": "strap", "wll": 3333, "mass": 2, "length": "20 ft"},
}  # fmt: skip
COUNTS = {"jack": 3, "foot": 3, "claw": 3, "belt": 8}
CHART: dict[str, Any] = {
    "id": "V-1", "states": "rated load", "factor": 2, "edition": "V-1", "dated": "2026-01-05",
    "rows": [{"length": 60, "loads": [12000]}, {"length": 70, "loads": [9000]}],
}  # fmt: skip
PLACE: dict[str, Any] = {
    "situation": "here", "units": "us", "contact_height": 42, "angle": 60, "vertical": 3000, "half_angles": 30,
    "anchor_distance": 60, "far_anchors": "structure", "contact": "edge", "soil": "6000 psf",
    "dynamic_allowance": 1, "pretension": 0,
}  # fmt: skip


@pytest.fixture
def load(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Load:
    """Write a rig of family V and a place, and ask ``load``; the exit status must fit the verdict."""

    def run(
        place: dict[str, Any] | None = None, parts: dict[str, Any] | None = None, counts: dict[str, int] | None = None,
        chart: dict[str, Any] | None = None, rules: dict[str, Any] | None = None, items: dict[str, Any] | None = None,
        more: tuple[str, ...] = (), families: Sequence[str] = (),
    ) -> dict[str, Any]:  # fmt: skip
        made = deepcopy(PARTS)
        for name, fields in (parts or {}).items():
            made[name] = made.get(name, {}) | fields
        family = {
            "family": "V", "units": "us", "joint_pin": "captive", "parts": made, "charts": [CHART | (chart or {})],
            "rules": rules or {},
        }  # fmt: skip
        there = {
            name: {"count": number} | ({"items": items[name]} if items and name in items else {})
            for name, number in (COUNTS | (counts or {})).items()
        }
        rig = {
            "cache": "rig", "units": "us", **STATED, "book_date": "2026-03-01", "families": ["v.yaml", *families],
            "parts": there, "inspected": "2026-02-01", "label": "legible", "made": "2025-01-01",
        }  # fmt: skip
        sides = {"on_the_other_side": 0} if place and "on_this_side" in place else {}
        asked = {name: value for name, value in (PLACE | sides | (place or {})).items() if value is not None}
        for name, text in (("v", family), ("rig", rig), ("place", asked)):
            (tmp_path / f"{name}.yaml").write_text(json.dumps(text))
        arguments = ["load", tmp_path / "rig.yaml", tmp_path / "place.yaml", "--on", "2026-04-01", *NO_FLOOR, *more]
        status = guarded([str(one) for one in (*arguments, "--format", "json")])
        out = capsys.readouterr()
        assert status in (0, 1), out.err
        [answer] = json.loads(out.out)["answers"]
        assert (
            status == (0 if answer["verdict"] == "met" and not answer["findings"] else 1) or answer["verdict"] == "met"
        )
        assert (status == 1) or answer["verdict"] == "met"
        return answer  # type: ignore[no-any-return]

    return run


def broken(answer: dict[str, Any]) -> set[tuple[str, str]]:
    """The links that do not hold or are not known, and which it is."""
    return {(link["of"], link["state"]) for link in answer["links"] if link["state"] != "holds"}


def pounds(newtons: float) -> float:
    """A force in lbf."""
    return newtons / float(NEWTON_PER_LBF)


def test_the_rig_itself_is_met(load: Load) -> None:
    """What every case here changes is met as it stands, so each is not met for its own reason."""
    answer = load()

    assert answer["verdict"] == "met"
    assert broken(answer) == set()


def test_case_01_weak_binders_of_a_second_kind_of_tie(load: Load) -> None:
    """Two struts, straps for one and chain with binders of 400 lbf for the other: the second base is not held."""
    chain = {
        "chain": {"kind": "chain", "wll": 6600, "mass": 9, "length": "20 ft", "needs": {"binder": 1}},
        "binder": {"kind": "hardware", "wll": 400, "mass": 3},
    }
    counts = {"belt": 2, "chain": 2, "binder": 2}
    two = load({"on_this_side": 2}, chain, counts)

    assert two["verdict"] == "not met"
    assert ("number", "does not hold") in broken(two)
    assert load({"on_this_side": 2}, chain, counts | {"belt": 4})["verdict"] == "met"


@pytest.mark.parametrize("struts", [1, 2, 3])
def test_case_02_struts_that_lift_the_vehicle_off_its_pivot(load: Load, struts: int) -> None:
    """A weight 50 in out of the edge at a steep strut close to it: the pivot lifts, with one strut as with more."""
    place = {
        "vertical": None, "weight": 1000, "weight_outside": 50, "contact_x": 4, "angle": 70, "on_this_side": struts,
        "half_angles": None, "anchors": None, "state": "leaning",
    }  # fmt: skip
    answer = load(place)

    assert answer["verdict"] == "not met"
    assert ("stays down", "does not hold") in broken(answer)
    assert load(place | {"weight_outside": 5})["verdict"] == "met"


@pytest.mark.parametrize(("struts", "verdict"), [(1, "met"), (3, "not met")])
def test_case_03_pre_tension_of_all_struts_together(load: Load, struts: int, verdict: str) -> None:
    """What one strut's straps make of the righting moment is little, what three make is too much."""
    place = {
        "vertical": None, "weight": 1500, "weight_inside": 20, "edges_apart": 55, "sideways_share": "0.4",
        "pretension": 100, "on_this_side": struts, "state": "at rest", "dynamic_allowance": "1.25",
    }  # fmt: skip
    answer = load(place)

    assert answer["verdict"] == verdict, [one for one in answer["links"] if one["state"] != "holds"]
    assert (("pre-tension", "does not hold") in broken(answer)) == (struts == 3)


def test_case_04_the_points_that_fit_take_the_straps(load: Load) -> None:
    """Four points made and two fit for four straps: two hang on one, and it takes twice the pull."""
    foot = {"foot": {"points": [{"wll": 2000}] * 4}}
    place = {"vertical": 6000, "contact_height": 42}
    belt = {"belt": {"wll": 1500}}
    fit = [{"serial": f"F{n}", "points_usable": 2} for n in range(3)]
    whole, some = load(place, foot | belt, {"belt": 12}), load(place, foot | belt, {"belt": 12}, items={"foot": fit})

    def on_point(answer: dict[str, Any]) -> float:
        return float(next(link["demand_n"] for link in answer["links"] if link["of"] == "points"))

    assert whole["carriers"][0]["way"]["per_base"] == 4
    assert whole["verdict"] == "met"
    assert on_point(some) == pytest.approx(2 * on_point(whole))
    assert (
        load(place, {"foot": {"points": [{"wll": 1900}] * 4}} | belt, {"belt": 12}, items={"foot": fit})["verdict"]
        == "not met"
    )


def test_case_04_every_word_of_points_is_of_those_that_fit(load: Load) -> None:
    """Four on two that fit: two hang on one, and PTS-3 says so; points that do not hold want no straps."""
    base = {"foot": {"points": [{"wll": 2000}] * 4}, "belt": {"wll": 1500}}
    fit = {"foot": [{"serial": f"F{n}", "points_usable": 2} for n in range(3)]}
    four = load({"vertical": 5000}, base, {"belt": 12}, items=fit)
    weak = load({"vertical": 6000}, base | {"foot": {"points": [{"wll": 1900}] * 4}}, {"belt": 12}, items=fit)

    assert four["carriers"][0]["way"]["per_base"] == 4
    [heaped] = [one for one in four["findings"] if one["rule"] == "PTS-3"]
    assert "2 points fit for use" in heaped["what"]
    assert heaped["effect"].startswith("2 hang on one point")
    [points] = [link for link in weak["links"] if link["of"] == "points"]
    assert (points["state"], "strap" in points["ask"], "base" in points["ask"]) == ("does not hold", False, True)


@pytest.mark.parametrize(
    ("parts", "place", "rest"),
    [
        ({}, {}, "hold the base"),
        ({"binder": {"kind": "hardware", "wll": 1500, "mass": 3}}, {}, "are over their limit"),
        ({"binder": {"kind": "hardware", "mass": 3}}, {}, "are over their limit, or it is not known"),
        ({"foot": {"points": [{"wll": 1500}] * 4}}, {}, "are over their limit"),
        ({}, {"far_anchors": 1500}, "are over their limit"),
        ({}, {"vertical": "unknown"}, "it is not known"),
    ],
)
def test_one_tie_failed_is_asked_of_all_that_holds_a_base(
    load: Load, parts: dict[str, Any], place: dict[str, Any], rest: str
) -> None:
    """Of four that see 1,000 lbf one sees 2,000 then: its binder, point and far end too, and no load is no yes."""
    rig = {
        "chain": {"kind": "chain", "wll": 6600, "mass": 9, "length": "20 ft", "needs": {"binder": 1}},
        "binder": {"kind": "hardware", "wll": 9000, "mass": 3},
        "foot": {"points": [{"wll": 5000}] * 4},
    }
    asked, counts = {"vertical": 6000, "ties": "chains"}, {"chain": 4, "binder": 4, "belt": 0}
    answer = load(asked | place, rig | parts, counts, more=("--set", "STR-1.min=4"))

    assert rest in answer["failed"][1]


def test_a_way_of_holding_is_rated_as_its_weakest_piece(load: Load) -> None:
    """Chain of 6,600 lbf with binders of 400: a base held so is rated 400, by the binder."""
    chain = {
        "chain": {"kind": "chain", "wll": 6600, "mass": 9, "length": "20 ft", "needs": {"binder": 1}},
        "binder": {"kind": "hardware", "wll": 400, "mass": 3},
    }
    for way in load({"ties": "chains"}, chain, {"chain": 6, "binder": 6})["ties"]:
        assert pounds(way["rated_n"]) == pytest.approx(400)
        assert way["rated_by"] == "its binder"


@pytest.mark.parametrize(
    ("place", "ask"),
    [
        ({"weight": 1000, "weight_outside": 50, "contact_x": 4, "angle": 70, "state": "leaning"}, "put right"),
        ({"weight": 1500, "weight_inside": 20, "edges_apart": 55, "pretension": 100, "state": "at rest"}, "put right"),
        ({"vertical": 30_000}, "bring more, or load each less"),
    ],
)
def test_no_more_are_brought_where_no_number_would_hold(load: Load, place: dict[str, Any], ask: str) -> None:
    """More struts lift the pivot and turn the vehicle the sooner; what is too heavy for one they share."""
    answer = load({"vertical": None, "on_this_side": 3} | place)

    [number] = [link for link in answer["links"] if link["link"] == "number"]
    assert (number["state"], number["ask"].startswith(ask)) == ("does not hold", True)


@pytest.mark.parametrize(("more", "rated"), [((), 30_000), (("--factor", "2"), 60_000)])
def test_case_05_a_load_is_as_its_maker_rated_it(load: Load, more: tuple[str, ...], rated: int) -> None:
    """Rated 30,000 at 4:1: that, unless 2:1 is asked in so many words."""
    rows = [{"length": 70, "loads": [30_000]}]
    answer = load(chart={"factor": 4, "rows": rows}, more=more)

    assert pounds(answer["carriers"][0]["rated_n"]) == pytest.approx(rated)


@pytest.mark.parametrize(
    ("soil", "passes", "because"),
    [
        ("1000 psf", 1000, "then ground is at its limit"),
        ("unknown", None, "ground is not rated: what the ground bears is not known"),
    ],
)
def test_case_06_a_load_that_is_not_known(load: Load, soil: str, passes: float | None, because: str) -> None:
    """1,000 psf under one square foot take 1,000 lbf, whatever the chart takes; ground nobody knows takes nothing."""
    answer = load({"vertical": "unknown", "soil": soil})
    [largest, *_] = answer["largest"]

    assert answer["verdict"] == "not known"
    assert (None if passes is None else pounds(largest["force_n"])) == pytest.approx(passes)
    assert (largest["force_n"] is None, largest["because"]) == (passes is None, because)


@pytest.mark.parametrize("place", [{"soil": "unknown"}, {"far_anchors": "unknown"}])
def test_what_is_not_known_leaves_nothing_to_spare(load: Load, place: dict[str, Any]) -> None:
    """A margin is that of every link: where one is blank it is no larger than where all are stated, but not told."""
    stated, blank = (load({"vertical": 500} | given)["carriers"][0] for given in ({}, place))

    assert (stated["verdict"], blank["verdict"]) == ("met", "not known")
    assert (stated["margin"] is None, blank["margin"]) == (False, None)


def test_case_07_only_struts_on_this_side_share(load: Load) -> None:
    """Two here and one against them: each of the two carries as of two, one of which may fail."""
    answer = load({"on_this_side": 2, "on_the_other_side": 1})

    assert pounds(answer["forces"]["share_n"]) == pytest.approx(3000)
    assert answer["tally"]["wanted"] == 3


def test_case_08_chain_for_two_of_three(load: Load) -> None:
    """Three struts wanted, chain for two: not met, though each by itself holds."""
    chain = {"chain": {"kind": "chain", "wll": 6600, "mass": 9, "length": "20 ft", "needs": {}}}
    answer = load({"on_this_side": 3, "ties": "chains"}, chain, {"chain": 4, "belt": 0})

    assert answer["verdict"] == "not met"
    assert broken(answer) == {("number", "does not hold")}


@pytest.mark.parametrize(
    ("place", "link"),
    [
        ({"soil": "2000 psf"}, "ground"),
        ({"angle": 20, "contact_height": 18}, "angle"),
        ({"angle": 88, "contact_height": 50}, "angle"),
        ({"contact": "flat", "face": 0}, "head"),
    ],
)
def test_case_09_outside_the_limits_is_not_met(load: Load, place: dict[str, Any], link: str) -> None:
    """No pad on the book, 20 or 88 deg, a head left to friction on an upright face: not met."""
    answer = load(place)

    assert answer["verdict"] == "not met"
    assert (link, "does not hold") in broken(answer)


@pytest.mark.parametrize(("pads", "verdict", "missing"), [(1, "not met", None), (2, "met", False), (3, "met", True)])
def test_case_09_a_pad_may_be_the_one_missing(load: Load, pads: int, verdict: str, missing: bool | None) -> None:
    """Two bases on soft ground: with two pads it is met, and not with one of them gone."""
    pad = {"pad": {"kind": "pad", "footprint": {"length": 24, "width": 24}, "mass": 5}}
    answer = load({"on_this_side": 2, "soil": "1000 psf"}, pad, {"pad": pads})
    beside = answer["tally"]["missing"]

    assert answer["verdict"] == verdict
    assert (beside and beside["state"] == "holds") == missing


@pytest.mark.parametrize(("pads", "verdict"), [(0, "not known"), (2, "met")])
def test_a_base_that_nobody_measured_is_measured_before_pads_are_brought(load: Load, pads: int, verdict: str) -> None:
    """Whether it needs one nobody knows; it was said to need one, of which there was none, and so not to be met."""
    pad = {"kind": "pad", "footprint": {"length": 24, "width": 24}}
    answer = load({"on_this_side": 2}, {"foot": {"footprint": None}, "mat": pad}, {"mat": pads})

    assert (answer["verdict"], "bring pads" in str(answer)) == (verdict, False)


def test_case_10_points_without_a_mark(load: Load) -> None:
    """Nobody wrote what the points hold: not known, and it says whom to ask."""
    answer = load(parts={"foot": {"points": 2}})

    assert answer["verdict"] == "not known"
    assert broken(answer) == {("points", "unknown"), ("number", "unknown")}
    assert any("ask the maker" in link["ask"] for link in answer["links"])


@pytest.mark.parametrize(("place", "verdict"), [({"vehicle": None}, "NOT KNOWN"), ({"on_this_side": 4}, "NOT MET")])
def test_no_strut_is_met_in_any_form_where_all_of_them_are_not(
    load: Load, place: dict[str, Any], verdict: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The class not stated, four wanted of three: each holds by itself, and no row and no word says to set it."""
    load(place)
    arguments = [str(one) for one in ("load", tmp_path / "rig.yaml", tmp_path / "place.yaml", "--on", "2026-04-01")]
    guarded([*arguments, "--format", "json"])
    [answer] = json.loads(capsys.readouterr().out)["answers"]
    assert (answer["verdict"].upper(), answer["carriers"][0]["verdict"]) == (verdict, "met")

    guarded([*arguments, "--format", "csv"])
    [cells] = csv.DictReader(capsys.readouterr().out.splitlines())
    assert cells["verdict"] == verdict
    assert cells["not held or not known"]
    guarded([*arguments, "--show", "set", "--show", "builds"])
    page = capsys.readouterr().out
    assert " MET" not in page.replace("NOT MET", "")
    assert "Set it so:" not in page


@pytest.mark.parametrize(("counts", "more", "said"), [
    ({}, (), "holds"),
    ({"belt": 2}, (), "is not shown to hold"),
    ({"jack": 1}, (), "is not shown to hold"),
    ({}, ("--set", "STR-1=off"), "is not shown to hold"),
])  # fmt: skip
def test_a_strut_that_fails_is_made_good_only_by_one_that_stands_there(
    load: Load, counts: dict[str, int], more: tuple[str, ...], said: str
) -> None:
    """Ties or bodies for one of two, or no rule on ties: what the other then takes is not said to be held."""
    answer = load({"on_this_side": 2}, counts=counts, more=more)

    assert answer["failed"][0].startswith(f"one strut failed: the other then takes all, and {said};")


def test_case_11_the_strut_takes_the_worst_share_too(load: Load) -> None:
    """Five straps of unlike rise: the strut is checked for the one share in which they press it the most."""
    plan = ["40 left", "20 left", "0 left", "20 right", "40 right"]
    place = {"half_angles": plan, "rise": [0, 0, 20, 0, 0], "vertical": 2000}
    five = load(place, {"foot": {"points": [{"wll": 5000}] * 5}}, {"belt": 15})
    on_line = {"half_angles": ["0 left", "0 right"], "rise": 20, "vertical": 2000}
    alone = load(on_line, more=("--set", "STR-3=off"))

    assert five["forces"]["axial_checked_n"] == pytest.approx(alone["forces"]["axial_checked_n"], rel=1e-6)


def test_case_12_straps_are_told_where_they_run(load: Load, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """43 left, 34 right, 12 left: nothing is said of the strut's line."""
    load({"half_angles": ["43 left", "34 right", "12 left"]})
    guarded([str(one) for one in ("load", tmp_path / "rig.yaml", tmp_path / "place.yaml", "--show", "all")])
    page = " ".join(capsys.readouterr().out.split())

    assert "along the strut's line" not in page
    assert "1 at 43.0 deg left, 1 at 34.0 deg right, 1 at 12.0 deg left" in page


def test_case_13_friction_that_is_typed_lowers_nothing(load: Load) -> None:
    """--friction 0.6: base pushes out and straps hold what they did; case 28: one figure is told, and it is that."""
    plain, typed = load(), load(more=("--friction", "0.6"))

    for name in ("thrust_n", "thrust_checked_n"):
        assert typed["forces"][name] == plain["forces"][name]
    assert (typed["slip"]["said"], typed["slip"]["counted"]) == (0.6, 0)


def test_case_14_the_one_that_is_left_takes_it_all(load: Load) -> None:
    """Struts at 0 and 100 in, load at 40: each is checked for the whole load, should the other fail."""
    answer = load({"on_this_side": 2, "strut_places": [0, 100], "load_at": 40})

    assert pounds(answer["forces"]["share_n"]) == pytest.approx(3000)


def test_case_15_sound_straps_behind_a_chain_with_a_weak_binder(load: Load) -> None:
    """The chain stands first on the book, and the straps are found."""
    parts = {
        "achain": {"kind": "chain", "wll": 6600, "mass": 9, "length": "20 ft", "needs": {"binder": 1}},
        "binder": {"kind": "hardware", "wll": 400, "mass": 3},
    }
    answer = load(parts=parts, counts={"achain": 4, "binder": 4})

    assert answer["verdict"] == "met"
    assert answer["carriers"][0]["way"]["part"] == "V/belt"


@pytest.mark.parametrize(("needs", "verdict", "restrained"), [(None, "not known", 0), ({}, "met", 3)])
def test_case_20_a_chain_that_does_not_say_what_it_takes_holds_nothing_known(
    load: Load, needs: dict[str, int] | None, verdict: str, restrained: int
) -> None:
    """On a rig without a binder a chain must say that it needs none: else load, as check, cannot tell."""
    chain = {"kind": "chain", "wll": 6600, "mass": 9, "length": "20 ft"} | ({} if needs is None else {"needs": needs})
    answer = load({"ties": "chains"}, {"chain": chain}, {"chain": 6, "belt": 0})

    assert answer["verdict"] == verdict
    assert {one["step"]: one["count"] for one in answer["tally"]["counts"]}["restrained"] == restrained
    unknown = [link["link"] for link in answer["links"] if link["of"] == "ties" and link["state"] == "unknown"]
    assert unknown == ([] if verdict == "met" else ["hardware of chain"])


def test_case_29_a_rule_of_one_says_nowhere_two(load: Load, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """STR-1.min=1: no sentence of the page says that a base has two."""
    load()
    asked = ("--set", "STR-1.min=1", "--show", "all", *NO_FLOOR)
    arguments = ("load", tmp_path / "rig.yaml", tmp_path / "place.yaml", *asked)
    guarded([str(one) for one in arguments])

    assert "two" not in capsys.readouterr().out.split("CAUTION")[0].lower().replace("two struts", "")


@pytest.mark.parametrize(("ties", "both"), [(False, 2), (True, 1)])
def test_case_31_restrained_is_the_same_in_check_and_load(
    load: Load, tmp_path: Path, capsys: pytest.CaptureFixture[str], ties: bool, both: int
) -> None:
    """A family that wants three ties on a base, be it the strut's or that of the ties: the same in check as in load."""
    wants = {"STR-1": {"min": 3, "why": "the sheet of the family"}}
    web = {"wrap": PARTS["belt"]}
    (tmp_path / "w.yaml").write_text(
        json.dumps({"family": "W", "units": "us", "joint_pin": "captive", "parts": web, "rules": wants})
    )
    counts = {"belt": 0, "wrap": 5} if ties else {}
    answer = load(rules={} if ties else wants, counts=counts, families=["w.yaml"] if ties else [])
    length = answer["geometry"]["length_mm"] / 25.4
    needs = {
        "needs": "n",
        "units": "us",
        "scenes": {"s": {"needs": [{"id": "a", "count": 1, "length": round(length, 6)}]}},
    }
    (tmp_path / "needs.yaml").write_text(json.dumps(needs))
    asked = (
        "check",
        tmp_path / "rig.yaml",
        "--needs",
        tmp_path / "needs.yaml",
        "--on",
        "2026-04-01",
        "--format",
        "json",
    )
    guarded([str(one) for one in asked])
    [checked] = json.loads(capsys.readouterr().out)["answers"]
    [tally] = [one for one in checked["tallies"] if one["wanted"] == 1]

    def count(counts: list[dict[str, Any]]) -> int:
        return int(next(one["count"] for one in counts if one["step"] == "restrained"))

    assert count(answer["tally"]["counts"]) == count(tally["counts"]) == both


def test_case_16_a_place_that_nothing_reaches_says_which_rule_keeps_the_body_out(load: Load) -> None:
    """As check, stage, buy and reach do: the one body keeps 1 in inside, so the length is out of reach by OVL-1."""
    [length] = [link for link in load(parts={"jack": {"pull_apart": 61}})["links"] if link["of"] == "length"]

    assert length["state"] == "does not hold"
    assert "OVL-1" in length["why"]
    assert "OVL-1" not in json.dumps(load(place={"contact_height": 200})["links"])


@pytest.mark.parametrize(("angle", "nearest"), [(20, [60.81]), (75, []), (44, [])])
def test_case_09_what_is_reached_instead_may_be_set(angle: int, nearest: list[float], load: Load) -> None:
    """Too long to reach at 20 deg, which the rules forbid: the length named instead is one that they allow."""
    answer = load(place={"contact_height": 43, "angle": angle})

    assert answer["verdict"] == "not met"
    assert [round(one["length_mm"] / 25.4, 2) for one in answer["near"]] == nearest
    assert all(45 <= one["angle_deg"] <= 70 for one in answer["near"])


def test_one_base_is_not_told_in_the_plural(load: Load) -> None:
    """One strut on soft ground: one base needs a pad."""
    answer = load(place={"soil": "500 psf"})
    assert [link["why"] for link in answer["links"] if link["link"] == "pads"] == [
        "1 base needs a pad on this ground, 0 large enough on the book"
    ]


def test_a_limit_that_is_not_likely_is_said_to_be_so_in_its_place(load: Load) -> None:
    """Points marked 50 lbf have a limit on the book: the link says that it is in doubt, and what would settle it."""
    answer = load(parts={"foot": {"points": [{"wll": 50}, {"wll": 50}]}})
    [points] = [link for link in answer["links"] if link["of"] == "points"]

    assert (points["state"], points["why"]) == ("unknown", "its limit is not likely (SIZ-1)")
    assert "sure: true" in points["ask"]
