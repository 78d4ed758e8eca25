"""Small parts of planning asked by themselves, where a plan as a whole would hide what one of them gets wrong."""

from __future__ import annotations

from collections import Counter
from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from builders import MARKED, change, checked, loaded, moved, needs_of, ready_set, rescue_41, situation, tidy
from laws import books

import cache_check as api
from cache_check.api.base import muster_of
from cache_check.api.card import card
from cache_check.files.pool import pool
from cache_check.files.rules import read_rules
from cache_check.loads.chart import DesignFactor
from cache_check.loads.solve import shape_of
from cache_check.planning.loading import holding
from cache_check.planning.loading.at_hand import facts
from cache_check.planning.loading.loading import near
from cache_check.planning.packing import choice
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.ratings import factor_ruled
from cache_check.planning.packing.rows import Hold, points_row
from cache_check.planning.staging.ready_sets import turning
from cache_check.planning.staging.rigs import Rigs
from cache_check.planning.staging.runs import every_run, openings, stack_of
from cache_check.units import NM_PER_INCH

DAY = date(2026, 4, 1)


def _rigs(**gone: int) -> Rigs:
    """Two rigs of one sound base and one that has lost a point each; pieces of a part by name are supposed gone."""
    poor = [{"serial": "B-1", "points_usable": 1}]
    one = tidy(counts={"base": 2}, items={"base": poor})
    suppose = api.WhatIf(on=DAY, without=tuple(gone.items()))
    return Rigs(muster_of(pool([one, moved(one, "trailer")]), read_rules(), suppose))


def test_pieces_that_are_gone_are_gone_from_the_rigs_in_turn() -> None:
    """Three bases gone: both of the rig named first, one of the other, those with points before others."""
    points = points_row("T/base")

    def there(rigs: Rigs) -> list[tuple[int, int]]:
        return [(rigs.have(name, "T/base"), rigs.have(name, points)) for name in (*rigs.names, "")]

    assert there(_rigs()) == [(2, 1), (2, 1), (4, 2)]
    assert there(_rigs(base=3)) == [(0, 0), (1, 0), (1, 0)]


def test_a_set_is_taken_from_the_rig_where_it_lies() -> None:
    """What lies nowhere, and what its rig lacks, is of the rig named first."""
    rigs = _rigs()
    first, second = rigs.names

    def bodies(*aside: tuple[Counter[str], str]) -> list[int]:
        return [dict(one.pieces).get("T/body", 0) for one in rigs.left(aside)]

    assert bodies((Counter({"T/body": 1}), second)) == [2, 1]
    assert bodies((Counter({"T/body": 1}), first)) == [1, 2]
    assert bodies((Counter({"T/body": 3}), second)) == [1, 0]
    assert bodies((Counter({"T/body": 1}), "")) == [1, 2]


@pytest.mark.parametrize(
    ("inches", "height", "nearest"),
    [
        (36, 34, []), (50, 34, []), (44, 34, [40, 47]), (30, 32, [35]), (60, 36, [50.91]), (60, 40, [52]),
        (44, 20, []), (44, 32, [40]), (45, 44, [47]),
    ],
)  # fmt: skip
def test_the_nearest_lengths_are_told_where_the_length_is_not_reached(
    inches: int, height: int, nearest: list[float]
) -> None:
    """The body alone from 35 to 40 in, with the extension of 12 in from 47 to 52, set between 45 and 70 deg."""
    short = {"closed": 30, "open": 35, "pull_apart": 40}
    muster = Muster(tidy(parts={"body": short}, counts={"ext-6": 0}), books.book(), DAY)
    shape = shape_of(situation(contact_height=height, angle=45))
    found = near(muster, shape, inches * NM_PER_INCH)

    assert [round(one.length / NM_PER_INCH, 2) for one in found] == nearest
    assert all(one.angle_deg is not None and 45 <= one.angle_deg <= 70 for one in found)


def test_where_no_rule_says_how_a_strut_stands_a_length_too_short_for_the_contact_has_no_angle() -> None:
    """What reaches nowhere near is told as that, not hidden: no rule is left that keeps it out."""
    muster = Muster(tidy(), books.book([books.setting("ANG-1", on=False)]), DAY)
    [found] = near(muster, shape_of(situation(contact_height=200, angle=45)), 280 * NM_PER_INCH)

    assert found.angle_deg is None


def test_a_factor_that_was_said_is_told_from_one_that_was_not() -> None:
    """What a setting names is said; a setting of another rule says no factor."""
    said, other = books.setting("CAP-1", factor=Fraction(3)), books.setting("EXT-1", max=1)

    assert factor_ruled(books.book([said])) == DesignFactor(Fraction(3), said=True)
    assert not factor_ruled(books.book([other])).said


@pytest.mark.parametrize(("setting", "ruled"), [({}, True), ({"on": False}, False), ({"min": 0}, False)])
def test_nothing_is_called_restrained_where_no_rule_says_what_that_is(setting: dict[str, Any], ruled: bool) -> None:
    """Off, or of no straps at all, the rule says nothing."""
    muster = Muster(tidy(), books.book([books.setting("STR-1", **setting)] if setting else []), DAY)

    assert muster.restraint_ruled is ruled
    assert ("restrained" in muster.steps) is ruled


def test_many_ties_of_one_kind_take_their_hardware_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where ways to mix are too many to be listed the answer is the same, of a cache that has but one kind of tie."""
    hooks: dict[str, dict[str, Any]] = {"hook": {"kind": "hardware", "wll": 5000}, "strap": {"needs": {"T/hook": 2}}}
    few, enough = (tidy(parts=hooks, counts={"hook": number}) for number in (3, 4))

    def verdicts() -> list[str | None]:
        return [loaded(rig, vertical=1000, contact_height=40, angle=60).verdict for rig in (few, enough)]

    before = verdicts()
    monkeypatch.setattr(holding, "_MOST_WAYS", 0)
    assert verdicts() == before
    assert before[0] != before[1]


@pytest.mark.parametrize(("inside", "holds"), [(20, True), (39, False), (40, False)])
def test_a_vehicle_whose_weight_lies_over_its_other_edge_is_kept_by_nothing(inside: int, holds: bool) -> None:
    """Pre-tension of 50 lbf turns it over an edge 40 in away that little, or nothing, of its weight lies inside of."""
    found = loaded(
        tidy(), contact_height=40, angle=60, weight=3000, weight_inside=inside, edges_apart=40, sideways_share="0.1",
        pretension=50,
    )  # fmt: skip

    assert [link.state for link in found.links if link.link == "pre-tension"] == ["holds" if holds else "does not hold"]


def test_what_nobody_counted_may_be_as_many_as_all_struts_take() -> None:
    """Two struts want two pins each, or four with extensions; nobody counted them, so that it is not known."""
    (scene,) = checked(tidy(counts={"pin": None}), needs=needs_of([{"at": 40, "count": 2}])).scenes

    assert scene.verdict == "not known"


def test_a_base_more_is_one_with_as_many_points_as_it_was_made_with() -> None:
    """Made with three: it is one for a family that asks three, and none for a family that asks four."""
    rig = tidy(parts={"base": {"points": (*MARKED, {"wll": 5000})}})
    said = [books.setting("PTS-1", family=family, min=least) for family, least in (("Q", 3), ("R", 4))]
    columns = Muster(rig, books.book(said), DAY).columns

    assert [columns.rows[row] for row in columns.changed("T/base")] == [
        "T/base", points_row("T/base"), points_row("T/base >= 3")
    ]  # fmt: skip


def test_another_head_is_one_joint_broken_and_one_made() -> None:
    """With that head loose, and with a pin of its own set free by the joint that is broken; without it, it is not."""
    muster = Muster(rescue_41(), books.book(), DAY)
    made, other = (
        next(one for one in muster.joined.assemblies()
             if one.parts == ("P/hinged-base", "P/short-body", f"P/{head}")) for head in ("edge-head", "point-head")
    )  # fmt: skip

    assert turning(muster, made, other, {"P/point-head": 1}) == (1, 1)
    assert turning(muster, made, other, {}) is None


def test_a_joint_that_is_opened_sets_its_pins_free() -> None:
    """Of base, body and head pinned twice a joint: whole it yields nothing that is counted, opened two pins or four."""
    pins = (("pin", 2), ("pin", 2))
    stack = stack_of(("base", "body", "head"), pins)
    found = openings(stack, range(len(every_run(stack))), pins, {}, frozenset({"pin"}))

    assert [(one.split.at, one.pins) for one in found] == [((0,), (("pin", 2),)), ((0, 1), (("pin", 4),))]


def test_a_run_that_keeps_a_counted_pin_in_it_pays() -> None:
    """A joint is broken to spare another, which is no fewer joints, but the pin that is short stays where it is."""
    pins = (("scarce", 1), ("plenty", 1), ("plenty", 1))
    stack = stack_of(("base", "adapter", "body", "head"), pins)
    runs = every_run(stack)
    kinds = {runs.index(stack[:3]): 7}

    found = openings(stack, range(len(runs)), pins, kinds, frozenset({"scarce"}))

    assert [(one.split.at, one.yields) for one in found if one.yields] == [((1,), ((7, 1),))]
    assert not openings(stack, range(len(runs)), pins, kinds, frozenset())


@pytest.mark.parametrize(
    ("angles", "lie"),
    [(["30 left", "40 left"], "on one side of the strut's line"),
     (["30 right", "40 right"], "on one side of the strut's line"), (["30 left", "40 right"], ""),
     (["10 left", "43 right"], ""), ([0, "30 left", "30 right"], ""), ([0, 0, "1 left", "1 right"], ""),
     ([0, "40 left"], "on one side of the strut's line or in it"),
     ([0, "40 right"], "on one side of the strut's line or in it"),
     ([0, 0], "on one side of the strut's line or in it"), (0, "on one side of the strut's line or in it")],
)  # fmt: skip
def test_straps_on_one_side_hold_no_base(angles: Any, lie: str) -> None:
    """Whichever side that is; a strap in the strut's own line keeps the base from neither."""
    base = {"points": [*MARKED, *MARKED]}
    found = loaded(
        tidy(parts={"base": base}, counts={"strap": 8}), contact_height=40, angle=60, vertical=1000, half_angles=angles
    )

    says = f"all straps lie {lie}: the base swings, no tension holds it"
    assert (found.verdict == "met") is (not lie)
    assert [why for step, why in found.tally.why_zero if step == "restrained"] == ([says] if lie else [])


def test_straps_that_no_rule_lets_spread_hold_the_base_of_no_need() -> None:
    """Where the widest half-angle is none all straps run along the line: of a need, of a place, and on no card."""
    along, need = change("STR-3", max=0), {"at": 46.2, "load": 1000, "angle": 60}

    asked = checked(tidy(), along, needs=needs_of([need])).scenes[0]
    here = loaded(tidy(), along, contact_height=40, angle=60, vertical=800)

    assert (asked.verdict, here.verdict) == ("not met", "not met")
    assert facts(Muster(tidy(), read_rules().changed(settings=(along,)), date(2026, 4, 1)), (), 2).fans == ()


@pytest.mark.parametrize(("rule", "values"), [("STR-3", {"max": 90}), ("ANG-1", {"min": 0}), ("ANG-1", {"max": 45})])
def test_an_angle_that_no_strut_or_strap_has_is_still_an_answer(rule: str, values: dict[str, Any]) -> None:
    """A card of a rig whose policy allows straps across the line, or struts that lie flat: it ended in a fault."""
    rig, suppose = tidy(ready_sets=(ready_set("A", "base", "body", "head"),)), api.WhatIf(on=date(2026, 4, 1))

    book = read_rules().changed(settings=(change(rule, **values),))

    assert card(rig, book, suppose=suppose).sets[0].usable
    assert api.reach(rig, book, suppose=suppose, at=40 * NM_PER_INCH, load=Fraction(4000)).reach.union


def test_a_rule_on_sides_that_is_off_leaves_it_to_statics() -> None:
    """A strap on the line then holds the thrust by itself; with none on it one side alone holds nothing."""
    at: dict[str, Any] = {"contact_height": 40, "angle": 60, "vertical": 1000}
    off = change("STR-3", on=False)

    found = [loaded(tidy(), off, half_angles=angles, **at).verdict for angles in ([0, "40 left"], ["30 left"] * 2)]

    assert found == ["met", "not met"]


@pytest.mark.parametrize("least", [10, 11])
def test_more_ties_on_a_base_than_any_is_held_by(least: int) -> None:
    """Ten hold a base, and eleven are no way of holding it: that is an answer, whatever lies on the rig."""
    rig, needs = tidy(counts={"strap": 40}), needs_of([{"at": 40, "count": 2, "load": 1000, "angle": 60}])

    result = checked(rig, change("STR-1", min=least), needs=needs)

    assert result.scenes[0].verdict == ("met" if least == 10 else "not met")


def test_of_a_v_and_one_on_the_line_none_may_fail() -> None:
    """What is left on the line and on one side lets the base swing, as such straps do to begin with."""
    of = {number: ["20 left", "30 right"] * number for number in (1, 2)}
    base = {"points": [*MARKED] * 3}
    rig = tidy(parts={"base": base}, counts={"strap": 12})

    failed = [
        loaded(rig, contact_height=40, angle=60, vertical=1000, half_angles=[0, *sides]).ties[0].one_failed
        for sides in of.values()
    ]

    assert [tension is None for tension in failed] == [True, False]


@pytest.mark.parametrize(("points", "verdict"), [([{}, {}], "not known"), (list(MARKED), "met")])
def test_a_point_without_a_mark_is_not_known_beside_hardware_that_has_one(points: list[Any], verdict: str) -> None:
    """The hooks of the straps are marked; what the base's own points hold nobody says."""
    parts: dict[str, dict[str, Any]] = {
        "hook": {"kind": "hardware", "wll": 9000}, "strap": {"needs": {"T/hook": 2}}, "base": {"points": points},
    }  # fmt: skip
    rig, needs = tidy(parts=parts, counts={"hook": 8}), needs_of([{"at": 40, "count": 1, "load": 1000}])

    assert checked(rig, needs=needs).scenes[0].verdict == verdict


def test_of_too_many_columns_to_choose_among_so_many_struts_are_shown_as_are_asked(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The packer's own plan, of which the first struts are taken; each is verified where it is shown."""
    monkeypatch.setattr(choice, "_FEW", 0)
    muster, ask = Muster(tidy(), books.book(), DAY), Ask(40 * NM_PER_INCH, 40 * NM_PER_INCH)

    shown = [choice.shown(muster, ask, "restrained", most) for most in (None, 2, 1)]
    assert [(one.count, one.bound) for one in shown] == [(2, 2), (2, 2), (1, 1)]


@pytest.mark.parametrize(("ties", "held", "exactly"), [(2, False, False), (3, True, True), (4, True, False)])
def test_a_base_held_by_fewer_ties_than_are_asked_is_not_held(ties: int, held: bool, exactly: bool) -> None:
    """Of three that are asked two are too few; four hold it too, though not exactly as asked."""
    columns = Muster(tidy(), books.book([books.setting("STR-1", min=3)]), DAY).columns
    hold, families = Hold(((0, ties),), ()), frozenset({"T"})

    assert columns.holds_as_asked(hold, families) is held
    assert columns.holds_as_asked(hold, families, exactly=True) is exactly


@pytest.mark.parametrize(
    ("far", "why"), [("structure", "on structure, as stated"), (None, "what they hold is not stated"),
                     (5000, "as stated")],
)  # fmt: skip
def test_what_is_said_of_the_far_anchors(far: str | int | None, why: str) -> None:
    """Whether anybody stated what they hold."""
    found = loaded(tidy(), contact_height=40, angle=60, vertical=1000, far_anchors=far)

    assert [link.why for link in found.links if link.link == "far anchors"] == [why]


def test_a_part_alone_without_a_title_is_called_by_its_name() -> None:
    """All others have titles, so no other has its own, which is none."""
    rig = tidy()
    titled = tuple(part.changed(title=f"A {part.name}") for part in rig.catalogue.parts[1:])
    rig = rig.changed(catalogue=rig.catalogue.changed(parts=(untitled := rig.catalogue.parts[0], *titled)))
    assert (untitled.title, rig.catalogue.said[untitled.id]) == ("", untitled.name)
    assert rig.catalogue.said[titled[0].id] == titled[0].title
