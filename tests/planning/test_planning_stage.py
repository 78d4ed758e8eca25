"""Ready sets by hand: pins, straps, compartments, weights, rigs of a pool, and what is told of each set."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import pairwise
from typing import Any

import pytest
from builders import change, moved, needs_of, rescue_41, tidy

import cache_check as api
from cache_check.api.card import card
from cache_check.errors import AskError, NoPlanError
from cache_check.files.pool import pool
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache, Compartment
from cache_check.model.counting import FromRig
from cache_check.model.need import Needs
from cache_check.model.rule import Setting
from cache_check.model.staging import Staging, StepOnScene
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.verify import FalsePlanError
from cache_check.planning.staging.played import Chosen, set_names
from cache_check.planning.staging.stage import _Choice
from cache_check.planning.staging.stowing import on_diagonal
from cache_check.planning.staging.verify_stage import verify, verify_scenes
from cache_check.units import KG_PER_LB, NEWTON_PER_LBF, NM_PER_INCH

INCH = NM_PER_INCH


def staged(cache: Cache, needs: Needs, sets: int, *settings: Setting) -> Staging:
    """The ready sets of a cache."""
    suppose = api.WhatIf(on=date(2026, 11, 25), settings=settings)
    found = api.stage(cache, read_rules(), needs=needs, sets=sets, suppose=suppose).staging
    assert found is not None
    return found


def tray(cache: Cache, length: float, **fields: Any) -> Cache:
    """The cache with one compartment, lengths in inches."""
    place = Compartment.model_validate(
        {"id": "tray", "rig": cache.rigs[0], "length": length} | fields, context={"units": "us"}
    )
    return cache.changed(compartments=(*cache.compartments, place))


def stacks(found: Staging) -> list[str]:
    """The sets' parts, ground to load."""
    return [" ".join(part.rpartition("/")[2] for part in one.assembly.parts) for one in found.sets]


def test_a_pin_that_a_set_holds_is_set_free_by_a_joint_broken() -> None:
    """Four pins: two plain sets hold them all, so the strut with an extension costs a joint of the other set."""
    cache = tidy(counts={"pin": 4, "ext-12": 0})
    needs = needs_of([{"at": 40, "count": 2}], [{"at": 61, "count": 1}])

    found = staged(cache, needs, 2)

    assert stacks(found) == ["base body head", "base body head"]
    assert [scene.joints for scene in found.scenes] == [0, 4]
    assert [step.does for step in found.scenes[1].steps] == ["break", "break", "make", "make"]


def test_straps_are_counted_in_every_scene() -> None:
    """Two straps hold one base; so of two needs each is served once, though two of the first would cost no joint."""
    cache = tidy(counts={"strap": 2})
    needs = needs_of([{"at": 40, "count": 2}, {"at": 61, "count": 1, "restrained": False}])

    found = staged(cache, needs, 2)

    assert [served for _, _, served in found.scenes[0].served.needs] == [1, 1]
    assert found.scenes[0].ties == (("T/strap", 2),)
    assert found.weighted_joints == 0


def test_straps_are_allotted_while_there_are_any() -> None:
    """Three straps: the first set has its two, the second is told that it wants two."""
    found = staged(tidy(counts={"strap": 3}), needs_of([{"at": 40, "count": 2, "restrained": False}]), 2)

    assert [one.ties for one in found.sets] == [(("T/strap", 2),), ()]
    assert [one.ties_wanted for one in found.sets] == [2, 2]
    assert dict(found.loose)["T/strap"] == 1


def test_what_holds_a_set_is_not_called_loose() -> None:
    """Two sets take four straps and their four binders: the card, which hands out the same sets, has as much loose."""
    parts: dict[str, dict[str, Any]] = {
        "binder": {"kind": "hardware", "wll": 10_000}, "strap": {"needs": {"T/binder": 1}},
    }  # fmt: skip
    cache = tidy(counts={"strap": 5, "binder": 6}, parts=parts)
    needs = needs_of([{"at": 40, "count": 2}])
    found = api.stage(cache, read_rules(), needs=needs, sets=2, suppose=api.WhatIf(on=date(2026, 11, 25)))

    assert found.staging is not None
    assert [one.ties for one in found.staging.sets] == 2 * [(("T/strap", 2),)]
    assert {part: n for part, n in found.staging.loose if part in ("T/strap", "T/binder")} == {
        "T/strap": 1, "T/binder": 2,
    }  # fmt: skip
    shown = card(cache, read_rules(), proposed=found, suppose=api.WhatIf(on=date(2026, 11, 25)))
    assert sorted(shown.loose) == sorted(found.staging.loose)


@pytest.mark.parametrize(
    ("length", "clearance", "goes_in"), [(41, 0, True), (40.999, 0, False), (42, 1, True), (41.999, 1, False)]
)
def test_a_set_that_just_fits_fits(length: float, clearance: float, goes_in: bool) -> None:
    """A set of 41 in closed goes into 41 in of clear length, and into no less; clearance counts on top."""
    cache = tray(tidy(), length, clearance=clearance)

    found = staged(cache, needs_of([{"at": 61, "count": 1}]), 1)

    assert (stacks(found) == ["base body ext-6 head"]) == goes_in


def test_a_set_lies_on_the_diagonal_only_where_it_may() -> None:
    """41 in do not go into 40 by 12 straight, across they do where the compartment says so, and then alone."""
    needs = needs_of([{"at": 61, "count": 1}], [{"at": 40, "count": 1}])
    narrow = tidy(parts={"base": {"footprint": None}})
    without = staged(tray(narrow, 40, width=12), needs, 2)
    across = staged(tray(narrow, 40, width=12, diagonal=True), needs, 2)

    assert stacks(without) == ["base body head"]
    assert stacks(across) == ["base body ext-6 head"]
    assert across.sets[0].stowed.diagonal
    muster = Muster(tray(narrow, 40, width=9, diagonal=True), read_rules(), date(2026, 11, 25))
    with pytest.raises(FalsePlanError, match="set A does not fit tray"):  # 9 in are less than the root of 81
        verify(Muster(tray(narrow, 40, width=8.9, diagonal=True), muster.book, muster.on), needs.scenes, 2, across)
    verify(muster, needs.scenes, 2, across)


def test_several_trays_hold_several_sets() -> None:
    """A tray for one base of 7 in beside another: two sets want two trays, or one that is twice as wide."""
    parts = {"base": {"footprint": {"length": 7, "width": 7}}}
    needs = needs_of([{"at": 40, "count": 2}])
    narrow = tray(tidy(parts=parts), 40, width=10, height=8)

    assert len(staged(narrow, needs, 2).sets) == 1
    assert len(staged(tray(narrow, 40, id="second", width=10, height=8), needs, 2).sets) == 2
    assert len(staged(tray(tidy(parts=parts), 40, width=14, height=8), needs, 2).sets) == 2
    assert len(staged(tray(tidy(parts=parts), 40, width=14, height=6.9), needs, 2).sets) == 0


def test_a_set_lies_where_most_is_stated() -> None:
    """Of two trays that are long enough the first states no width: whether the set fits in there nobody knows."""
    parts = {"base": {"footprint": {"length": 7, "width": 7}}}
    needs = needs_of([{"at": 40, "count": 1}])
    unstated = tray(tidy(parts=parts), 40)

    assert staged(unstated, needs, 1).sets[0].stowed.compartment == "tray"
    lies = staged(tray(unstated, 40, id="second", width=7, height=8), needs, 1).sets[0].stowed
    assert (lies.compartment, lies.unchecked) == ("second", ("weight allowance of the compartment not stated",))


def test_a_compartment_carries_no_more_than_it_may() -> None:
    """Two sets of 23.5 lb go on 47 lb, and only one on a little less; one just on 23.5."""
    needs = needs_of([{"at": 40, "count": 2}])

    assert len(staged(tray(tidy(), 60, carries=47), needs, 2).sets) == 2
    assert len(staged(tray(tidy(), 60, carries=46.999), needs, 2).sets) == 1
    assert len(staged(tray(tidy(), 60, carries=23.5), needs, 2).sets) == 1


def test_a_set_too_heavy_for_two_is_not_left_built() -> None:
    """At 68 lb a set may be left built, over it not; who carries it is said."""
    needs = needs_of([{"at": 40, "count": 1}])
    light, heavy = (tidy(parts={"body": {"mass": mass}}) for mass in (59.5, 59.75))

    (one,) = staged(light, needs, 1).sets

    assert one.assembly.mass == 68 * KG_PER_LB
    assert one.carry == "two persons"
    assert staged(heavy, needs, 1).sets == ()
    assert staged(heavy, needs, 1, change("LFT-1", on=False)).sets != ()


def test_a_set_of_unknown_weight_is_not_left_built() -> None:
    """Unknown is never light enough."""
    cache = tidy(parts={"head": {"mass": None}})

    found = staged(cache, needs_of([{"at": 40, "count": 1}]), 1)

    assert (found.sets, found.unweighed) == ((), ("T/head",))


def test_a_set_lies_on_the_rig_that_owns_its_pieces() -> None:
    """Two rigs pooled, of which one has all the bodies: no set is made of its bodies in the other's tray."""
    bodies = tray(tidy(counts={"base": 0, "head": 0}), 60)
    ends = moved(tray(tidy(counts={"body": 0}), 60), "second")
    together = pool([bodies, ends.changed(compartments=tuple(c.changed(rig="second") for c in ends.compartments))])

    assert staged(together, needs_of([{"at": 40, "count": 1}]), 2).sets == ()


def test_ratings_are_told_to_where_each_holds() -> None:
    """A plain set of 35 to 55 in: 8,000 lbf to its open end, by the row at 55 in."""
    (one,) = staged(tidy(), needs_of([{"at": 40, "count": 1}]), 1).sets

    assert one.rated == ((55 * INCH, 8000 * NEWTON_PER_LBF),)


def test_what_loose_pieces_make_of_a_set() -> None:
    """The plain set and a loose extension: one joint broken, two made; nothing is told that takes what is not loose."""
    (one,) = staged(tidy(counts={"ext-12": 0}), needs_of([{"at": 40, "count": 1}]), 1).sets

    assert [(assembly.parts, broken, made) for assembly, broken, made in one.turns_into] == [
        (("T/base", "T/body", "T/ext-6", "T/head"), 1, 2)
    ]


def test_holes_between_sets_are_those_that_the_loose_cache_does_not_have() -> None:
    """Sets of 35 to 55 and of 71 to 81 in leave a hole; lengths that no build reaches are none."""
    parts = {"second": {"kind": "body", "closed": 60, "open": 70, "pull_apart": 75, "lock": "collar", "mass": 15}}
    needs = needs_of([{"at": 40, "count": 1}], [{"at": 75, "count": 1}])
    bare = tidy(parts=parts, counts={"second": 1, "ext-6": 0, "ext-12": 0})
    full = tidy(parts=parts, counts={"second": 1})

    assert staged(bare, needs, 2).holes == ()
    assert staged(full, needs, 2).holes == ((55 * INCH, 71 * INCH),)


def test_a_tampered_staging_is_refused() -> None:
    """The verifier refuses a staging with a step left out, a set too many, or joints miscounted."""
    cache = tidy(counts={"ext-12": 0})
    needs = needs_of([{"at": 40, "count": 2}], [{"at": 61, "count": 1}])
    muster = Muster(cache, read_rules(), date(2026, 11, 25))
    good = staged(cache, needs, 2)
    verify(muster, needs.scenes, 2, good)
    second = good.scenes[1]

    wrong = [
        replace(good, weighted_joints=good.weighted_joints - 1),
        replace(good, scenes=(good.scenes[0], replace(second, steps=second.steps[1:]))),
        replace(good, scenes=(good.scenes[0], replace(second, steps=second.steps[:-1]))),
        replace(good, sets=(*good.sets, good.sets[0])),
        replace(good, loose=(("T/strap", dict(good.loose).get("T/strap", 0) + 1),)),
        replace(good, loose_on=(FromRig("t", (("T/body", 2),)),)),
    ]

    for one in wrong:
        with pytest.raises(FalsePlanError, match="a choice of ready sets failed its own verification: "):
            verify(muster, needs.scenes, 2, one)
    lying = [(one.name, one.assembly) for one in good.sets]
    verify_scenes(muster, needs.scenes, lying, good.scenes)
    for sets, scenes in ((lying, wrong[1].scenes), (lying[1:], good.scenes), (5 * lying, good.scenes)):
        with pytest.raises(FalsePlanError):
            verify_scenes(muster, needs.scenes, sets, scenes)


def test_the_diagonal_is_that_of_a_rectangle_turned() -> None:
    """By turning: a stick of 50 goes across 40 by 30, one of 51 does not; 10 wide, 45 long does not go across it."""
    assert on_diagonal(50, 0, 40, 30)
    assert not on_diagonal(51, 0, 40, 30)
    assert not on_diagonal(45, 10, 40, 30)
    assert on_diagonal(41, 5, 40, 30)


def test_asking_for_no_set_is_refused() -> None:
    """None is not a number of sets to leave built."""
    with pytest.raises(AskError, match="ask for one at least"):
        api.stage(tidy(), read_rules(), sets=0)


def test_sets_have_names_however_many_there_are() -> None:
    """A to Z, then A2."""
    assert set_names(28)[:2] == ("A", "B")
    assert set_names(28)[25:] == ("Z", "A2", "B2")


@pytest.mark.parametrize("lean", [True, False], ids=["lean in time", "not even that"])
def test_where_no_proof_comes_sets_are_shown_all_the_same(monkeypatch: pytest.MonkeyPatch, *, lean: bool) -> None:
    """Where the programme of all sets does not end, sets that spare joints are left, and said to be unproven.

    So too where the leanest struts for them are not found in time.
    """
    cache, needs = tidy(counts={"ext-12": 1}), needs_of([{"at": 40, "count": 2}], [{"at": 61, "count": 1}])
    best = staged(cache, needs, 2)

    def late(choice: _Choice) -> None:
        raise NoPlanError(choice._stopped())

    def no_leanest(choice: _Choice, *args: Any, whole: bool) -> Chosen | None:
        if whole:
            raise NoPlanError("the limit was reached")
        return play(choice, *args, whole=whole)

    monkeypatch.setattr(_Choice, "_fewest", late)
    if not lean:
        play = _Choice._played
        monkeypatch.setattr(_Choice, "_played", no_leanest)
    found = staged(cache, needs, 2)

    assert best.unproven == ""
    assert found.unproven.startswith("the search for the fewest joints made or broken on scene reached its limit of ")
    assert found.unproven.endswith(f" s: the best found has {found.weighted_joints}, at least 0 are proven")
    assert len(found.sets) == 2
    assert found.weighted_joints == best.weighted_joints
    assert found.bound == 0


@pytest.mark.parametrize("at", ["_try", "_lightest"])
def test_sets_that_are_better_than_a_bound_show_that_its_proof_is_wrong(
    monkeypatch: pytest.MonkeyPatch, at: str
) -> None:
    """Nothing is then called proven, nor are sets shown, at whichever goal that is seen."""
    right = getattr(_Choice, at)

    def with_a_false_bound(choice: _Choice, *found: Any) -> Any:
        choice.bound = 1_000
        return right(choice, *found)

    monkeypatch.setattr(_Choice, at, with_a_false_bound)
    with pytest.raises(FalsePlanError, match="the proof of a bound failed its own verification"):
        staged(tidy(counts={"ext-12": 1}), needs_of([{"at": 40, "count": 2}], [{"at": 61, "count": 1}]), 2)


def test_without_needs_the_matched_sets_are_stowed() -> None:
    """Rescue 41 with its tray: three matched sets, each told with where it would lie."""
    cache = tray(rescue_41(), 62, clearance=1)

    result = api.stage(cache, read_rules(), suppose=api.WhatIf(on=date(2026, 11, 25)))

    assert result.staging is None
    assert [one.count for one in result.matched] == [1, 2, 3]
    assert [one.stowed.compartment for one in result.stowed] == ["tray"] * 3


@pytest.mark.parametrize(("at", "pieces"), [(46, ""), (50, "ext-6 "), (58, "ext-12 "), (62, "ext-12 ext-6 ")])
def test_of_sets_that_serve_alike_the_one_with_most_left_to_turn(at: int, pieces: str) -> None:
    """Of 35 to 55, 41 to 61, 47 to 67 and 53 to 73 in the one in which the length lies 9 in from both ends."""
    found = staged(tidy(), needs_of([{"at": at}]), 1)

    assert stacks(found) == [f"base body {pieces}head"]
    assert [strut.margin for strut in found.scenes[0].struts] == [9 * INCH]


def test_a_strap_that_one_strut_took_holds_no_other() -> None:
    """Two straps of each of two makes: the first strut has those of one, the second those of the other."""
    other = {"other": {"kind": "strap", "wll": 3333, "length": "20 ft", "mass": 3}}
    cache = tidy(parts=other, counts={"strap": 2, "other": 2})
    (scene,) = staged(cache, needs_of([{"at": 40, "count": 2}]), 2).scenes

    assert [strut.ties for strut in scene.struts] == [(("T/strap", 2),), (("T/other", 2),)]


def test_loose_bases_with_points_are_enough_for_those_that_are_held() -> None:
    """Of three bases two have their points: one in the set, one loose, and each is held."""
    cache = tidy(counts={"base": 3}, items={"base": [{"serial": "B", "points_usable": 1}]})
    found = staged(cache, needs_of([{"at": 40, "count": 2}]), 1)

    assert [strut.loose for strut in found.scenes[0].struts] == [(), ("T/base", "T/body", "T/head")]
    assert found.weighted_joints == 2


def test_a_loose_base_is_not_held_by_the_points_that_a_set_has() -> None:
    """One of two bases has its points, and is in the set: that is what is held, and the longer strut is made loose."""
    cache = tidy(items={"base": [{"serial": "B", "points_usable": 1}]})
    found = staged(cache, needs_of([{"at": 40}, {"at": 61, "restrained": False}]), 1)

    assert [(strut.sets, strut.restrained) for strut in found.scenes[0].struts] == [(("A",), True), ((), False)]
    assert found.weighted_joints == 3


def test_a_head_taken_off_a_set_brings_no_points() -> None:
    """Where bases are heads too and one of four has its points, that is the ground of the set: it must come off."""
    second = {"kind": "body", "closed": 60, "open": 80, "pull_apart": 85, "lock": "collar", "mass": 15}
    lost = [{"serial": serial, "points_usable": 1} for serial in "BCD"]
    cache = tidy(
        parts={"base": {"serves": ["base", "head"]}, "second": second}, items={"base": lost},
        counts={"head": 1, "base": 4, "body": 1, "second": 1, "strap": 8},
    )  # fmt: skip
    found = staged(cache, needs_of([{"at": 58}], [{"at": 70}, {"at": 40, "restrained": False}]), 1)

    assert found.weighted_joints == 6


def test_the_verifier_sees_a_loose_base_held_by_the_points_that_a_set_has() -> None:
    """The one base with points is in the set, which is left lying: what is made beside it is not held.

    With the base taken off the set, or points on both, it is.
    """
    cache, needs = tidy(items={"base": [{"serial": "B", "points_usable": 1}]}), needs_of([{"at": 40}])
    good = staged(cache, needs, 1)
    loose = ("T/base", "T/body", "T/head")
    made = [StepOnScene("make", *pair, "strut 1") for pair in pairwise(loose)]
    strut = replace(good.scenes[0].struts[0], sets=(), loose=loose, made=2)
    beside = replace(good, weighted_joints=2, scenes=(replace(good.scenes[0], struts=(strut,), steps=tuple(made)),))
    freed = (StepOnScene("break", "T/base", "T/body", "A"), *made)
    opened = replace(good, weighted_joints=3, scenes=(replace(beside.scenes[0], steps=freed),))
    muster = Muster(cache, read_rules(), date(2026, 11, 25))

    verify(muster, needs.scenes, 1, opened)
    verify(Muster(tidy(), muster.book, muster.on), needs.scenes, 1, beside)
    with pytest.raises(FalsePlanError, match="1 loose T/base are restrained beside 1 in sets, 1 have the points"):
        verify(muster, needs.scenes, 1, beside)


@pytest.mark.parametrize(("points", "sets"), [(0, 0), (2, 1)])
def test_a_set_lies_on_a_rig_with_a_base_that_can_be_held(points: int, sets: int) -> None:
    """Both of one rig's bases have lost their points, and it alone has bodies: those of the other rig do not count."""
    lost = [{"serial": serial, "points_usable": points} for serial in ("B", "C")]
    one = tray(tidy(items={"base": lost}), 60)
    found = staged(pool([one, moved(tidy(counts={"body": 0, "head": 0}), "two")]), needs_of([{"at": 40}]), 1)

    assert len(found.sets) == sets


def test_sets_that_stand_in_for_each_other_are_taken_as_they_are() -> None:
    """One scene wants one head, one the other, one two of any: there each set stands whole, with its own head."""
    cache = rescue_41(short_body=9, hinged_base=9, edge_head=9, point_head=9, joint_pin=60, strap=20)
    found = staged(cache, needs_of(
        [{"at": 36, "count": 1, "contact": "edge"}], [{"at": 36, "count": 1, "contact": "hole"}],
        [{"at": 36, "count": 2}],
    ), 2)  # fmt: skip

    assert found.weighted_joints == 0
    assert sorted(strut.assembly.load for strut in found.scenes[2].struts) == ["P/edge-head", "P/point-head"]
