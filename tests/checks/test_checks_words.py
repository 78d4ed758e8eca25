"""What is said of a small rig, word for word: each figure where it belongs, and nothing said of what is fine."""

from __future__ import annotations

from typing import Any

import pytest
from builders import change, checked, loaded, needs_of, ready_set, tidy

from cache_check.checks import say
from cache_check.model.load import LoadResult
from cache_check.model.need import Needs
from cache_check.model.result import CheckResult

HOLES = {"body": {"lock": "holes", "holes": {"pitch": 2}}}
AT: dict[str, Any] = {
    "contact_height": 40,
    "angle": 60,
    "half_angles": 30,
    "vertical": 3000,
    "dynamic_allowance": "1.25",
}
END = {"lower": {"connector": "T plug"}, "upper": {"connector": "T socket"}}
"""Ends that mate with each other, and neither with itself."""
NONE = "neither one part more nor two together allow the next strut"
LONG = {"kind": "body", "closed": 40, "open": 60, "pull_apart": 65, "lock": "collar"}


def said(result: CheckResult | LoadResult, *rules: str) -> list[str]:
    """What these rules, or all, say and what it leads to."""
    return [f"{one.what}: {one.effect}" for one in result.findings if not rules or one.rule in rules]


def gaps(*settings: Any, **rig: Any) -> list[str]:
    """What a rig has of what goes together."""
    return [gap.says for gap in checked(tidy(**rig), *settings).gaps]


def test_what_there_is_enough_of() -> None:
    """Two bodies, one base more than they want, heads that bind, pins and straps to spare."""
    assert gaps(counts={"base": 3, "pin": 20, "strap": 7}) == [
        "2 strut bodies want 2 bases with two usable attachment points: enough (3 usable)",
        "3 bases need 6 straps at two each: enough",
        "2 strut bodies need 2 bases: enough (3 usable)",
        "2 strut bodies need 2 heads: none short, and one more helps the next strut (36.0 in and 1 more) (2 usable)",
        "2 strut bodies need 4 bases and heads together: none short, and one more helps the next strut "
        "(36.0 in and 1 more) (5 usable)",
        "pin: 4 in two joints on every body and 2 spare make 6: enough (20 usable)",
    ]
    assert [(one.have, one.want) for one in checked(tidy(counts={"strap": 7})).gaps if "straps" in one.says] == [(7, 4)]


def test_what_is_short() -> None:
    """Four bodies, three bases and heads, one strap and one pin too few; what that costs is told beside it."""
    short = [
        "4 strut bodies want 4 bases with two usable attachment points: 1 short (3 usable)",
        "3 bases need 6 straps at two each: 1 short",
        "4 strut bodies need 4 bases: 1 short (3 usable)",
        "4 strut bodies need 4 heads: 1 short (3 usable)",
        "4 strut bodies need 8 bases and heads together: 2 short (6 usable)",
        "pin: 8 in two joints on every body and 2 spare make 10: 1 short (9 usable)",
    ]
    counts = {"body": 4, "base": 3, "head": 3, "pin": 9, "strap": 5}

    assert gaps(counts=counts) == short
    assert said(checked(tidy(counts=counts))) == [
        f"{short[5]}: one pin lost on scene can cost a strut",
        f"{short[1]}: no more than 2 of 3 bases can be restrained at once",
        *(f"{short[n]}: no more than 3 of the bodies can stand at once" for n in (2, 3, 4)),
    ]


def test_pins_that_no_joint_takes_are_not_asked_for() -> None:
    """Where a joint takes two, twice as many are in use, and with three of the four there a strut is not built."""
    assert gaps(change("PIN-1", per_joint=2))[-1].startswith("pin: 8 in two joints on every body and 2 spare make 10")
    assert not any(one.startswith("pin") for one in gaps(change("PIN-1", on=False)))
    assert said(checked(tidy(counts={"pin": 3})), "PIN-2") == [
        "pin: 4 in two joints on every body and 2 spare make 6: 3 short (3 usable): 1 pin short even with no spare: "
        "a strut that lacks one pin is not built"
    ]


def test_a_family_that_wants_three_straps_on_a_base() -> None:
    """Its own setting is the one that counts."""
    three = change("STR-1", min=3).changed(family="T")

    assert gaps(three)[1] == "2 bases need 6 straps at three each: 2 short"


def test_what_a_family_asks_of_straps_that_are_not_there_is_not_asked() -> None:
    """Its heads are no straps, and its straps are none: two on each base, as the rules ask."""
    parts = {
        "u-head": {"kind": "fitting", "adds": 1, "serves": "head", "family": "U", "end": "T", "mass": 1},
        "u-strap": {"kind": "strap", "wll": 3333, "family": "U", "mass": 3, "length": "20 ft"},
    }
    three, counts = change("STR-1", min=3).changed(family="U"), {"u-head": 1, "u-strap": 0}

    assert gaps(three, parts=parts, counts=counts)[1] == "2 bases need 4 straps at two each: enough"


def test_plugs_and_sockets_of_one_name_are_one_circle() -> None:
    """Two types of body whose plugs meet sockets share bases and heads, though a plug meets no plug."""
    parts = {"body": END, "ext-6": END, "ext-12": END, "long": LONG | END, "base": {"end": "T socket"},
             "head": {"end": "T plug"}}  # fmt: skip

    assert gaps(parts=parts, counts={"long": 1})[2:5] == [
        "3 strut bodies need 3 bases: 1 short (2 usable)",
        "3 strut bodies need 3 heads: 1 short (2 usable)",
        "3 strut bodies need 6 bases and heads together: 2 short (4 usable)",
    ]


def test_bodies_that_no_part_brings_together_are_told_apart() -> None:
    """Bases and heads of one family are none of another's, and each is told with its families."""
    assert gaps(parts={"long": LONG | {"family": "U"}}, counts={"long": 1})[2:] == [
        *(f"2 strut bodies of family T need {have} {what}: enough ({have} usable)"
          for have, what in ((2, "bases"), (2, "heads"), (4, "bases and heads together"))),
        *(f"1 strut body of family U needs {short} {what}: {short} short (0 usable)"
          for short, what in ((1, "base"), (1, "head"), (2, "bases and heads together"))),
        "pin: 4 in two joints on every body and 2 spare make 6: enough (8 usable)",
    ]  # fmt: skip


def test_what_nothing_can_use() -> None:
    """A pin of no joint, a pad of no size, straps that no base has a point for; nothing is said of the others."""
    odd = tidy(parts={"pad": {"kind": "pad"}, "odd": {"kind": "pin"}}, counts={"pad": 1, "odd": 1})
    none = "no strut and no restraint takes it, however many there are"

    assert said(checked(odd), "USE-1") == [
        f"odd: no joint takes this pin: {none}",
        f"pad: its size is not written, so what it bears is not known: {none}",
    ]
    assert said(checked(tidy(parts={"base": {"points": []}})), "USE-1") == [
        f"strap: no base has the attachment points to be held by (PTS-1, Attachment points per base): {none}"
    ]
    assert said(checked(tidy()), "USE-1") == []
    assert said(checked(tidy(parts={"odd": {"kind": "pin"}}, counts={"odd": 0})), "USE-1") == []


def test_ready_sets_too_heavy_too_long_and_nowhere() -> None:
    """What one person and two may carry, what a compartment lacks, and whose set it is."""
    sets = (ready_set("A", "base", "body", "head"), ready_set("B", "base", "body", "ext-12", "head"))
    long = checked(tidy(parts={"body": {"mass": 40}}, ready_sets=sets, compartments=[{"id": "tray", "length": 36}]))
    away = checked(tidy(parts={"body": {"mass": 80}}, ready_sets=sets[:1], compartments=[{"id": "box", "length": 36}]))
    carry = "one person carries 51.0 lb, two carry 68.0 lb"

    assert said(long, "STO-1", "LFT-1") == [
        "ready set B is 47.0 in closed and wants 0.0 in clear; tray has 36.0 in: it does not go in: 11.0 in too long",
        f"ready set B weighs 53.8 lb with its pins, without straps; {carry}: it takes two persons",
    ]
    assert said(away, "STO-1", "LFT-1") == [
        "ready set A lies in 'tray', which is no compartment of the book: whether it goes in is not known",
        f"ready set A weighs 88.5 lb with its pins, without straps; {carry}: two persons are not enough",
    ]
    assert away.findings[0].remedy == "write the compartment that it lies in, or list that one with its length"


@pytest.mark.parametrize(
    ("compartment", "has"),
    [
        ({"length": 30, "width": 19, "diagonal": True}, ""), ({"length": 30, "width": 18, "diagonal": True}, "34.9 in"),
        ({"length": 30, "width": 19}, "30.0 in"), ({"length": 30, "diagonal": True}, "30.0 in"),
        ({"length": 35}, ""), ({"length": 35, "clearance": "0.5 in"}, "35.0 in"),
    ],
)  # fmt: skip
def test_a_set_lies_corner_to_corner_where_its_compartment_says_so(compartment: dict[str, Any], has: str) -> None:
    """Closed it is 35 in: the diagonal of 30 by 19 is 35.5, of 30 by 18 just under 35; clearance is wanted besides."""
    cache = tidy(ready_sets=(ready_set("A", "base", "body", "head"),), compartments=[{"id": "tray", **compartment}])
    told = [one.what for one in checked(cache).findings if one.rule == "STO-1"]

    assert [one.partition("; tray has ")[2] for one in told] == ([has] if has else [])


def test_a_set_that_breaks_a_rule_is_weighed_where_it_may_be_built_all_the_same() -> None:
    """Shorter next to the body is watched and may stand; two bodies may not."""
    watched = ready_set("A", "base", "body", "ext-6", "ext-12", "head")
    result = checked(
        tidy(parts={"body": {"mass": 80}}, ready_sets=(watched, ready_set("B", "base", "body", "body", "head")))
    )

    assert [one.what[:11] for one in result.findings if one.rule == "LFT-1"] == ["ready set A"]
    assert {(one.what[:11], one.severity) for one in result.findings if one.rule == "SET-1"} >= {
        ("ready set B", "stop")
    }


def test_a_piece_that_two_sets_claim() -> None:
    """Both sets and the serial are named, and the rig."""
    sets = tuple(ready_set(name, "base", "body", "head", serials=("B-1",)) for name in "AB")
    result = checked(tidy(items={"body": [{"serial": "B-1"}]}, ready_sets=sets))

    assert said(result, "SET-1") == ["B-1 is claimed by ready sets A and B: only one of them can be built as listed"]
    assert {one.rig for one in result.findings} == {"Tidy"}


def test_a_length_between_holes_or_outside_them_all() -> None:
    """The packing is to the hole below, and no more than the family allows; outside the holes there is none."""
    cache = tidy(parts=HOLES, counts={"ext-6": 0, "ext-12": 0})
    between = "lies between two settings of body, 41.0 in and 43.0 in: no build of this body covers it; the lower one"
    family = change("IDX-1", pack=2 * 25_400_000).changed(family="T")

    assert said(checked(cache, needs=needs_of([{"at": "42.75 in"}, {"at": 20}, {"at": 70}])), "IDX-1") == [
        f"drill 1: need 1: 42.75 in {between} needs 1.8 in of packing, which is more than the 1.5 in allowed"
    ]
    assert said(checked(cache, family, needs=needs_of([{"at": "42.75 in"}])), "IDX-1") == [
        f"drill 1: need 1: 42.75 in {between} needs 1.8 in of packing, which is within the 2.0 in allowed"
    ]


def test_needs_not_met_and_not_known() -> None:
    """What is not known is told link by link; of what is not met, how many there are, and a load only where asked."""
    needs = needs_of([{"at": 50, "load": 3000}, {"at": 90}, {"at": 60, "count": 3}])

    result = checked(tidy(chart={"rows": []}), needs=needs)

    assert {one.asked for one in result.findings if one.rule == "NEED-1"} == {
        *(f"drill 1: need {n}" for n in (1, 2, 3)), "scene drill 1",
    }  # fmt: skip
    assert said(result, "NEED-1") == [
        "drill 1: need 1: not known whether it is met; rated: 0 of 1; family T: no chart: "
        "nobody can count on it until this is known",
        "drill 1: need 2: 1 strut wanted restrained at 90.0 in, 0 there: 1 short: buildable: no legal assembly of the "
        f"usable parts covers this length without rebuilding; nearest 73.0 in; {NONE}",
        f"drill 1: need 3: 3 struts wanted restrained at 60.0 in, 2 there: 1 short: {NONE}",
        "scene drill 1: 2 of 5 struts at once (need 1: 0 of 1, need 2: 0 of 1 and need 3: 2 of 3): " + NONE,
    ]


def test_a_chart_that_leaves_things_unsaid() -> None:
    """Without its factor nothing rests on it; without its edition nobody knows whether it is current."""
    assert said(checked(tidy(chart={"edition": "", "factor": None})), "CAP-4") == [
        "chart T-chart of family T: edition and design factor not stated: "
        "its loads cannot be brought to any design factor, so nothing rests on it: unrated"
    ]
    assert said(checked(tidy(chart={"edition": ""})), "CAP-4") == [
        "chart T-chart of family T: edition not stated: nobody can tell whether it is the maker's current sheet"
    ]


@pytest.mark.parametrize(
    ("changes", "settings", "expected"),
    [
        ({}, (), []),
        ({"dynamic_allowance": "1.1"}, (), [
            "dynamic allowance of 1.1 stated, policy says 1.25: "
            "asked below policy: every force here is less than policy would take"]),
        ({"half_angles": "4"}, (), [
            "2 straps run 4 deg from the strut's line, under 15 deg: "
            "they hold the thrust, and little stops the base from going sideways"]),
        ({"factor": "1.5"}, (), [
            "this situation asks 1.5:1: asked below policy, which asks 2:1: 2:1 is used, the stricter of the two"]),
        ({}, (change("STR-1", min=3),), [
            "3 on base, which has 2 points: 2 hang on one point, and it takes the pull of them all"]),
    ],
    ids=["nothing", "allowance", "narrow", "factor", "three straps"],
)  # fmt: skip
def test_what_is_said_of_a_load(changes: dict[str, Any], settings: tuple[Any, ...], expected: list[str]) -> None:
    """Nothing of one in which nothing is wrong; else the figure that is, and the one it is held against."""
    assert said(loaded(tidy(), *settings, **(AT | changes))) == expected


def test_a_length_without_a_figure_says_why() -> None:
    """How many reach it, and what the chart lacks; past the last row it is no question to anybody."""
    cache = tidy(chart={"rows": [{"length": 55, "loads": [8000]}]})

    assert said(loaded(cache, **(AT | {"contact_height": 52})), "CAP-3")[1:] == [
        "3 of 3 assemblies that reach 60.1 in are unrated there: no figure at this length and build: "
        "they are not counted as rated; blank is not infinite"
    ]


def test_a_chart_without_its_factor_rates_nothing_in_its_place() -> None:
    """It is not known, and says why."""
    told = said(loaded(tidy(chart={"factor": None}), **AT))
    why = "the design factor of its loads is not stated"

    assert f"chart: chart T-chart is not known: {why}: not known, so not met" in told


def test_a_share_below_policy_and_a_thin_margin() -> None:
    """At rest the share is told too; two builds of one figure on the chart have one margin."""
    rest = {"weight": 3000, "weight_inside": 20, "sideways_share": "0.05", "vertical": None}
    rows = [{"length": 55, "loads": [8000, 8000, 8000]}]

    assert said(loaded(tidy(), **(AT | rest))) == [
        "sideways share of 0.05 stated, policy says 0.5: "
        "asked below policy: every force here is less than policy would take"
    ]
    assert said(loaded(tidy(chart={"rows": rows}), **(AT | {"vertical": 5400})), "CAP-5") == [
        "the best assembly here has 2.6% to spare, under 5%; chart T-chart governs: "
        "2 assemblies with so thin a margin carry only if every figure is right"
    ]


def test_the_scene_that_takes_most_pins_is_the_one_in_use() -> None:
    """Two struts of 65 in have an extension each, so six joints; bodies alone would have four."""
    result = checked(tidy(), needs=needs_of([{"at": 65, "count": 2}]))

    assert result.gaps[-1].says == "pin: 6 in scene drill 1 and 2 spare make 8: enough (8 usable)"
    (scene,) = needs_of([{"at": 50, "count": 2}]).scenes
    alike = checked(tidy(), needs=Needs(scenes=(scene.changed(title="wall"),)))
    assert alike.gaps[-1].says == "pin: 4 in two joints on every body and 2 spare make 6: enough (8 usable)"


def test_what_binds_and_where_the_short_part_lies() -> None:
    """Straps bind at two lengths; pins lie in one drawer, and the finding is of that part."""
    straps = next(gap for gap in checked(tidy(counts={"base": 3, "head": 3, "body": 3})).gaps if gap.what == "straps")
    (pins,) = (one for one in checked(tidy(counts={"pin": 3})).findings if one.rule == "PIN-2")

    assert straps.binds == ("36.0 in", "48.0 in")
    for needs, binds in (
        ([{"at": 50, "count": 2}], ("drill 1: need 1",)),
        ([{"at": 50}, {"at": 45}], ("drill 1: need 1", "drill 1: need 2", "scene drill 1")),
    ):
        few = checked(tidy(counts={"strap": 3}), needs=needs_of(needs))
        assert next(gap.binds for gap in few.gaps if gap.what == "straps") == binds
    assert (pins.part, pins.where) == ("T/pin", "drawer 1")


def test_numbers_are_words_up_to_ten() -> None:
    """Beyond that they are figures."""
    assert [say.word(number) for number in (0, 1, 10, 11)] == ["no", "one", "ten", "11"]


def test_a_link_that_does_not_hold_and_one_that_is_not_known() -> None:
    """Each under its rule: short with what would help, or watched with who could tell."""
    heavy, soft = loaded(tidy(), **(AT | {"vertical": 7500})), loaded(tidy(), soil="unknown", sure=False, why="", **AT)

    assert [(one.rule, one.severity, one.effect, one.remedy) for one in heavy.findings] == [
        ("CAP-1", "short", "not met", "use a shorter or stronger build, more struts, or less load on each"),
        ("NEED-1", "short", "not met", "bring more, or load each less"),
    ]
    assert [(one.rule, one.severity, one.effect, one.remedy) for one in soft.findings] == [
        ("GND-1", "watch", "not known, so not met", "judge the ground under each base: soil"),
        ("NEED-1", "watch", "not known, so not met", "settle what is not known of each"),
    ]


def test_training_pieces_are_told_only_where_they_are_counted() -> None:
    """By a policy that counts them, or one that asks of no state at all."""
    cache = tidy(counts={"strap": 5}, out={"strap": {"training": 1}})
    counts = change("OOS-1", counts=("in service", "training"))

    assert [said(checked(cache, *settings), "TRN-1") for settings in ((), (counts,), (change("OOS-1", on=False),))] == [
        [], *[["1 x strap for training only, counted as usable: every step is too high by them; OOS-1 is set so"]] * 2,
    ]  # fmt: skip
