"""Pitfalls of parts, joints, reach and restraint, each by its number."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from builders import change, checked, ready_set, rescue_41, tidy

import cache_check as api
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache
from cache_check.model.counting import Step, Tally
from cache_check.model.rule import Setting
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.tally import tally
from cache_check.units import NM_PER_INCH, length_nm

TODAY = date(2026, 4, 1)
ONE = {"ext-6": 0, "ext-12": 0}
HOLES = {"lock": "holes", "holes": {"pitch": 2}}
EITHER = {"flat": {"kind": "fitting", "adds": 1, "serves": ["base", "head"], "mass": 1}}
CHAIN: dict[str, dict[str, Any]] = {
    "chain": {"kind": "chain", "grade": 80, "size": "3/8 in", "mass": 8, "needs": {"T/binder": 1}},
    "binder": {"kind": "hardware", "mass": 4},
}


def tally_at(cache: Cache, inches: float | str, *settings: Setting) -> Tally:
    """The tally of a cache at one length."""
    length = length_nm(inches, "us")
    book = read_rules().changed(settings=(*cache.settings, *settings), rigs=cache.rigs)
    return tally(Muster(cache, book, TODAY), Ask(length, length), "asked")


def count(cache: Cache, inches: float | str, step: Step = "assembled at once", *settings: Setting) -> int | None:
    """The struts of a cache at one length on a step."""
    return tally_at(cache, inches, *settings).count(step)


def union(cache: Cache) -> list[tuple[float, float]]:
    """The reach of a cache, inches."""
    return [(low / NM_PER_INCH, high / NM_PER_INCH) for low, high in checked(cache).reach.union]


def broken(cache: Cache, *parts: str) -> set[str]:
    """The rules that a stack breaks."""
    return {one.rule for one in api.build(cache, read_rules(), parts).verdict.broken}


def test_pitfall_01_the_union_of_lengths_hides_that_one_strut_reaches_it() -> None:
    """73 in is inside the reach, and one strut only can be there: the tally says one."""
    assert union(tidy()) == [(35, 73)]
    assert count(tidy(), 73) == 1
    assert count(tidy(), 50) == 2


def test_pitfall_02_a_gap_between_open_of_one_and_closed_of_the_next() -> None:
    """With a 21 in extension nothing stands between 55 and 56 in; both ends themselves are reached."""
    cache = tidy(parts={"ext-6": {"length": 21}}, counts={"ext-12": 0})

    assert union(cache) == [(35, 55), (56, 76)]
    assert [count(cache, at) for at in (55, "55 1/64 in", "55 63/64 in", 56)] == [2, 0, 0, 1]


def test_pitfall_04_the_same_extension_in_two_sets() -> None:
    """Two bodies and one extension make one strut at 60 in, and two ready sets with it are stopped."""
    sets = tuple(ready_set(name, "base", "body", "ext-12", "head") for name in ("A", "B"))

    assert count(tidy(), 60) == 2  # one with each extension
    assert count(tidy(counts={"ext-6": 0}), 60) == 1
    assert "SET-1" in {one.rule for one in checked(tidy(ready_sets=sets)).findings}


def test_pitfall_05_an_either_end_fitting_as_head_and_as_base() -> None:
    """One either-end fitting cannot be at both ends; two of them make one strut, not two."""
    alone = {"base": 0, "head": 0}

    assert count(tidy(parts=EITHER, counts=alone | {"flat": 1}), 40) == 0
    assert count(tidy(parts=EITHER, counts=alone | {"flat": 2}), 40) == 1
    assert count(tidy(parts=EITHER, counts=alone | {"flat": 3}), 40) == 1
    assert count(tidy(parts=EITHER, counts=alone | {"flat": 4}), 40) == 2


def test_pitfall_11_a_strap_shared_and_an_odd_strap() -> None:
    """Three straps hold one base, not one and a half; two bases never share the middle one."""
    assert count(tidy(counts={"strap": 3}), 50, "restrained") == 1
    assert count(tidy(counts={"strap": 4}), 50, "restrained") == 2


def test_pitfall_12_pins_per_joint_not_per_strut() -> None:
    """A strut with two extensions takes four pins; with three it cannot be built."""
    assert count(tidy(counts={"pin": 4}), 73) == 1
    assert count(tidy(counts={"pin": 3}), 73) == 0
    assert count(tidy(counts={"pin": 3}), 40) == 1


def test_pitfall_13_captive_pins_are_not_counted_again_as_loose() -> None:
    """A family whose joints carry their own pins builds without a loose one."""
    assert count(tidy(joints="captive", counts={"pin": 0}), 50) == 2
    assert count(tidy(counts={"pin": 0}), 50) == 0


def test_pitfall_15_a_base_used_as_a_head_and_a_head_as_a_foot() -> None:
    """A fitting stands only at the end that it is listed for."""
    assert broken(tidy(), "base", "body", "base") == {"MAT-4"}
    assert broken(tidy(), "head", "body", "head") == {"MAT-4"}
    assert count(tidy(counts={"base": 4, "head": 0}), 50) == 0


def test_pitfall_18_an_adapter_is_consumed_and_shifts_the_hole_grid() -> None:
    """One adapter makes one strut, which takes the odd lengths that its 1 in moves the holes to."""
    parts: dict[str, dict[str, Any]] = {
        "body": HOLES,
        "u-head": {"kind": "fitting", "adds": 2, "serves": "head", "family": "U", "mass": 1},
        "adapter": {"kind": "adapter", "length": 1, "lower": "T", "upper": "U", "mass": 1},
    }
    cache = tidy(parts=parts, counts=ONE | {"head": 0, "u-head": 2, "adapter": 1})

    assert [count(cache, at) for at in (41, 42)] == [0, 1]
    assert [count(tidy(parts={"body": HOLES}, counts=ONE), at) for at in (41, 42)] == [2, 0]


def test_pitfall_19_retired_loaned_and_training_pieces_are_not_counted() -> None:
    """Each state other than in service takes its piece off every step above the book."""
    for status in ("retired", "loaned", "training", "repair", "missing", "quarantined", "unknown"):
        steps = tally_at(tidy(out={"body": {status: 1}}), 50)

        assert [steps.count(step) for step in ("on the book", "usable", "buildable", "assembled at once")] == [
            2,
            1,
            1,
            1,
        ]


def test_pitfall_20_the_shortest_strut_has_no_eyes() -> None:
    """At 30.5 in Rescue 41 stands on flat fittings alone, which have no points: none is restrained, with the reason."""
    steps = tally_at(rescue_41(), 30.5)

    assert count(rescue_41(), 29.5) == 1  # both ends flat
    assert (steps.count("assembled at once"), steps.count("restrained")) == (2, 0)
    assert (
        dict(steps.why_zero)["restrained"] == "no assembly on a base with enough attachment points covers this length"
    )
    assert count(rescue_41(), 29) == 0


def test_pitfall_21_a_hole_pitch_makes_a_length_unreachable_though_in_range() -> None:
    """Between two holes nothing stands, though the length lies between closed and open; a range needs a fine screw."""
    cache = tidy(parts={"body": HOLES}, counts=ONE)
    fine = tidy(parts={"body": {**HOLES, "holes": {"pitch": 2, "fine": 1}}}, counts=ONE)

    assert [count(cache, at) for at in (41, 42, 43)] == [2, 0, 2]
    assert [count(fine, at) for at in (41, 42, "42 1/64 in")] == [2, 2, 0]


def test_pitfall_22_pull_apart_length_taken_as_open_length() -> None:
    """A body open to where it pulls apart is refused on reading; one that keeps 3 in of 4 inside builds nothing."""
    with pytest.raises(ValueError, match="longer than open"):
        tidy(parts={"body": {"open": 55, "pull_apart": 55}})
    cache = tidy(parts={"body": {"open": 52, "pull_apart": 55}})

    assert broken(cache, "base", "body", "head") == {"OVL-1"}
    assert union(cache) == []
    assert union(tidy(parts={"body": {"open": 51, "pull_apart": 55}}, counts=ONE)) == [(35, 56)]


def test_pitfall_23_a_head_swap_changes_the_length_at_the_limit() -> None:
    """At 44.5 in Rescue 41's short body needs the point head; with edge heads alone it ends at 44.0."""
    ends = {
        part: spans[-1][1] / NM_PER_INCH
        for role, part, spans in checked(rescue_41()).reach.by_fitting
        if role == "head"
    }
    bare = {"extension_10": 0, "extension_22": 0, "long_body": 0, "flat_fitting": 0}

    assert ends["P/point-head"] - ends["P/edge-head"] == 0.5
    assert count(rescue_41(**bare), 44.5) == 3
    assert count(rescue_41(point_head=0, **bare), 44.5) == 0


def test_pitfall_36_permutations_of_the_same_parts_are_one_build() -> None:
    """An extension below the body or above it, and two of them in either order, are one assembly each."""
    listed = checked(tidy()).reach

    assert listed.count == len(listed.assemblies) == 4
    assert len({assembly.identity for assembly in listed.assemblies}) == 4


def test_pitfall_37_same_parts_in_another_order_may_be_illegal() -> None:
    """Where the body's upper end takes fittings only, the extension may stand below it and not above."""
    cache = tidy(parts={"body": {"upper": {"connector": "T", "takes": ["fitting"]}}})

    assert broken(cache, "base", "ext-6", "body", "head") == set()
    assert broken(cache, "base", "body", "ext-6", "head") == {"EXT-4"}
    assert [a.below for a in checked(cache).reach.assemblies if a.extensions == 1] == [("T/ext-6",), ("T/ext-12",)]


def test_pitfall_43_a_chain_is_counted_with_its_binder() -> None:
    """Four chains and three binders hold one base; with STR-2 off, two."""
    cache = tidy(parts=CHAIN, counts={"strap": 0, "chain": 4, "binder": 3})

    assert count(cache, 50, "restrained") == 1
    assert count(cache, 50, "restrained", change("STR-2", on=False)) == 2


@pytest.mark.parametrize(
    ("tray", "fits"),
    [
        ({"length": 35}, True),
        ({"length": 35, "clearance": 1}, False),
        ({"length": 36, "clearance": 1}, True),
        ({"length": 28, "width": 21}, False),
        ({"length": 28, "width": 21, "diagonal": True}, True),
        ({"length": 28, "width": 21, "diagonal": True, "clearance": 1}, False),
        ({"length": 28, "diagonal": True}, False),
    ],
)
def test_pitfall_16_a_closed_set_goes_into_its_tray_with_the_clearance(tray: dict[str, Any], fits: bool) -> None:
    """35 in closed: the latch wants its clearance, and corner to corner counts only where the tray says so."""
    sets = (ready_set("A", "base", "body", "head"),)
    findings = checked(tidy(ready_sets=sets, compartments=[{"id": "tray"} | tray])).findings

    assert ("STO-1" not in {one.rule for one in findings}) == fits


def test_pitfall_17_a_set_is_lifted_with_its_pins_by_so_many_persons() -> None:
    """51 lb with pins is for one, a little over for two, over 68 lb for none; an unknown weight is said to be."""

    def said(mass: str | None) -> list[str]:
        cache = tidy(parts={"body": {"mass": mass}}, ready_sets=(ready_set("A", "base", "body", "head"),))
        return [one.effect for one in checked(cache).findings if one.rule == "LFT-1"]

    assert said("42.5 lb") == []
    assert said("42.6 lb") == ["it takes two persons"]
    assert said("59.6 lb") == ["two persons are not enough"]
    assert said(None) == ["nobody can say who may lift it"]
