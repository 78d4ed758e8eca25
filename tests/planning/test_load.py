"""A situation answered whole: shares, straps, what governs, how many at once, ground, and the way back."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from fractions import Fraction
from itertools import product
from typing import Any

import pytest
from builders import change, checked, loaded, needs_of, rescue_41, situation, tidy

import cache_check as api
from cache_check.api.card import card
from cache_check.errors import AskError
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache
from cache_check.model.counting import Step, Tally
from cache_check.model.load import Carrier, LoadResult
from cache_check.model.need import Needs, Scene, reaching
from cache_check.model.rule import Setting
from cache_check.model.verdict import LinkCheck
from cache_check.planning.packing.tally import tally
from cache_check.planning.packing.verify import FalsePlanError
from cache_check.units import KG_PER_LB, NEWTON_PER_LBF, NM_PER_INCH

MARKED: dict[str, Any] = {"base": {"points": [{"wll": 5000}, {"wll": 5000}], "footprint": {"length": 7, "width": 7}}}
AT: dict[str, Any] = {"contact_height": 40, "angle": 60, "half_angles": 30}


def pounds(newtons: Fraction | None) -> float | None:
    """A force in lbf."""
    return None if newtons is None else float(newtons / NEWTON_PER_LBF)


def rules(result: LoadResult) -> set[str]:
    """The rules that found something."""
    return {finding.rule for finding in result.findings}


def best(result: LoadResult) -> Carrier:
    """The best assembly."""
    return result.carriers[0]


def test_every_step_of_a_strut_at_its_contact_asks_for_a_head_that_suits_as_a_need_does() -> None:
    """Of three heads one is made for a hole: one strut is assembled, restrained and rated at one, as in check."""
    heads = {"hole-head": {"kind": "fitting", "serves": "head", "adds": 2, "mass": 2, "contacts": ["hole"]}}
    cache = tidy(parts=heads, counts={"hole-head": 1})
    here = loaded(cache, **AT, vertical=1000, contact="hole").tally
    asked = {"at": 46.2, "load": 1000, "contact": "hole", "angle": 60}
    need = checked(cache, needs=needs_of([asked])).tallies[0]
    nowhere = loaded(tidy(), **AT, vertical=1000, contact="hole").tally

    steps: tuple[Step, ...] = ("buildable", "assembled at once", "restrained", "rated", "one missing")
    assert [here.count(step) for step in steps] == [need.count(step) for step in steps]
    assert (here.count("assembled at once"), here.contact) == (1, "hole")
    assert (nowhere.count("buildable"), nowhere.why_zero) == (0, (("buildable", "no usable head is listed for hole"),))


def test_a_push_that_the_weight_rights_leaves_nothing_to_hold() -> None:
    """3,000 lbf that lie 20 in inside right a push of 300 at 40 in; struts begin to carry at 1,500."""
    result = loaded(
        tidy(), contact_height=40, angle=60, half_angles=30, weight=3000, weight_inside=20, sideways_share="0.1"
    )
    begins, holds = (one.value for one in result.largest)

    assert result.verdict == "met"
    assert [share.each for share in result.shares] == [0]
    assert pounds(begins) == 1500
    assert (holds or 0) - (begins or 0) < (best(result).largest or 0)
    assert result.largest[1].because == "then the struts together would lift the vehicle off its pivot"


@pytest.mark.parametrize(
    ("state", "heaped"),
    [({}, True), ({"inspected": None}, True), ({"status": "unknown"}, True), ({"status": "retired"}, False),
     ({"tag": "red", "note": "do not use"}, False), ({"points_usable": 1}, False)],
)  # fmt: skip
def test_only_bases_that_may_count_say_how_many_points_are_fit(state: dict[str, Any], heaped: bool) -> None:
    """Of three bases of four points one has two left: four straps hang two on a point while that one may be taken."""
    worn = {"serial": "B-3", "points_usable": 2} | state
    cache = tidy(
        parts={"base": {"points": [{"wll": 5000}] * 4}}, items={"base": [worn]}, counts={"base": 3, "strap": 8}
    )
    one = best(loaded(cache, change("STR-1", min=4), **AT, vertical=1000))

    [points] = [link for link in one.links if link.of == "points"]
    assert points.why.startswith("2 on one point, 2 of 4 fit" if heaped else "one on each")


@pytest.mark.parametrize(
    ("counts", "verdict"),
    [((1, 1, 1, 1, 1), "met"), ((1, 1, 1, 1, 1, 1), "not known"), ((1, 1, 1, 0, 0, 0), "not met"),
     ((4, 1, 1, 1, 1, 1), "met"), ((4, 4, 0, 0, 0, 0), "met")],
)  # fmt: skip
def test_more_mixes_of_ties_than_are_gone_through_are_not_known(counts: tuple[int, ...], verdict: str) -> None:
    """A base wants four ties, of several strengths: of five there are 70 mixes, of six 126, which are too many."""
    straps = {f"strap-{n}": {"kind": "strap", "wll": 950 + n, "length": "20 ft"} for n in range(1, len(counts))}
    numbers = dict(zip(("strap", *straps), counts, strict=True))
    cache = tidy(parts=straps | {"strap": {"wll": 950}}, counts=numbers)
    place, need = AT | {"vertical": 5000}, {"at": 46.2, "load": 5000, "angle": 60}
    here, asked = loaded(cache, **place), checked(cache, needs=needs_of([need])).scenes[0]

    assert (here.verdict, asked.verdict) == (verdict, verdict)
    told = [[link.why for link in links if "mix" in link.why] for links in (here.links, asked.links)]
    assert told == [["more ways to mix them on a base than are gone through"] * (verdict == "not known")] * 2


UNKNOWN_LOAD: dict[str, Any] = AT | {"vertical": "unknown", "on_this_side": 2}


def test_the_largest_load_is_that_of_all_struts_wanted_not_of_the_best_twice() -> None:
    """Beside a body of 8,000 lbf one of 1,000 stands at 60 deg: the weaker must take all when the other has failed."""
    weak = {"kind": "body", "closed": 30, "open": 50, "pull_apart": 55, "lock": "collar", "mass": 15,
            "strength": {"rated_load": 1000, "factor": 2}}  # fmt: skip
    one = loaded(tidy(parts={"weak": weak}, counts={"body": 1, "weak": 1}), **UNKNOWN_LOAD)
    both = loaded(tidy(), **UNKNOWN_LOAD)
    none = loaded(tidy(counts={"body": 1}), **UNKNOWN_LOAD)

    weakest = pounds(one.largest[0].value)
    assert weakest is not None
    assert weakest <= 1000 * math.sin(math.radians(60))  # the survivor of two takes all
    assert one.largest[0].because == "then weak is at its limit"
    assert (pounds(both.largest[0].value) or 0) > weakest
    assert (none.largest[0].value, none.largest[0].because) == (
        None, "2 wanted at once, and no more than 1 of them hold any load at all"
    )  # fmt: skip


def test_the_ground_must_take_the_smallest_base_of_the_struts_wanted() -> None:
    """A base of 7 in by 7 and one of 5 by 5 are both needed: the ground takes what the smaller presses on it."""
    small = {"kind": "fitting", "adds": 3, "serves": "base", "mass": 9, "footprint": {"length": 5, "width": 5},
             "points": [{"wll": 5000}] * 2}  # fmt: skip
    alike, unlike = ({"base": bases, "small": 2 - bases} for bases in (2, 1))
    place: dict[str, Any] = AT | {"vertical": 1000, "on_this_side": 2, "soil": "unknown"}
    large, mixed = (loaded(tidy(parts={"small": small}, counts=one), **place).largest[-1] for one in (alike, unlike))

    assert large.way == mixed.way == "at least"
    assert (mixed.value or 0) / (large.value or 1) == Fraction(49, 25)


def test_no_load_is_the_largest_that_pre_tension_alone_moves() -> None:
    """Soft ground leaves each strut some 600 lbf beside what 200 lbf in each strap presses: too light to be held."""
    hard, soft = (loaded(tidy(), **UNKNOWN_LOAD, pretension=200, soil=soil) for soil in (12_000, 3600))

    assert hard.largest[0].value is not None
    assert soft.largest[0].value is None
    assert soft.largest[0].because == "pre-tension alone moves every load that passes"


@pytest.mark.parametrize(("outside", "lifts"), [(6, False), (40, True)])
def test_struts_that_lift_the_vehicle_off_its_pivot_do_so_whatever_it_weighs(outside: int, lifts: bool) -> None:
    """Every newton of a weight presses the pivot, and turns about it, alike."""
    result = loaded(tidy(), **AT, weight="unknown", weight_outside=outside, contact_x=8)

    assert [link.state for link in result.links if link.link == "pivot"] == ["does not hold" if lifts else "holds"]
    assert (result.largest[0].value is None) == lifts


@pytest.mark.parametrize("blank", [{"contact": None}, {"anchor_distance": None}, {"far_anchors": None}])
def test_no_load_passes_a_link_that_is_not_known(blank: dict[str, Any]) -> None:
    """As with far anchors of which nobody says what they hold, so with a contact or a distance not stated."""
    assert [one.value is None for one in loaded(tidy(), **UNKNOWN_LOAD, **blank).largest] == [True]


def test_best_first_by_margin_then_weight_then_joints() -> None:
    """On Rescue 41 at 52 in and 60 deg the bare long body leads; equal margins go to the lighter build."""
    found = [one for one in loaded(rescue_41(), contact_height=52, angle=60, vertical=4000).carriers if one.carries]
    keys = [(-(one.margin or 0), one.assembly.mass or 0, one.assembly.joints) for one in found]

    assert best(loaded(rescue_41(), contact_height=52, angle=60, vertical=4000)).assembly.body == "P/long-body"
    assert keys == sorted(keys)
    assert len({key[0] for key in keys}) < len(keys)


def test_what_no_figure_says_is_to_be_ticked() -> None:
    """Hooks and grade are asked of chain alone; a watcher and the sum after every cut always."""
    strap = loaded(tidy(), vertical=1000, ties="straps", **AT).ticks
    chain = loaded(tidy(), vertical=1000, ties="chains", **AT).ticks

    assert set(strap) < set(chain)
    assert {one.split()[0] for one in set(chain) - set(strap)} == {"hardware", "hooks"}
    assert any("watch" in one for one in strap)
    assert any("after every cut" in one for one in strap)


def test_pretension_presses_hardest_where_nobody_says_how_the_straps_run() -> None:
    """52 in at 60 deg and 6,000 lbf along: with a V of 45 deg 2 x 50 cos 45 / cos 60 more, unsaid that of 15 deg."""
    asked: dict[str, Any] = {"contact_height": 52, "angle": 60, "axial": 6000, "pretension": 50}
    unsaid, said = loaded(rescue_41(), **asked), loaded(rescue_41(), half_angles=45, **asked)

    demanded = [{link.link: link.demand for link in best(one).links} for one in (said, unsaid)]
    assert [pounds(one["chart P-chart"]) for one in demanded] == pytest.approx([6141.42, 6193.19], abs=0.01)
    assert demanded[0]["strap"] == demanded[1]["strap"]


@pytest.mark.parametrize("struts", [3, 5])
def test_of_three_and_more_any_two_may_carry_it_all(struts: int) -> None:
    """12,000 lbf on so many: evenly, one failed in place, and rocking on any two, which governs."""
    shares = loaded(tidy(), vertical=12_000, on_this_side=struts, **AT).shares
    found = {one.by: pounds(one.each) for one in shares}

    assert found == {"any two carry it": 6000, "one failed": 12_000 / (struts - 1), "equal": 12_000 / struts}
    assert [one.by for one in shares if one.governs] == ["any two carry it"]


def test_the_margin_is_what_the_governing_link_has_to_spare() -> None:
    """8,000 rated over 4,618.8 along the strut is 73.2% to spare; the strap has more."""
    one = best(loaded(rescue_41(), contact_height=52, angle=60, vertical=4000, half_angles=30))

    assert float(one.margin or 0) == pytest.approx(8000 / (4000 / math.sin(math.radians(60))) - 1)
    assert one.governing.of == "chart"


def test_a_strap_governs_where_it_has_least_to_spare() -> None:
    """A strap of 1,200 lbf that sees 1,000 governs over a strut with twice to spare."""
    one = best(loaded(tidy(parts=MARKED | {"strap": {"wll": 1200}}), vertical=3000, **AT))

    assert one.governing.of == "ties"
    assert float(one.margin or 0) == pytest.approx(0.2)
    assert pounds(one.rated) == 8000


def test_hardware_is_a_link_of_the_chain() -> None:
    """A binder of 900 lbf on a chain that sees 1,000 does not hold, and an unmarked one is told."""
    chain = {"chain": {"kind": "chain", "wll": 5000, "needs": {"T/binder": 1}}}
    weak = chain | {"binder": {"kind": "hardware", "wll": 900}}
    unmarked = chain | {"binder": {"kind": "hardware"}}
    counts = {"chain": 4, "binder": 4, "strap": 0}
    one = loaded(tidy(parts=MARKED | weak, counts=counts), vertical=3000, **AT)
    other = loaded(tidy(parts=MARKED | unmarked, counts=counts), vertical=3000, **AT)

    assert best(one).governing.link == "binder"
    assert one.tally.count("rated") == 0
    assert other.tally.count("rated") == 0
    assert other.verdict == "not known"
    assert "WLL-2" in rules(other)


def test_a_part_that_does_not_suit_makes_no_no_of_what_others_leave_unknown() -> None:
    """Straps hold one of two bases, chain with unmarked binders the other; heads for a hole change nothing of that."""
    chain = {"chain": {"kind": "chain", "wll": 5000, "needs": {"T/binder": 1}}, "binder": {"kind": "hardware"}}
    other = {"point": {"kind": "fitting", "serves": "head", "adds": 2, "contacts": ["hole"]}}
    counts = {"chain": 2, "binder": 2, "strap": 2}
    bare = loaded(tidy(parts=MARKED | chain, counts=counts), vertical=3000, contact="edge", on_this_side=2, **AT)
    more = loaded(
        tidy(parts=MARKED | chain | other, counts=counts | {"point": 2}),
        vertical=3000, contact="edge", on_this_side=2, **AT,
    )  # fmt: skip

    assert bare.verdict == "not known"
    assert more.verdict == "not known"
    assert more.links == bare.links


def test_unknown_points_hold_nothing_that_is_known() -> None:
    """A base with unmarked points is restrained as the rules ask, and nothing on it is rated: not known."""
    unmarked = loaded(tidy(parts={"base": {"points": 2}}), vertical=1000, **AT)

    assert [unmarked.tally.count(step) for step in ("restrained", "rated")] == [2, 0]
    assert unmarked.verdict == "not known"
    assert [link.of for link in best(unmarked).broken] == ["points"]
    assert loaded(tidy(), vertical=1000, **AT).verdict == "met"


def test_an_unmarked_strap_takes_its_default_and_an_unknown_one_holds_nothing() -> None:
    """2 in of unmarked web are 2,000 lbf; with no size its limit is unknown, and it restrains nothing here."""
    by_size = loaded(tidy(parts={"strap": {"wll": None, "size": 2}}), vertical=3000, **AT)
    unknown = loaded(tidy(parts={"strap": {"wll": None}}), vertical=3000, **AT)

    assert pounds(by_size.ties[0].rated) == 2000
    assert by_size.tally.count("rated") == 2
    assert [unknown.tally.count(step) for step in ("restrained", "rated")] == [2, 0]
    assert unknown.verdict == "not known"
    assert "WLL-1" in rules(unknown)


@pytest.mark.parametrize("straps", range(5, 13))
def test_a_base_is_held_by_what_the_thrust_takes_not_by_the_minimum(straps: int) -> None:
    """At 45 deg 5,000 lbf take four straps of 3,333 to a base: so many straps hold a quarter as many bases."""
    cache = tidy(counts={"body": 4, "base": 4, "head": 4, "pin": 16, "strap": straps})
    result = loaded(cache, contact_height=35, angle=45, vertical=5000, half_angles=30)

    assert [way.per_base for way in result.ties] == [2, 4]
    assert result.tally.count("assembled at once") == 4
    assert result.tally.count("restrained") == min(4, straps // 2)
    assert result.tally.count("rated") == min(4, straps // 4)
    assert sum(number for _, number in result.tally.best.ties) == 4 * result.tally.best.count


def _many(strong: int, weak: int, chains: int) -> Cache:
    parts: dict[str, Any] = {
        "base": {"points": [{"wll": 9000}, {"wll": 9000}]},
        "strap": {"wll": 3333},
        "web": {"kind": "strap", "wll": 2000, "length": "20 ft"},
        "chain": {"kind": "chain", "wll": 6600, "length": "20 ft", "needs": {}},
    }
    counts = {"body": 6, "base": 6, "head": 6, "pin": 12, "ext-6": 0, "ext-12": 0}
    return tidy(parts=parts, counts=counts | {"strap": strong, "web": weak, "chain": chains})


def _by_trying(have: Mapping[str, int], per_base: Mapping[str, int], bases: int) -> int:
    """The most bases held by trying every way: n of one kind, all of them fit for n to a base."""
    kinds = {"strap": "strap", "web": "strap", "chain": "chain"}
    ways = {
        tuple(sorted(way.items()))
        for number in set(per_base.values())
        for way in (
            dict(zip(per_base, split, strict=True))
            for split in product(range(number + 1), repeat=len(per_base))
            if sum(split) == number
        )
        if all(per_base[tie] <= number for tie, n in way.items() if n)
        if len({kinds[tie] for tie, n in way.items() if n}) == 1
    }
    best_found = 0
    stack = [(dict(have), 0)]
    seen = set()
    while stack:
        left, held = stack.pop()
        best_found = max(best_found, held)
        key = (tuple(sorted(left.items())), held)
        if held == bases or key in seen:
            continue
        seen.add(key)
        for way in ways:
            if all(left[tie] >= n for tie, n in way):
                stack.append(({tie: left[tie] - dict(way)[tie] for tie in left}, held + 1))
    return best_found


@pytest.mark.parametrize(
    ("strong", "weak", "chains"),
    [(7, 0, 4), (4, 4, 2), (2, 3, 3), (1, 5, 1), (5, 7, 0), (0, 9, 5), (3, 1, 2), (6, 6, 6)],
)
def test_straps_and_chain_of_unlike_strength_are_packed_exactly(strong: int, weak: int, chains: int) -> None:
    """Four straps of 3,333, six of 2,000 or two chains hold a base: the most bases, as trying every way finds."""
    cache = _many(strong, weak, chains)
    result = loaded(cache, contact_height=35, angle=45, vertical=5000, half_angles=30)
    holding = [way for way in result.ties if way.rated is not None and way.rated >= way.tension]
    per_base: dict[str, int] = {}
    for way in holding:
        per_base.setdefault(way.part.removeprefix("T/"), way.per_base)

    assert per_base == {"strap": 4, "web": 6, "chain": 2}
    assert result.tally.count("rated") == _by_trying({"strap": strong, "web": weak, "chain": chains}, per_base, bases=6)


@pytest.mark.parametrize("off", [change("STR-1", on=False), change("STR-1", min=0)])
@pytest.mark.parametrize("reaches", [True, False])
def test_nobody_calls_a_base_restrained_where_no_rule_says_what_that_is(off: Setting, reaches: bool) -> None:
    """As in ``check`` of the same struts: none is restrained, and what the thrust asks for makes no yes of it."""
    height, place = 40 if reaches else 400, dict[str, Any]({"angle": 60, "vertical": 2000})
    in_place = {"contact": "edge", "soil": 10_000, "far_anchors": "structure", "anchor_distance": 60}
    result = loaded(tidy(), off, contact_height=height, **place, on_this_side=2, dynamic_allowance=None)
    long = reaching(height * NM_PER_INCH, Fraction(60))
    need = needs_of([place | in_place | {"height": height, "count": 2, "at": 46}]).scenes[0].needs[0]
    needs = Needs(scenes=(Scene(id="drill", needs=(need.changed(shortest=long, longest=long),)),))
    (by_check,) = checked(tidy(), off, needs=needs).tallies

    assert result.tally.count("restrained") is by_check.count("restrained") is None
    assert result.verdict == by_check.verdict == ("not known" if reaches else "not met")
    assert result.tally.count("rated") == by_check.count("rated") == (2 if reaches else 0)
    assert not [one for one in result.carriers if one.carries]
    assert [one.state for one in result.links if one.link == "restraint"] == ["unknown"]


def test_the_finder_does_not_know_what_holds_a_base_where_no_rule_says_it() -> None:
    """Whatever else is off, an answer of the finder is then not known."""
    says = "how many straps or chains hold a base"
    on, off = (
        card(tidy(), read_rules(), suppose=api.WhatIf(on=date(2026, 4, 1), settings=settings)).finder.unstated
        for settings in ((), (change("STR-1", on=False),))
    )

    assert (says in on, says in off) == (False, True)


_FOUR = {"body": 4, "base": 4, "head": 4, "pin": 16, "strap": 8}


@pytest.mark.parametrize(("struts", "vehicle", "verdict"), [
    ((2, 0), "car", "not met"), ((2, 0), None, "not known"), ((1, 0), None, "not known"), (None, None, "not known"),
    ((2, 1), "car", "met"), ((2, 1), None, "not known"), ((2, 1), "heavy", "not met"),
    ((2, 2), "heavy", "met"), ((2, 2), None, "met"), (None, "car", "met"), (None, "heavy", "met"),
])  # fmt: skip
def test_a_floor_of_struts_is_not_known_where_no_class_of_vehicle_is_stated(
    struts: tuple[int, int] | None, vehicle: str | None, verdict: str
) -> None:
    """But where as many stand, both sides together, as policy asks for on any: a blank class never makes a yes."""
    sides = dict(zip(("on_this_side", "on_the_other_side"), struts, strict=True)) if struts else {}
    result = loaded(tidy(counts=_FOUR), change("NUM-1", on=True), **AT | {"vertical": 3000, "vehicle": vehicle} | sides)

    broken = [link for link in result.links if link.state != "holds"]
    assert (result.verdict, [link.link for link in broken]) == (verdict, ["floor of struts"] * (verdict != "met"))
    if verdict == "not known":
        assert broken[0].why.startswith("class not stated (car 3, heavy 4)")
        assert broken[0].ask == "see of which class: vehicle"
    assert not any(one.startswith("floor of struts") for one in result.unchecked)


def test_a_floor_of_struts_follows_the_rules_in_force() -> None:
    """A blank class is held against the largest floor that is ruled; a rule off asks for nothing, and is told."""
    asked: dict[str, Any] = AT | {"vertical": 3000, "on_this_side": 2, "on_the_other_side": 2}
    higher = loaded(tidy(counts=_FOUR), change("NUM-1", heavy=5), **asked)
    off = loaded(tidy(counts=_FOUR), change("NUM-1", on=False), **asked)

    assert (higher.verdict, off.verdict) == ("not known", "met")
    assert "floor of struts: no rule on it is in force" in off.unchecked


def test_a_rule_that_is_off_is_listed_as_not_checked_and_holds_no_head() -> None:
    """A flat face keeps a head by friction alone: with the rule on that off nobody says that it holds."""
    rules = {"HED-2": "head kept from slipping", "STR-2": "hardware of ties", "STR-3": "spread of straps",
             "CAP-2": "charts held to be sane"}  # fmt: skip
    for rule, what in rules.items():
        off = loaded(tidy(), change(rule, on=False), vertical=1000, contact="flat", **AT)

        assert f"{what}: no rule on it is in force" in off.unchecked
        [head] = [link.why for link in off.links if link.of == "head"]
        assert ("holds it" in head, head == "made for flat") == (rule != "HED-2", rule == "HED-2")


def test_a_limit_of_one_strut_is_held_against_those_that_share_not_against_a_floor() -> None:
    """What stands on the other side takes no share, so a load that takes three is too much for two on this side."""
    asked: dict[str, Any] = {"vertical": 5000, "on_this_side": 2, "on_the_other_side": 1, "vehicle": "car"}
    states = {
        limit: [
            link.state for link in loaded(tidy(counts=_FOUR), **AT | asked | {"strut_limit": limit}).links
            if link.link == "limit of one strut"
        ]
        for limit in (2000, 2500)
    }  # fmt: skip

    assert states == {2000: ["does not hold"], 2500: ["holds"]}


def test_a_base_without_points_is_told_to_be_unchecked_where_no_rule_asks_for_them() -> None:
    """With PTS-1 off a base that has nothing to hook to is taken, and the answer says that nobody looked."""
    result = loaded(tidy(parts={"base": {"points": []}}), change("PTS-1", on=False), **AT, vertical=3000)

    assert "attachment points of bases: no rule on it is in force" in result.unchecked


def test_one_strap_failed_of_a_v_lets_the_base_swing() -> None:
    """Of two nothing is left; of four the other three hold, the worst with more than before."""
    two, four = (
        loaded(tidy(counts={"strap": 8}), vertical=3000, **AT),
        loaded(tidy(parts={"strap": {"wll": 900}}, counts={"strap": 8}), vertical=3000, **AT),
    )

    assert two.ties[0].one_failed is None
    assert "one tie failed: the base swings" in two.failed
    assert best(four).way is not None
    assert best(four).way.per_base == 4  # type: ignore[union-attr]
    assert four.ties[-1].one_failed is not None
    assert four.ties[-1].one_failed > four.ties[-1].tension


@pytest.mark.parametrize(("wll", "rest"), [(1400, "are over their limit, or it is not known"), (1800, "hold the base")])
def test_one_strap_failed_leaves_the_others_to_share_as_they_will(wll: int, rest: str) -> None:
    """1,732 lbf on two straps along the line and two to each side: of the two the one left may see it all."""
    points = {"points": [{"wll": 5000}] * 6, "footprint": {"length": 7, "width": 7}}
    result = loaded(
        tidy(parts={"strap": {"wll": wll}, "base": points}, counts={"strap": 12}),
        contact_height=40, angle=60, vertical=3000, pretension=0, half_angles=[0, 0, *["45 left", "45 right"] * 2],
    )  # fmt: skip

    assert result.verdict == "met"
    assert result.failed[1].removeprefix("one tie failed: the rest ") == rest


def test_both_straps_see_what_their_own_angles_ask() -> None:
    """At 60 deg 3,000 lbf push 1,732 out; at 40 and 20 deg the narrower strap takes more."""
    lines = loaded(tidy(), contact_height=40, angle=60, vertical=3000, half_angles=[40, 20]).lines
    thrust = 3000 / math.tan(math.radians(60))
    sine = math.sin(math.radians(60))

    assert thrust * float(lines[0].unit) == pytest.approx(thrust * math.sin(math.radians(20)) / sine)
    assert thrust * float(lines[1].unit) == pytest.approx(thrust * math.sin(math.radians(40)) / sine)


def test_straps_that_rise_load_the_strut_and_lift_the_base() -> None:
    """The strut lifts what the straps pull down as well; what is left for the vehicle is what was asked."""
    level, rising = (loaded(tidy(), vertical=3000, rise=rise, **AT).forces for rise in (0, 15))

    assert level is not None
    assert rising is not None
    assert rising.axial_checked > level.axial_checked
    assert rising.axial == level.axial
    assert pounds(rising.base_reaction) == pytest.approx(3000)
    assert rising.bearing > level.bearing


def test_straps_too_steep_for_any_balance_are_refused() -> None:
    """Straps at 60 deg lift all that the strut presses down: no tension, nothing counted, and it stops."""
    result = loaded(tidy(), vertical=3000, rise=60, **AT)

    assert "no balance" in result.refused
    assert result.verdict == "not met"
    assert {finding.severity for finding in result.findings if finding.rule == "EQU-1"} == {"stop"}


@pytest.mark.parametrize(("ruled", "straps", "restrained", "rated"), [(1, 2, 2, 1), (1, 3, 2, 1), (2, 3, 1, 1)])
def test_restrained_counts_by_the_rules_in_load_as_in_check(
    ruled: int, straps: int, restrained: int, rated: int
) -> None:
    """With one strap ruled two bases have their own, and a V of this place holds only one of them: only rated falls."""
    cache, rule = tidy(counts={"strap": straps}), change("STR-1", min=ruled)
    need = checked(cache, rule, needs=needs_of([{"at": 46.2, "load": 1000, "count": 2, "angle": 60}])).tallies[0]
    here = loaded(cache, rule, vertical=1000, **AT)

    for one in (need, here.tally):
        assert (one.count("restrained"), one.count("rated")) == (restrained, rated)
    assert loaded(cache, rule, vertical=1000, on_this_side=2, **AT).verdict == "not met"


@pytest.mark.parametrize(
    ("policy", "said"),
    [
        ((), "nothing holds the base; friction is not counted"),
        ((Fraction(1, 2),), "nothing holds the base; friction of 0.5, counted as policy says, would not hold it alone"),
        ((Fraction(3, 5),), "nothing holds the base; friction of 0.6, counted as policy says, would hold it alone"),
    ],
)
def test_a_base_that_nothing_holds_is_told_what_friction_would(policy: tuple[Fraction, ...], said: str) -> None:
    """At 60 deg a coefficient of 0.58 just holds it; the rules ask for ties all the same."""
    rules = [change("LOD-1", friction=one) for one in policy]
    result = loaded(tidy(), *rules, vertical=1000, friction="0.9", contact_height=40, angle=60, ties="none")

    assert [link.why for link in result.links if link.of == "ties"] == [said]
    assert result.verdict == "not met"


def test_friction_counts_only_where_policy_says_so() -> None:
    """At 0.3 under a policy that counts up to 0.3 the straps hold 1,732 less 900 lbf; typed alone, all 1,732."""
    policy = change("LOD-1", friction=Fraction(3, 10))
    typed = loaded(tidy(), vertical=3000, friction="0.3", **AT).forces
    counted = loaded(tidy(), policy, vertical=3000, friction="0.6", **AT).forces

    assert typed is not None
    assert counted is not None
    assert pounds(typed.thrust_checked) == pytest.approx(3000 / math.tan(math.radians(60)))
    assert pounds(counted.thrust_checked) == pytest.approx(3000 / math.tan(math.radians(60)) - 900)
    assert counted.thrust == typed.thrust


def test_the_pad_is_the_side_that_the_ground_asks() -> None:
    """3,000 lbf on 2,000 psf take 1.5 square feet: 14.70 in square, closed up; a pad that large holds, on the book."""
    bare = loaded(tidy(), vertical=3000, soil=2000, **AT)

    def padded(side: str, number: int = 2, **asked: Any) -> LoadResult:
        pad = {"pad": {"kind": "pad", "footprint": {"length": side, "width": side}}}
        return loaded(tidy(parts=pad, counts={"pad": number}), vertical=3000, soil=2000, **asked, **AT)

    assert bare.ground is not None
    assert (bare.ground.pad_side or 0) / NM_PER_INCH == pytest.approx(12 * math.sqrt(1.5))
    assert "GND-1" in rules(bare)
    assert bare.verdict == "not met"
    assert padded("14.8 in").verdict == "met"
    assert best(padded("14.8 in")).governing.of == "ground"
    assert padded("14.6 in").verdict == "not met"
    assert padded("14.6 in").tally.count("rated") == 0
    assert loaded(tidy(), vertical=3000, soil=2000, pad="14.8 in", **AT).verdict == "not met"
    assert padded("14.8 in", pad="14.8 in").verdict == "met"


def test_every_base_has_a_pad_of_its_own() -> None:
    """Two struts on soft ground and one pad that is large enough: not met, for want of pads; for one strut met."""
    pads = {"pad": {"kind": "pad", "footprint": {"length": 15, "width": 15}}}
    asked: dict[str, Any] = {"vertical": 3000, "soil": 2000, "on_this_side": 2, "on_the_other_side": 0} | AT
    one, two = (loaded(tidy(parts=pads, counts={"pad": number}), **asked) for number in (1, 2))

    assert (one.verdict, two.verdict) == ("not met", "met")
    assert [link.link for link in one.links if link.state != "holds"] == ["pads"]
    assert loaded(tidy(parts=pads, counts={"pad": 1}), **asked | {"on_this_side": 1}).verdict == "met"


def test_a_pad_of_the_cache_that_is_large_enough_is_named() -> None:
    """A pad of 15 by 15 in is large enough for 14.7 square, one of 14 by 14 is not."""
    pads = {
        "large": {"kind": "pad", "footprint": {"length": 15, "width": 15}},
        "small": {"kind": "pad", "footprint": {"length": 14, "width": 14}},
    }
    result = loaded(tidy(parts=MARKED | pads, counts={"large": 3, "small": 2}), vertical=3000, soil=2000, **AT)

    assert result.ground is not None
    assert result.ground.pads == (("T/large", 3),)


@pytest.mark.parametrize(
    ("asked", "again", "what"),
    [
        ({"vertical": "unknown"}, "vertical", "load lifted upright"),
        ({"vertical": "unknown", "on_this_side": 3}, "vertical", "load lifted upright on 3 struts"),
        ({"vertical": 1000, "on_this_side": 3}, "vertical", "load lifted upright on 3 struts"),
        ({"axial": 1000, "dynamic_allowance": "1.25"}, "axial", "force along one strut"),
        ({"weight": "unknown", "weight_outside": 20, "dynamic_allowance": "1.25"}, "weight", "weight where it lies"),
        ({"weight": 9000, "weight_outside": "unknown", "on_this_side": 2}, "weight_outside",
         "distance of this weight outside the edge on 2 struts"),
        ({"weight": "unknown", "weight_inside": 20, "sideways_share": "0.9"}, "weight", "weight with that push"),
    ],
)  # fmt: skip
def test_the_way_back_is_the_largest_that_passes(asked: dict[str, Any], again: str, what: str) -> None:
    """Asked again with the answer the best assembly just carries; a thousandth more and none does."""
    cache = tidy(parts=MARKED | {"strap": {"wll": 3500}}, counts={"body": 3, "base": 3, "head": 3, "strap": 6})
    largest = loaded(cache, **AT, **asked).largest[0]
    value = largest.value
    assert value is not None
    assert (largest.what, largest.way) == (what, "at most")

    def carries(times: Fraction) -> bool:
        scaled = float(value * times)
        written = f"{scaled / 1_000_000:.3f} mm" if again == "weight_outside" else f"{scaled:.3f} N"
        return best(loaded(cache, **AT, **(asked | {again: written}))).carries

    assert carries(Fraction(9999, 10_000))
    assert not carries(Fraction(10_010, 10_000))


def test_a_push_that_any_weight_rights_has_no_heaviest_vehicle() -> None:
    """A tenth of the weight at 40 in against the weight 20 in inside: the heavier, the surer."""
    (largest,) = loaded(tidy(), weight="unknown", weight_inside=20, sideways_share="0.1", **AT).largest

    assert largest.value is None
    assert largest.because == "its own weight rights more than that push, whatever it weighs"


def test_the_short_cut_by_lever_stands_beside_the_moments() -> None:
    """1,250 lbf with the allowance, 20 in outside, held 30 in out: 833 lbf, where moments take less."""
    asked: dict[str, Any] = {"weight": 1000, "weight_outside": 20, "contact_x": 30, "dynamic_allowance": "1.25"}
    result = loaded(tidy(), **asked, **AT)
    (lever,) = result.comparisons

    assert pounds(lever.practice) == pytest.approx(1250 * 20 / 30)
    assert (pounds(lever.statics) or 0) < 833
    # More severe it is, and not what is checked: it must say so, as every page begins by saying the contrary of others.
    assert result.forces is not None
    assert (pounds(result.forces.axial_checked) or 0) < 833
    assert lever.differ.endswith("statics alone is checked.")


def test_without_the_rule_no_class_of_vehicle_asks_for_more_struts() -> None:
    """A policy's least number of struts holds for a class that is said, while its rule is on; unsaid, the largest."""
    wanted = [
        loaded(tidy(), *settings, vertical=100, vehicle=vehicle, **AT).wanted
        for settings, vehicle in (
            ((change("NUM-1", on=on),), vehicle) for on, vehicle in ((True, "car"), (False, "car"), (True, None))
        )
    ]

    assert [one and (one.count, one.by_load, one.floor) for one in wanted] == [(3, 1, 3), (1, 1, 1), (4, 1, 4)]


_FLAT, _OFFSET, _PIVOT = "ground drop", "contact offset (contact_x)", "pivot height"


@pytest.mark.parametrize(
    ("lies", "taken"),
    [
        ({"vertical": 1000}, [_FLAT]),
        ({"vertical": 1000, "ground_drop": 0}, []),
        ({"weight": 3400, "weight_inside": 10}, [_FLAT, _OFFSET]),
        ({"weight": 3400, "weight_inside": 10, "contact_x": -4}, [_FLAT, _PIVOT]),
        ({"weight": 3400, "weight_inside": 10, "contact_x": 0, "push_height": 40}, [_FLAT]),
        ({"weight": 3400, "weight_inside": 10, "contact_x": 0, "push_height": 41}, [_FLAT, _PIVOT]),
        ({"weight": 3400, "weight_outside": 10}, [_FLAT, _OFFSET, _PIVOT]),
        ({"weight": 3400, "weight_outside": "unknown"}, [_FLAT, _OFFSET, _PIVOT]),
        ({"weight": 3400, "weight_outside": 10, "contact_x": 0, "pivot_height": 0}, [_FLAT]),
    ],
)
def test_a_place_that_nobody_states_is_told_as_taken_at_0(lies: dict[str, Any], taken: list[str]) -> None:
    """Lower ground, a contact behind the edge or a higher pivot is worse: whoever leaves it out must read so."""
    told = [one for one in loaded(tidy(), rise=0, **AT, **lies).assumed if one.endswith(" not stated: taken as 0")]
    last = f"{', '.join(taken[:-1])} and {taken[-1]}" if len(taken) > 1 else "".join(taken)

    assert told == ([f"{last} not stated: taken as 0"] if taken else [])


@pytest.mark.parametrize("more", [{"push_height": 20}, {"push_height": 40}, {"push_height": 70}, {"contact_x": -8}])
def test_a_higher_pivot_is_worse_only_where_it_is_told_as_assumed(more: dict[str, Any]) -> None:
    """At rest it takes more from the arm of the push than from the strut's, but for a push above the contact."""
    rest = {"weight": 3400, "weight_inside": 2, "contact_x": 0, "sideways_share": 1, **more}
    said = {**AT, **rest}
    low, high = (loaded(tidy(), **said | at) for at in ({}, {"pivot_height": 10}))

    assert low.forces is not None
    assert high.forces is not None
    assert (high.forces.axial > low.forces.axial) == any("pivot height" in one for one in low.assumed)


@pytest.mark.parametrize("unsaid", ["on_this_side", "on_the_other_side"])
def test_a_side_of_which_only_the_other_is_stated_is_not_known(unsaid: str) -> None:
    """Two struts and six straps: with none on the other side met, with two not met, unsaid neither."""
    sides: dict[str, Any] = {"on_this_side": 2, "on_the_other_side": 0, "vertical": 1000} | AT
    met, blank = loaded(tidy(), **sides), loaded(tidy(), **{**sides, unsaid: None})
    [open_link] = [link for link in blank.links if link.state != "holds"]

    assert (met.verdict, blank.verdict) == ("met", "not known")
    assert loaded(tidy(), **sides | {"on_the_other_side": 2}).verdict == "not met"
    assert (open_link.link, open_link.why) == ("struts of both sides", f"{unsaid} not stated: more may be wanted")
    assert loaded(tidy(), vertical=1000, **AT).verdict == "met"  # who states neither asks of one strut
    two: dict[str, Any] = {"on_this_side": None, "strut_places": [0, 100], "load_at": 40}
    assert [loaded(tidy(), **sides | two | more).verdict for more in ({}, {"on_the_other_side": None})] == [
        "met", "not known"
    ]  # fmt: skip


def test_what_comes_on_the_other_side_is_listed_as_not_checked() -> None:
    """Two struts against one, on a weight that lies nearer to the other edge: that one takes more, and nobody asked."""
    fields: dict[str, Any] = {"weight": 3000, "weight_inside": 40, "edges_apart": 54, "on_this_side": 2} | AT
    told = "what comes on the struts of the other side: ask it of that side, too"

    assert told in loaded(tidy(), on_the_other_side=1, **fields).unchecked
    assert told not in loaded(tidy(), **fields).unchecked


def test_a_height_of_the_push_that_is_stated_is_not_assumed() -> None:
    """Only where nobody said it is it that of the contact."""
    said = "height of the push not stated: that of the contact"
    rest: dict[str, Any] = {"weight": 3000, "weight_inside": 20, "sideways_share": "0.9"}

    assert said in loaded(tidy(), **rest, **AT).assumed
    assert said not in loaded(tidy(), **rest, push_height=40, **AT).assumed


def test_what_nobody_states_and_no_rule_makes_safe_is_told_first() -> None:
    """Of a short answer three lines are what is assumed: places, rise and push come before careful values."""
    bare = loaded(tidy(), contact_height=40, angle=60, weight=3000, weight_inside=20, dynamic_allowance=None)
    said = loaded(tidy(), contact_height=40, angle=60, weight=3000, weight_inside=20, rise=0, push_height=40)
    places = "ground drop, contact offset (contact_x)"

    assert bare.assumed[:2] == (
        f"{places} and rise of the straps not stated: taken as 0", "height of the push not stated: that of the contact"
    )  # fmt: skip
    assert said.assumed[0] == "ground drop and contact offset (contact_x) not stated: taken as 0"
    assert len(bare.assumed) == len(said.assumed) + 2  # the push, and the allowance
    assert any(one.startswith("half-angle") for one in bare.assumed[2:])


def test_of_builds_with_one_margin_the_lighter_comes_first() -> None:
    """Where the chart rates all extensions alike, a build is not heavier than the next."""
    rows = [{"length": 75, "loads": [8000, 8000, 8000]}]
    masses = [one.assembly.mass or 0 for one in loaded(tidy(chart={"rows": rows}), vertical=1000, **AT).carriers]

    assert len(set(masses)) > 1
    assert masses == sorted(masses)


def test_unknown_soil_asks_for_the_ground_that_it_takes() -> None:
    """3,000 lbf on a base of 7 by 7 in ask for 8,816 psf."""
    result = loaded(tidy(parts=MARKED), vertical=3000, soil="unknown", **AT)
    [ground] = [one for one in result.largest if one.dimension == "pressure"]

    assert ground.way == "at least"
    assert float(ground.value or 0) * 0.3048**2 / float(NEWTON_PER_LBF) == pytest.approx(3000 * 144 / 49)


def test_a_length_that_is_not_reached_names_its_neighbours() -> None:
    """Truck-like holes every 2 in: 46.2 in is not reached, 45 and 47 are, each with its angle at this contact."""
    holes = {"body": {"lock": "holes", "holes": {"pitch": 2}}}
    result = loaded(tidy(parts=holes, counts={"ext-6": 0, "ext-12": 0}), vertical=1000, **AT)

    assert result.carriers == ()
    assert [one.length // NM_PER_INCH for one in result.near] == [45, 47]
    assert float(result.near[0].angle_deg or 0) == pytest.approx(math.degrees(math.asin(40 / 45)))
    assert result.tally.count("assembled at once") == 0


def test_no_neighbour_is_named_at_an_angle_that_is_not_allowed() -> None:
    """Of a contact 100 in up a strut of 73 in, or of any other length here, would stand too steeply or not reach it."""
    assert loaded(tidy(), **AT | {"contact_height": 100}, vertical=1000).near == ()


def test_the_design_factor_is_the_stricter_of_the_situation_s_and_the_command_s_or_the_policy_s() -> None:
    """4:1 in the situation, also with 1:1 by the command; 2:1 by policy with neither; 1:1 by the command alone."""
    assert pounds(best(loaded(tidy(), vertical=1000, factor=4, **AT)).rated) == 4000
    assert pounds(best(loaded(tidy(), vertical=1000, **AT)).rated) == 8000
    suppose = api.WhatIf(factor=Fraction(1))
    one = api.load(tidy(), read_rules(), situation(vertical=1000, factor=4, **AT), suppose=suppose)
    assert pounds(best(one).rated) == 4000
    bare = api.load(tidy(), read_rules(), situation(vertical=1000, **AT), suppose=suppose)
    assert pounds(best(bare).rated) == 16_000


def test_a_strut_past_its_pivot_is_refused() -> None:
    """A strut whose line passes the pivot on the wrong side cannot hold, and the sentence says what to check."""
    with pytest.raises(AskError, match="pivot on the wrong side"):
        loaded(tidy(), contact_height=40, angle=60, weight=3000, weight_outside=20, contact_x=-40)


def test_an_anchor_beyond_the_base_is_refused() -> None:
    """A strap that runs away from the vehicle holds no thrust."""
    with pytest.raises(AskError, match="beyond it"):
        loaded(tidy(), contact_height=40, angle=60, vertical=3000, anchors=[[90, 0, 20], [90, 0, -20]])


def test_the_policy_s_pre_tension_counts_where_the_situation_names_none() -> None:
    """WLL-1 may ask for a pre-tension; a situation that names one keeps its own."""
    policy = change("WLL-1", pretension=100 * NEWTON_PER_LBF)
    none: dict[str, Any] = {"vertical": 3000, "pretension": None} | AT

    assert pounds(loaded(tidy(), policy, **none).ties[0].pretension) == 100
    assert pounds(loaded(tidy(), policy, vertical=3000, pretension=30, **AT).ties[0].pretension) == 30
    assert pounds(loaded(tidy(), **none).ties[0].pretension) == 50
    assert any("pre-tension not stated: 50 lbf" in said for said in loaded(tidy(), **none).assumed)
    assert loaded(tidy(), vertical=3000, **AT).push is None


def test_no_rule_is_named_that_is_off() -> None:
    """With STR-3 off the widest that is taken is nobody's, and is not called that rule's."""
    (said,) = [
        said
        for said in loaded(
            tidy(), Setting(rule="STR-3", on=False, by="-"), contact_height=40, angle=60, vertical=3000
        ).assumed
        if said.startswith("half-angle")
    ]

    assert "the widest that a strap runs, as no rule limits it, 89 deg to each side" in said
    assert "the narrowest that STR-6 allows" in said


def test_without_straps_the_base_is_held_by_nothing_that_counts() -> None:
    """No strap and no chain: counted as assembled at once, never as restrained, and told to be short."""
    result = loaded(tidy(), contact_height=40, angle=60, vertical=1000, ties="none")

    assert result.tally.count("assembled at once") == 2
    assert result.tally.count("restrained") == 0
    assert "STR-1" in rules(result)
    assert result.verdict == "not met"
    assert result.ties == ()


def test_a_mass_is_weighed() -> None:
    """3,000 lb of mass and the same in kilograms ask for the same."""
    pound = loaded(tidy(), weight="3000 lb", weight_outside=20, **AT).forces
    kilo = loaded(tidy(), weight=f"{float(3000 * KG_PER_LB)} kg", weight_outside=20, **AT).forces

    assert pound is not None
    assert kilo is not None
    assert pound.axial_checked == kilo.axial_checked


def test_falling_straps_press_the_ground_more() -> None:
    """Anchors lower than the base pull it down: the ground sees 3,000 lbf and what the straps add."""
    level, falling = (loaded(tidy(), vertical=3000, rise=rise, **AT) for rise in (0, -15))
    thrust = 3000 / math.tan(math.radians(60))

    assert level.forces is not None
    assert falling.forces is not None
    assert pounds(level.forces.bearing) == 3000
    assert pounds(falling.forces.bearing) == pytest.approx(
        3000 + thrust / math.cos(math.radians(30)) * math.tan(math.radians(15))
    )


def test_pre_tension_is_taken_off_what_a_strap_may_see() -> None:
    """Straps of 1,400 lbf hold 1,000 each; tightened to 500 first they need as many more."""
    cache = tidy(parts={"strap": {"wll": 1400}}, counts={"strap": 12})

    assert [way.per_base for way in loaded(cache, vertical=3000, **AT).ties] == [2]
    assert [way.per_base for way in loaded(cache, vertical=3000, pretension=500, **AT).ties] == [2, 4]


def test_a_tie_of_unknown_limit_is_never_among_those_that_hold() -> None:
    """Beside marked chain, unmarked straps without a size restrain, and nothing rated rests on them."""
    parts: dict[str, Any] = {
        "strap": {"wll": None},
        "chain": {"kind": "chain", "wll": 5000, "length": "20 ft", "needs": {}},
    }
    result = loaded(tidy(parts=parts, counts={"strap": 8, "chain": 2}), vertical=3000, **AT)

    assert [result.tally.count(step) for step in ("restrained", "rated")] == [2, 1]
    assert result.tally.best.ties == (("T/chain", 2),)


def test_more_than_ten_to_a_base_is_no_way_of_holding_it() -> None:
    """Straps of 100 lbf would take twenty: none holds, and WLL-1 says so."""
    result = loaded(tidy(parts={"strap": {"wll": 100}}, counts={"strap": 60}), vertical=3000, **AT)

    assert [way.per_base for way in result.ties] == [2]
    assert result.tally.count("rated") == 0
    assert "WLL-1" in rules(result)


def test_two_straps_on_one_point_pull_it_together() -> None:
    """Three straps of 2,600 lbf on two points put two thirds of 7,500 on one of them: 4,900 do not hold, 5,100 do."""
    asked: dict[str, Any] = {"contact_height": 35, "angle": 45, "vertical": 5000, "half_angles": 0}

    def held(limit: int) -> Carrier:
        points: dict[str, Any] = {"base": {"points": [{"wll": limit}, {"wll": limit}]}, "strap": {"wll": 2600}}
        return best(loaded(tidy(parts=points, counts={"strap": 6}), change("STR-3", on=False), **asked))

    assert held(5100).way is not None
    assert held(5100).way.per_base == 3  # type: ignore[union-attr]
    assert held(5100).carries
    assert not held(3700).carries
    assert {link.of for link in held(3700).broken} >= {"points"}


def test_a_base_without_points_is_refused_where_straps_must_hold_it() -> None:
    """The flat fitting of Rescue 41 serves as a base and has no point: it holds nothing, with straps or without."""
    for ties in ("either", "none"):
        found = loaded(rescue_41(), contact_height=52, angle=60, vertical=4000, ties=ties).carriers
        flat = [one for one in found if one.assembly.ground == "P/flat-fitting"]
        assert flat
        assert all(one.verdict == "not met" for one in flat)


def test_chain_in_place_of_straps_is_the_smallest_that_holds() -> None:
    """For straps that see 1,000 lbf each 1/4 in of unmarked chain (1,300 lbf) holds, for 1,500 it takes 5/16."""
    small = loaded(tidy(), vertical=3000, **AT).chain
    larger = loaded(tidy(), vertical=4500, **AT).chain

    assert small is not None
    assert larger is not None
    assert (small.size, small.grade) == (NM_PER_INCH // 4, 30)
    assert pounds(small.tension) == pytest.approx(1000)
    assert pounds(small.rated) == 1300
    assert larger.size == NM_PER_INCH * 5 // 16
    assert pounds(larger.rated) == 1900


@pytest.mark.parametrize(
    ("binder", "rated"), [(None, (None, "its binder")), (900, (900, "its binder")), (5000, (3333, "marked"))]
)
def test_a_strap_is_rated_as_its_weaker_part(binder: int | None, rated: tuple[int | None, str]) -> None:
    """A strap of 3,333 with a binder of less, of more, or that nobody marked."""
    hook: dict[str, Any] = {"kind": "hardware"} | ({"wll": binder} if binder else {})
    rig = tidy(parts={"binder": hook, "strap": {"needs": {"T/binder": 1}}}, counts={"binder": 4})

    assert {(pounds(way.rated), way.rated_by) for way in loaded(rig, vertical=3000, **AT).ties} == {rated}


@pytest.mark.parametrize("tight", [[0, 299], [299, 0]])
def test_chain_in_place_of_the_strap_that_is_set_the_tightest(tight: list[int]) -> None:
    """1,000 lbf in each strap and 299 before that in one: 1/4 in holds 1,300; with two pounds more it takes 5/16."""
    found = [loaded(tidy(), vertical=3000, **AT, pretension=tight).chain]
    found.append(loaded(tidy(), vertical=3000, **AT, pretension=[number and 301 for number in tight]).chain)

    assert [one and pounds(one.tension) for one in found] == pytest.approx([1299, 1301])
    assert [one and one.size for one in found] == [NM_PER_INCH // 4, NM_PER_INCH * 5 // 16]


def test_uneven_pre_tension_pulls_the_base_sideways() -> None:
    """200 and 100 lbf at 30 deg leave 50 lbf to one side; even ones leave nothing."""
    uneven = loaded(tidy(), vertical=3000, pretension=[200, 100], **AT).push
    even = loaded(tidy(), vertical=3000, pretension=100, **AT).push

    assert uneven is not None
    assert even is not None
    assert pounds(uneven.sideways) == pytest.approx(50)
    assert even.sideways == 0


@pytest.mark.parametrize(("half_angles", "number"), [(30, 3), ([43, 34], 4)])
def test_only_an_even_v_takes_an_odd_strap_on_the_line(half_angles: Any, number: int) -> None:
    """Three asked: the third lies between two alike; where two run unlike, another pair is laid instead."""
    result = loaded(
        tidy(counts={"strap": 8}), change("STR-1", min=3), vertical=1000, contact_height=40, angle=60,
        half_angles=half_angles,
    )  # fmt: skip

    assert [way.per_base for way in result.ties] == [number]


def test_pre_tension_against_the_weight_that_leans_out() -> None:
    """Two straps of 100 lbf at 30 deg push 173 lbf at 40 in, 6,928 in lbf; 3,000 lbf 20 in outside are 60,000."""
    leaning: dict[str, Any] = {"weight": 3000, "weight_outside": 20} | AT

    def link(tight: int) -> LinkCheck:
        return next(one for one in best(loaded(tidy(), pretension=tight, **leaning)).links if one.of == "pre-tension")

    assert link(100).why.startswith("all struts' makes 12% of what keeps the vehicle there")
    assert (link(100).state, link(100).ask) == ("holds", "")
    assert (link(600).state, link(600).ask) == ("does not hold", "take out the slack by hand only")
    leaning["weight_outside"] = "0.01"
    assert link(100).why.startswith("all struts' makes over 1000% of what keeps the vehicle there")


def test_half_is_left_by_one_end_that_pivots_with_the_allowance_on_top() -> None:
    """1,000 lbf times 1.25, half of it."""
    asked: dict[str, Any] = {"weight": 1000, "weight_outside": 20, "contact_x": 30, "dynamic_allowance": "1.25"}
    half, _ = loaded(tidy(), one_end_pivots=True, **asked, **AT).comparisons

    assert pounds(half.practice) == 625


def test_a_sideways_share_that_is_stated_is_kept() -> None:
    """The policy's half is for those who say nothing, and for a vehicle at rest."""
    rest: dict[str, Any] = {"weight": 3000, "weight_inside": 20} | AT
    stated, silent, lifted = (
        loaded(tidy(), **asked) for asked in ({"sideways_share": "0.9", **rest}, rest, {"vertical": 1000, **AT})
    )

    assert [sum("sideways share not stated" in said for said in one.assumed) for one in (stated, silent, lifted)] == [
        0, 1, 0,
    ]  # fmt: skip


def test_what_one_more_strut_of_the_situation_wants_is_told() -> None:
    """Seven straps hold three: Rescue 41 wants one more for a fourth; the small rig with a body to spare wants two."""
    rig = tidy(counts={"body": 3, "base": 3, "head": 3})

    assert loaded(rescue_41(), vertical=4000, **AT).tally.binding.singles == ("P/strap",)
    assert loaded(rig, vertical=1000, **AT).tally.binding.pairs == (("T/strap", "T/strap"),)


def test_a_plan_with_too_few_ties_for_its_bases_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two bases that push 1,732 lbf out each are not held by one strap of 3,333."""

    def with_one(*asked: Any) -> Tally:
        told = tally(*asked)
        return replace(told, best=replace(told.best, ties=(("T/strap", 1),)))

    monkeypatch.setattr("cache_check.planning.loading.loading.tally", with_one)
    with pytest.raises(FalsePlanError, match=r"verification: \{'T/strap': 1\} do not hold 2 bases"):
        loaded(tidy(), vertical=3000, **AT)


def test_what_no_rule_in_force_looks_at_is_said() -> None:
    """Each link that goes with its rule, by name, once the rule is off; none of them while all are on."""
    links = [
        "angle",
        "head",
        "ground",
        "reach of straps",
        "far anchors",
        "stays down",
        "pre-tension",
        "floor of struts",
    ]
    named = ("ANG-1", "HED-1", "GND-1", "STR-5", "WLL-2", "EQU-1", "PRE-1", "NUM-1")
    off = [change(rule, on=False) for rule in named]
    told = loaded(tidy(), *off, **AT, vertical=3000).unchecked

    assert [one.partition(": no rule on it is in force")[0] for one in told if "no rule" in one] == [*links]
    assert not any("no rule" in one for one in loaded(tidy(), **AT, vertical=3000, vehicle="car").unchecked)


@pytest.mark.parametrize(("settings", "fields", "presses"), [
    ((), {"pretension": 100}, 3300), ((change("WLL-1", on=False),), {"pretension": None}, 3000),
])  # fmt: skip
def test_what_presses_the_ground(settings: tuple[Setting, ...], fields: dict[str, Any], presses: int) -> None:
    """Two straps 30 deg to either side at 100 put 2 cos 30 / cos 60 x 100 into the strut, of which sin 60 is 300 down.

    Where no rule says how straps are tightened nothing is added.
    """
    result = loaded(tidy(), *settings, **AT, vertical=3000, soil="9000psf", **fields)
    (link,) = [one for one in result.links if one.of == "ground"]

    assert result.ground is not None
    assert [pounds(link.demand), pounds(result.ground.bearing)] == pytest.approx([presses] * 2)


def test_chain_in_place_of_the_strap_that_pulls_most() -> None:
    """By the law of sines a strap 20 deg off the line, with one 30 deg off beside it, has sin 30 / sin 50."""
    sides = {**AT, "half_angles": ["20 left", "30 right"], "pretension": 0}
    result = loaded(tidy(), **sides, vertical=3000)

    assert result.chain is not None
    assert result.forces is not None
    most = math.sin(math.radians(30)) / math.sin(math.radians(50))
    assert float(result.chain.tension / result.forces.thrust_checked) == pytest.approx(most)


def test_of_two_that_carry_alike_the_lighter_comes_first() -> None:
    """Bodies alike but for their weight."""
    light = {"kind": "body", "closed": 30, "open": 50, "pull_apart": 55, "lock": "collar", "mass": 10}
    found = loaded(tidy(parts={"z-light": light}, counts={"z-light": 2}), **AT, vertical=3000).carriers

    assert [one.assembly.body for one in found[:2]] == ["T/z-light", "T/body"]


def test_the_ground_bears_what_the_steepest_strap_pulls_down() -> None:
    """Three lines may share anyhow: one whose anchor lies 8 in below the base presses with it where it pulls alone."""
    lines = [[-10, 0, 20], [-10, 0, -20], [-20, -8, 0]]
    forces = loaded(tidy(), contact_height=40, angle=60, vertical=3000, anchors=lines).forces
    assert forces is not None

    upright = forces.axial_checked * Fraction(math.sin(math.radians(60)))
    pulled = forces.thrust_checked * 8 / Fraction(20 + 40 / math.tan(math.radians(60)))

    assert float(forces.bearing) == pytest.approx(float(upright + pulled))
