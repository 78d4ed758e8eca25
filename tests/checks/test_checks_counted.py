"""What a count makes of a book, line by line: what differs, is unknown, lies untagged, and what is left to use."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import pytest
from audit_builders import DAY, audited_cache, counted
from builders import NOT_LISTED, change, needs_of, ready_set

import cache_check as api
from cache_check.checks.counted_lots import tags
from cache_check.files.rules import read_rules
from cache_check.model.audit import AuditResult
from cache_check.model.count import CountLine
from cache_check.model.rule import Setting

Lines = dict[str, dict[str, Any]]


def audited(
    lines: Lines, *extra: dict[str, Any], sets: Lines | None = None, settings: tuple[Setting, ...] = (), **rig: Any
) -> AuditResult:
    """The audit of a rig that was counted as its book has it, but for these lines."""
    cache = audited_cache(**rig)
    more = tuple(CountLine.model_validate({"part": "T/strap", **one}) for one in extra)
    count = counted(cache, lines, sets, more)
    return api.audit(cache, read_rules(), count, suppose=api.WhatIf(on=DAY, settings=settings))


def said(result: AuditResult, *rules: str) -> list[str]:
    """What these rules find, and where."""
    found = [one.finding for one in result.findings]
    return [f"{one.what} @ {one.where}" for one in found if one.rule in rules]


def left(result: AuditResult) -> dict[str, int]:
    """Usable pieces of each part of which some are not, as the findings say."""
    said = (re.search(r"(\d+) of \d+ (\S+) left to use", one.finding.effect) for one in result.findings)
    return {one[2]: int(one[1]) for one in said if one}


def test_the_lower_of_two_counts_is_taken() -> None:
    """Of found; what is not fit stays among them.  A second person who only signed has counted the same."""
    result = audited({"pin": {"usable": 7, "second": "5"}, "S-1": {"second": "0"}, "head": {"second": "C. D."}})

    assert said(result, "CNT-1") == [
        "3 x pin: missing; 8 on the book, 5 found @ drawer 1",
        "3 x pin: two counts; 8 counted first, 5 by the second person; the lower is taken @ drawer 1",
        "strap S-1: missing; not found @ drawer 1",
        "strap S-1: two counts; 1 counted first, 0 by the second person; the lower is taken @ drawer 1",
    ]
    assert left(result) == {"pin": 4, "strap": 4}
    places = [dict(one.finding.figures)["places"] for one in result.findings if one.finding.rule == "CNT-1"]
    assert places[:2] == ["book: drawer 1; found: nowhere", "book: nowhere; found: drawer 1"]


@pytest.mark.parametrize(
    ("written", "fewer"),
    [
        ("5", 3), ("5x", 3), ("five", 3), ("CD 5", 3), ("5 of 8", 3), ("5/8", 3), ("C. D. five", 3), ("absent", 8),
        ("CD", 0), ("CD 4417", 0), ("CD5", 0), ("CD 2026-04-01", 0), ("CD 5/4/2026 6:30", 0), ("8", 0), ("C. D. 8", 0),
    ],
)  # fmt: skip
def test_a_second_person_counts_beside_their_initials(written: str, fewer: int) -> None:
    """A number after initials is a count where it is fewer; the number of a badge, a day and a time are none."""
    told = [one for one in said(audited({"pin": {"second": written}}), "CNT-1") if "two counts" in one]

    assert len(told) == (fewer > 0)
    assert all(f"8 counted first, {8 - fewer} by the second person" in one for one in told)


@pytest.mark.parametrize(("rig", "own"), [("tidy", True), (" TIDY", True), ("Tidy rig", True), ("tidy 2", False)])
def test_a_piece_marked_for_its_own_rig_is_its_own(rig: str, own: bool) -> None:
    """Whatever the case and marks of its name, or by its title."""
    cache = audited_cache().changed(title="Tidy-Rig")
    count = counted(cache, {"S-1": {"rig": rig}, "pin": {"rig": rig}})

    assert (said(api.audit(cache, read_rules(), count, suppose=api.WhatIf(on=DAY)), "CNT-1") == []) == own


AS_BOOK = (Setting(rule="CNT-3", values={"blank_as_book": True}, by="test"),)


@pytest.mark.parametrize("written", [{"condition": "cracked"}, {"tag": "T-1"}, {"state": "missing"}, {"note": "?"}])
def test_a_line_that_says_something_is_not_taken_as_the_book_has_it(written: dict[str, str]) -> None:
    """A policy that takes blanks as the book has them is of lines at which nobody wrote anything."""
    blank = {"found": None, "usable": None, "label": None}
    plain = audited({"S-1": blank, "pin": blank | {"initials": "A. B."}}, settings=AS_BOOK)
    told = audited({"S-1": blank | written, "pin": blank | written}, settings=AS_BOOK)

    assert said(plain, "OOS-1") == []
    assert set(said(told, "OOS-1")) == {"8 x pin: state not known @ drawer 1", "strap S-1: state not known @ drawer 1"}
    effects = {one.finding.effect for one in told.findings if one.finding.rule == "CNT-3"}
    assert effects == {"not counted on until somebody looks"}


def test_two_lines_of_a_lot_of_which_a_blank_one_says_something() -> None:
    """What is not found in the one place may lie in the other, in the state that is written of it."""
    cab = {"part": "T/pin", "where": "cab", "condition": "bent"}
    result = audited({"pin": {"found": 6, "usable": 6}}, cab, settings=AS_BOOK)

    assert said(result, "OOS-1") == ["2 x pin: state not known @ drawer 1"]


@pytest.mark.parametrize(("joints", "out"), [("captive", True), ("T/pin", False)])
def test_a_piece_whose_captive_pin_is_gone_is_not_fit(joints: str, out: bool) -> None:
    """A loose pin is counted where it lies; one that is the piece's own is not to be had elsewhere."""
    result = audited({"body": {"pins": False}}, joints=joints)

    assert ("2 x body: quarantined @ drawer 1" in said(result, "OOS-1")) == out
    assert ("2 x body: out of use, and not tagged @ drawer 1" in said(result, "TAG-1")) == out
    assert said(result, "PIN-3") == ["body: its pins and keepers are not with it @ drawer 1"]


@pytest.mark.parametrize(
    ("note", "fit"), [("one bent", 3), ("one bent, do not use the rest", 0), ("1 bent, all rusty", 0)]
)
def test_a_note_of_all_is_of_all(note: str, fit: int) -> None:
    """A number beside as many that are not fit is of those, but not where the note goes on to the others."""
    result = audited({"head": {"usable": 3, "note": note}}, counts={"head": 4})

    assert left(result)["head"] == fit


def test_a_remark_of_a_count_takes_back_no_note_of_the_book() -> None:
    """A strap that the book says not to use is not used because somebody wrote beside it where it lay."""
    straps = [{"serial": "S-1", "acquired": "2024-05-01", "inspected": "2026-01-10", "note": "do not use"}]
    result = audited({"S-1": {"note": "under the seat", "tag": "7"}}, items={"strap": straps}, counts={"strap": 5})

    assert said(result, "OOS-1") == ["strap S-1: tagged 7; noted: do not use; under the seat @ drawer 1"]


@pytest.mark.parametrize(("state", "fit"), [(None, 6), ("in service", 8)])
def test_pieces_of_a_lot_whose_state_nobody_knew_are_not_out(state: str | None, fit: int) -> None:
    """They need no tag; they count where a count that found all of them fit writes that they are in service."""
    result = audited({"pin": {"state": state}}, out={"pin": {"unknown": 2}})

    assert said(result, "TAG-1") == []
    assert left(result).get("pin", 8) == fit


@pytest.mark.parametrize(("booked", "found", "told"), [
    ("", "Tray", []), ("box", " TRAY", ["ready set A: set; ready set A belongs in box @ tray"]), ("tray", "Tray", []),
])  # fmt: skip
def test_a_set_that_was_found_in_a_compartment(booked: str, found: str, told: list[str]) -> None:
    """Told where the book has it elsewhere; a compartment is known whatever its case, and whether the set goes in."""
    places = [{"id": "tray", "length": "30 in"}, {"id": "box", "length": "90 in"}]
    sets = (ready_set("A", "base", "body", "head").changed(where=booked),)
    seen = {"A": {"found": True, "held": True, "where": found}}
    result = audited({}, sets=seen, ready_sets=sets, compartments=places)

    assert said(result, "CNT-1") == told
    assert said(result, "STO-1") == ["ready set A is 35.0 in closed and wants 0.0 in clear; tray has 30.0 in @ tray"]


@pytest.mark.parametrize(("second", "told"), [
    ("C. D.", []), ("-", ["no second person signed the count"]), ("none", ["no second person signed the count"]),
    ("?", ["no second person signed the count"]), ("AB", ["one person signed as both"]),
    ("a.  b.", ["one person signed as both"]),
])  # fmt: skip
def test_what_is_no_second_person(second: str, told: list[str]) -> None:
    """A dash or a word for nobody signs nothing, and whoever signs otherwise is no other person."""
    cache = audited_cache()
    result = api.audit(cache, read_rules(), counted(cache, second=second), suppose=api.WhatIf(on=DAY))

    assert [one.partition(" @ ")[0] for one in said(result, "CNT-4")] == told


@pytest.mark.parametrize(("piece", "place", "doubted"), [
    ("drawer 1", "", False), ("Tray", "", False), ("cab", "", True), ("cab", "cab", False), ("tray", "cab", True),
])  # fmt: skip
def test_a_set_of_which_a_piece_was_found_elsewhere(piece: str, place: str, doubted: bool) -> None:
    """Neither where the book has the piece nor where the set was found: the set does not stand there built."""
    body = [{"serial": "D-1", "inspected": "2026-01-10", "label": "legible"}]
    sets = (ready_set("A", "base", "body", "head", serials=("D-1",)),)
    seen = {"A": {"found": True, "held": True, "where": place}}
    result = audited({"D-1": {"where": piece}}, sets=seen, items={"body": body}, ready_sets=sets)

    told = [f"ready set A: found, and D-1 of it in {piece}, so unknown @ tray"]
    assert said(result, "CNT-3") == told * doubted
    gone = {"A": {"found": False, "note": "taken apart, one is bent"}}
    apart = audited({}, sets=gone, items={"body": body}, ready_sets=sets)
    assert (said(apart, "CNT-3"), len(said(apart, "CNT-1"))) == ([], 1)


def test_a_lost_point_stays_where_the_second_person_counts_fewer() -> None:
    """Of three bases with five points one lost a point: of two it may still be one."""
    result = audited({"base": {"points": 5, "second": "2"}}, counts={"base": 3})

    assert said(result, "PTS-2") == ["base without serial 1: 1 usable attachment point of 2 @ drawer 1"]
    assert left(audited({"pin": {"second": "9"}})) == {}


@pytest.mark.parametrize("line", [
    {"S-1": {"usable": 0}}, {"S-1": {"condition": "cut"}}, {"S-1": {"label": "unreadable"}}, {"pin": {"usable": 6}},
    {"B-1": {"points": 1}}, {"B-1": {"state": "quarantined"}}, {"B-2": {}},
])  # fmt: skip
def test_what_the_second_person_does_not_find_still_lies_there_without_a_tag(line: dict[str, dict[str, Any]]) -> None:
    """What one of two people saw out of use may be taken; with a tag, or sound, it is only missing."""
    seen = {"inspected": "2026-01-10", "label": "legible"}
    items = {"base": [{"serial": "B-1", **seen}, {"serial": "B-2", **seen, "condition": "cracked"}]}
    ((one, how),) = line.items()

    def untagged(**more: str) -> list[str]:
        return said(audited({"B-2": {"tag": "T-9"}} | {one: how | more}, items=items), "TAG-1")

    assert len(untagged()) == len(untagged(second="0")) == 1
    assert untagged(tag="T-1, T-2", second="0") == []
    assert said(audited({"B-2": {"tag": "T-9"}, "S-1": {"second": "0"}}, items=items), "TAG-1") == []


def test_what_lies_elsewhere_or_is_marked_for_another_rig() -> None:
    """Another place is told; its own rig is none; what is another's is not counted, nor what nobody then saw."""
    lines: Lines = {
        "S-2": {"where": "cab"}, "pin": {"where": "the  Cab", "rig": "tidy"}, "head": {"rig": "other"},
        "S-3": {"rig": "other"}, "S-4": {"rig": "tidy", "where": "Drawer  1"},
    }  # fmt: skip
    result = audited(lines, {"part": "T/ext-6", "serial": "Z-8", "found": 1, "rig": "other"})

    assert said(result, "CNT-1", "CNT-3") == [
        "ext-6 Z-8: wrong rig; belongs to other @ other",
        "2 x head: wrong rig; belongs to other @ drawer 1",
        "8 x pin: wrong place; belongs in drawer 1 @ the  Cab",
        "strap S-2: wrong place; belongs in drawer 1 @ cab",
        "strap S-3: wrong rig; marked for other @ drawer 1",
        "2 x head: found marked for other only, so unknown @ drawer 1",
    ]
    numbers = [dict(one.finding.figures)["different_count"] for one in result.findings if one.finding.rule == "CNT-1"]
    assert numbers == [1, 2, 8, 1, 1]
    assert left(result) == {"head": 0, "strap": 4}


def test_what_is_out_of_use_and_not_tagged() -> None:
    """Of pieces and lots, where they lie; a base that lost a point is out with it, one that did not is not."""
    bases = [{"serial": name, "inspected": "2026-01-10", "label": "legible"} for name in ("B-1", "B-2")]
    lines: Lines = {
        "S-1": {"usable": 0, "where": "cab"}, "S-2": {"note": "do not use"}, "S-3": {"usable": 0, "tag": "7"},
        "B-1": {"points": 1}, "head": {"usable": 1, "where": "cab"}, "pin": {"found": 0, "usable": 0},
    }  # fmt: skip
    result = audited(lines, {"serial": "Z-9", "found": 1, "usable": 0, "where": "cab"}, items={"base": bases})

    assert said(result, "TAG-1") == [
        "base B-1: out of use, and not tagged @ drawer 1",
        "1 x head: out of use, and not tagged @ cab",
        "strap S-1: out of use, and not tagged @ cab",
        "strap S-2: out of use, and not tagged @ drawer 1",
        "strap Z-9: out of use, and not tagged @ cab",
    ]
    assert left(result) == {"head": 1, "pin": 0, "strap": 2}
    assert "8 x pin: missing; 8 on the book, 0 found @ drawer 1" in said(result, "CNT-1")


@pytest.mark.parametrize("booked", [{"quarantined": 2, "retired": 1}, {"retired": 1, "quarantined": 2}])
@pytest.mark.parametrize(("usable", "quarantined", "fit"), [(8, 2, 5), (7, 2, 5), (4, 3, 4)])
def test_pieces_of_a_lot_that_the_book_has_out_stay_out(
    booked: dict[str, int], usable: int, quarantined: int, fit: int
) -> None:
    """Whatever the count says is fit; what it finds not fit are those first, in whatever order the book has them."""
    result = audited({"pin": {"usable": usable}}, out={"pin": booked})

    assert set(said(result, "OOS-1")) == {
        f"{quarantined} x pin: quarantined @ drawer 1", "1 x pin: retired @ drawer 1",
    }  # fmt: skip
    assert said(result, "TAG-1") == [f"{8 - fit} x pin: out of use, and not tagged @ drawer 1"]
    assert left(result) == {"pin": fit}


def test_a_lot_at_which_nobody_looked() -> None:
    """What the book has out or away is so still; of the others nothing is known."""
    result = audited({"pin": {"found": None, "usable": None}}, out={"pin": {"quarantined": 2, "loaned": 1}})

    assert said(result, "OOS-1") == [
        "1 x pin: loaned @ drawer 1", "2 x pin: quarantined @ drawer 1", "5 x pin: state not known @ drawer 1",
    ]  # fmt: skip
    assert said(result, "CNT-3") == ["8 x pin: found left blank, so unknown @ drawer 1"]
    never = audited({"ext-12": {"found": None, "usable": None}}, counts={"ext-12": None})
    assert said(never, "CNT-3") == ["ext-12: found left blank, so unknown @ drawer 1"]


def test_pieces_that_a_line_has_out_are_not_taken_for_those_of_another() -> None:
    """Three are retired, in the book and on a line of their own; two more are not fit, so three are left."""
    retired = {"part": "T/pin", "found": 3, "usable": 0, "state": "retired"}
    result = audited({"pin": {"found": 5, "usable": 3}}, retired, out={"pin": {"retired": 3}})

    assert set(said(result, "OOS-1")) == {"2 x pin: quarantined @ drawer 1", "3 x pin: retired @ drawer 1"}
    assert left(result) == {"pin": 3}


def test_what_is_over_is_found_where_it_was_counted_last() -> None:
    """Six in their drawer, four in the cab, eight on the book: of those in the cab two are over and two astray."""
    result = audited({"pin": {"found": 6, "usable": 6}}, {"part": "T/pin", "found": 4, "usable": 4, "where": "cab"})

    assert said(result, "CNT-1") == [
        "2 x pin: extra; on no book; not counted on until it is @ cab",
        "2 x pin: wrong place; belongs in drawer 1 @ cab",
    ]


@pytest.mark.parametrize(("found", "away", "told"), [(8, 0, "pin"), (5, 3, "3 x pin")])
def test_a_second_line_that_nobody_filled_in_is_not_looked_at(found: int, away: int, told: str) -> None:
    """Of eight pins those not found in their drawer may lie in the cab, where nobody looked: not known, not missing."""
    blank = {"part": "T/pin", "where": "cab"}
    result = audited({"pin": {"found": found, "usable": found}}, blank)

    assert said(result, "CNT-3") == [f"{told}: found left blank, so unknown @ cab"]
    assert said(result, "CNT-1") == []
    assert said(result, "OOS-1") == [f"{away} x pin: state not known @ drawer 1"] * bool(away)
    assert left(result) == ({"pin": found} if away else {})
    assert result.verdict.outcome == "not known"
    as_book = audited(
        {"pin": {"found": found, "usable": found}}, blank, settings=(change("CNT-3", blank_as_book=True),)
    )
    assert left(as_book) == {}


def test_points_of_a_lot_with_three_each() -> None:
    """Of six points one, three and four are lost: taken where it costs most, and the rest on one base more."""
    bases = {"base": {"points": [{"wll": 5000}] * 3}}

    assert [said(audited({"base": {"points": points}}, parts=bases), "PTS-1", "PTS-2") for points in (6, 5, 3, 2)] == [
        [],
        ["base without serial 1: 2 usable attachment points of 3 @ drawer 1"],
        [
            "base without serial 1: 1 usable attachment point of 3 @ drawer 1",
            "base without serial 2: 2 usable attachment points of 3 @ drawer 1",
            "base without serial 1 has 1 usable attachment point, 2 wanted, 3 as made @ drawer 1",
        ],
        [
            *(f"base without serial {n}: 1 usable attachment point of 3 @ drawer 1" for n in (1, 2)),
            *(f"base without serial {n} has 1 usable attachment point, 2 wanted, 3 as made @ drawer 1" for n in (1, 2)),
        ],
    ]


def test_points_that_a_lot_in_two_places_lost_in_one() -> None:
    """All three of its base there; the base elsewhere has its own."""
    there = {"part": "T/base", "found": 1, "usable": 1, "points": 3, "where": "cab"}
    bases = {"base": {"points": [{"wll": 5000}] * 3}}
    result = audited({"base": {"found": 1, "usable": 1, "points": 0}}, there, parts=bases)

    assert said(result, "PTS-2") == ["base without serial 1: 1 usable attachment point of 3 @ drawer 1"]


@pytest.mark.parametrize(
    ("written", "number"),
    [("12-14", 3), ("A12-A14", 3), ("14-12", 1), ("12, 13 and 15", 3), ("T-9", 1), ("-", 0), ("26-117", 1), ("1-4", 1)],
)
def test_how_many_tags_are_written(written: str, number: int) -> None:
    """A run from low to high is as many as it names, if so many were found; anything else is one."""
    assert tags(written, 3) == number


def test_points_of_a_lot_of_which_one_is_enough() -> None:
    """Two of four points are lost: one base may have lost both, or each one; so it is where none is asked."""
    one = audited({"base": {"points": 2}}, settings=(change("PTS-1", min=1),))
    none = audited({"base": {"points": 1}}, settings=(change("PTS-1", on=False),))

    assert said(one, "PTS-2") == said(none, "PTS-2") == [
        "base without serial 1: 0 usable attachment points of 2 @ drawer 1",
        "base without serial 2: 1 usable attachment point of 2 @ drawer 1",
    ]  # fmt: skip


def test_a_point_less_of_a_lot_makes_no_audit_better() -> None:
    """Two struts, three straps to a base, 550 lbf each, points of 1,000 lbf: two on one point are too many.

    With eight of nine points one base hangs two straps on a point; with seven two may, though one may have lost both.
    """
    rig = audited_cache(
        parts={"base": {"points": [{"wll": 1000}] * 3}}, counts={"body": 3, "base": 3, "head": 3, "pin": 12, "strap": 7}
    )
    need = needs_of([{"count": 2, "at": 45, "load": 1000, "angle": 60}])
    asked = api.WhatIf(on=DAY, settings=(change("STR-1", min=3),))
    rated = [
        api.audit(rig, read_rules(), counted(rig, {"base": {"points": points}}), needs=need, suppose=asked)
        .compared[0]
        .today.count("rated")
        for points in range(9, -1, -1)
    ]

    assert rated == [2, 1, 1, 1, 1, 1, 0, 0, 0, 0]


@pytest.mark.parametrize(
    ("second", "left_over"),
    [
        *(("0", 4), ("no", 4), ("No", 4), ("none", 4), ("missing", 4), ("not there", 4), ("none found", 4)),
        *(("0, J. B.", 4), ("looked, no", 4), ("one", 5), ("1.0", 5), ("N. O.", 5), ("Noor Notley", 5), ("yes", 5)),
    ],
)
def test_what_a_second_person_writes_of_a_piece(second: str, left_over: int) -> None:
    """A number, in figures or words, or that it is not there; anything else is who they are."""
    assert left(audited({"S-1": {"second": second}})).get("strap", 5) == left_over


def test_more_found_than_booked_and_a_day_for_those_that_are_fit() -> None:
    """Two of four heads are on the book; one of them is not fit, so one is left, told apart by its own day."""
    result = audited({"head": {"found": 4, "usable": 3, "inspected": "2026-03-01"}})

    assert said(result, "CNT-1") == ["2 x head: extra; on no book; not counted on until it is @ drawer 1"]
    assert left(result) == {"head": 1}


def test_what_was_looked_at_and_what_was_left_blank() -> None:
    """A line left blank was not looked at; of the others the columns that say so, and where they lie."""
    lines: Lines = {
        "S-1": {"found": None, "usable": None, "label": None}, "S-2": {"label": None, "where": "cab"},
        "S-3": {"usable": None},
        "base": {"points": None}, "body": {"usable": None}, "pin": {"found": None, "usable": None},
    }  # fmt: skip
    result = audited(lines)

    assert said(result, "CNT-3") == [
        "2 x base: points left blank, so unknown @ drawer 1",
        "2 x body: usable left blank, so unknown @ drawer 1",
        "8 x pin: found left blank, so unknown @ drawer 1",
        "strap S-1: found left blank, so unknown @ drawer 1",
        "strap S-2: label left blank, so unknown @ cab",
        "strap S-3: usable left blank, so unknown @ drawer 1",
    ]
    assert set(result.looked.blank) == {
        ("T/base", ""), ("T/body", ""), ("T/pin", ""), ("T/strap", "S-1"), ("T/strap", "S-2"), ("T/strap", "S-3"),
    }  # fmt: skip
    assert ("T/head", "", ("usable",)) in result.looked.seen
    assert ("T/strap", "S-4", ("label", "usable")) in result.looked.seen
    assert not {(part, serial) for part, serial, _ in result.looked.seen} & set(result.looked.blank)
    assert left(result) == {"base": 0, "body": 0, "pin": 0, "strap": 2}
    assert all(link.ask for link in result.verdict.links if link.state != "holds")


def test_sets_that_are_not_built_loose_or_too_heavy() -> None:
    """Each by its name; the compartment by what it holds and carries."""
    sets = tuple(ready_set(name, "base", "body", "head") for name in "AB")
    places = [{"id": "tray", "length": 40, "carries": 20}]
    result = audited({}, sets={"A": {"found": False}, "B": {"held": False}}, ready_sets=sets, compartments=places)

    assert said(result, "CNT-1") == ["ready set A: set; ready set A is on the book and not built @ tray"]
    assert said(result, "STO-2") == [
        "ready set B is not held from moving @ tray",
        "tray holds ready sets of 23.5 lb; it carries 20.0 lb @ tray",
    ]
    just = [{"id": "tray", "length": 40, "carries": "23.5"}]
    assert said(audited({}, ready_sets=sets[:1], compartments=just), "STO-2") == []


def test_a_line_that_is_not_there_and_a_count_that_is_not_a_book_s() -> None:
    """A piece without a line was not looked at; a part that no book lists is extra; a book of another day is told."""
    cache = audited_cache(counts={"ext-6": NOT_LISTED})
    sheet = counted(cache, {"S-2": {"found": None, "usable": None, "second": "1"}}, book="of another day", second="")
    lines = tuple(line for line in sheet.lines if line.serial != "S-1")
    found = CountLine.model_validate({"part": "T/ext-6", "found": 1, "usable": 1, "where": "cab"})
    result = api.audit(cache, read_rules(), sheet.changed(lines=(*lines, found)), suppose=api.WhatIf(on=DAY))

    assert said(result, "CNT-1") == ["1 x ext-6: extra; on no book; not counted on until it is @ cab"]
    (blank,) = (one.finding for one in result.findings if one.finding.rule == "CNT-3")
    assert blank.what == "strap S-1 and S-2: found left blank, so unknown"
    assert dict(blank.figures) == {"blank_count": 2}
    assert [one.partition(" of ")[0] for one in said(result, "CNT-4")] == [
        "no second person signed the count @ ", "the sheet was made from book",
    ]  # fmt: skip


def test_what_a_note_numbers() -> None:
    """As many as it says and are not fit; a note of more leaves all of them not known, one of none every piece out."""
    one, word, more, bare = (
        audited({"head": {"usable": 1, "note": note}}) for note in ("1 bent", "one bent", "2 bent", "bent")
    )

    assert left(one) == left(word) == {"head": 1}
    assert left(more) == left(bare) == {"head": 0}
    assert left(audited({"head": {"usable": None, "note": "0 bent"}})) == {"head": 0}


@pytest.mark.parametrize(
    ("lines", "fit"),
    [
        ({"found": 3, "usable": 3, "note": "1 on loan"}, 3),
        ({"found": 3, "usable": 3, "note": "2 lost"}, 0),
        ({"found": 2, "usable": 1, "note": "one lost, one bent, one on loan"}, 1),
        ({"found": 4, "usable": 4, "note": "1 lost"}, 0),
    ],
)
def test_a_note_of_as_many_as_nobody_found_leaves_the_others(lines: dict[str, Any], fit: int) -> None:
    """Of four, three found and fit and one lost: the three are fit, and were taken out with it."""
    assert left(audited({"head": lines}, counts={"head": 4})) == {"head": fit}


def test_a_note_beside_one_of_two_places_is_of_what_lies_there() -> None:
    """Two of four heads in the drawer, and two bent of them: what lies in the cab is not what the note is of."""
    cab = {"part": "T/head", "where": "cab", "found": 1, "usable": 1}
    result = audited({"head": {"found": 2, "usable": 2, "note": "1 bent"}}, cab, counts={"head": 4})

    assert left(result)["head"] <= 1


def test_points_of_a_base_with_a_serial_that_nobody_looked_at() -> None:
    """They are not known, and so it holds nothing; lines without a place lie where the book has them."""
    bases = [{"serial": "B-1", "inspected": "2026-01-10", "label": "legible"}]
    result = audited({"B-1": {"points": None}, "base": {"points": None, "where": ""}}, items={"base": bases})

    assert said(result, "CNT-3") == ["base B-1 and 1 x base: points left blank, so unknown @ drawer 1"]
    assert said(result, "PTS-2") == ["base B-1 and without serial 2: points not looked at @ drawer 1"]


def test_a_set_found_elsewhere_is_judged_where_it_lies() -> None:
    """It does not go into the box, nor does the box carry it; of where the book has it nothing is said."""
    sets = (ready_set("A", "base", "body", "head"),)
    places = [{"id": "tray", "length": 40}, {"id": "box", "length": 30, "carries": 20}]
    result = audited(
        {}, sets={"A": {"found": True, "held": True, "where": "box"}}, ready_sets=sets, compartments=places
    )

    assert said(result, "CNT-1", "STO-1", "STO-2") == [
        "ready set A: set; ready set A belongs in tray @ box",
        "ready set A is 35.0 in closed and wants 0.0 in clear; box has 30.0 in @ box",
        "box holds ready sets of 23.5 lb; it carries 20.0 lb @ box",
    ]


def test_pads_in_use_and_spare() -> None:
    """One for each body that has a base, and one spare for every five."""
    pads = {"pad": {"kind": "pad", "footprint": {"length": "12 in", "width": "12 in"}}}

    def short(count: int) -> list[str]:
        result = audited({}, parts=pads, counts={"pad": count, "body": 3})
        found = (one.finding for one in result.findings)
        return [f"{one.what}: {one.effect}" for one in found if "pads" in one.what]

    assert short(3) == []
    assert short(2) == [
        "2 pads in use and 1 spare make 3: 1 short (2 usable): none to spare when one is cut or left on scene"
    ]
    assert short(1) == ["2 pads in use and 1 spare make 3: 2 short (1 usable): short even with no spare"]


def test_chains_are_spare_for_straps() -> None:
    """Three bases take six; five straps are two short of those and a spare, and two chains make them up."""
    chain = {
        "chain": {"kind": "chain", "grade": 80, "size": "3/8 in", "mass": 8, "needs": {"T/binder": 1}},
        "binder": {"kind": "hardware", "mass": 4},
    }  # fmt: skip
    three = {"body": 3, "base": 3}

    assert said(audited({}, counts={"base": 3}), "SPR-1") == []
    assert said(audited({}, counts=three), "SPR-1") == [
        "6 straps or chains in use and 1 spare make 7: 2 short (5 usable) @ "
    ]
    none = audited({}, counts={**three, "strap": 0}, items={"strap": []}, settings=(change("STR-1", on=False),))
    assert said(none, "SPR-1") == []
    assert said(audited({}, parts=chain, counts={**three, "chain": 2, "binder": 2}), "SPR-1") == []


def test_an_edition_that_is_not_the_book_s() -> None:
    """Both are named; capitals and spaces make no other edition, and a chart may have none."""
    told = [
        said(audited({"S-1": {"edition": edition, "where": "cab"}}, chart={"edition": of_chart}), "REV-1")
        for edition, of_chart in ((" t-1 ", "T-1"), ("T-2", "T-1"), ("T-2", ""))
    ]

    assert told == [[], *(
        [f"strap S-1: the label names 'T-2', the chart in the book {have} @ cab"] for have in ("T-1", "no edition")
    )]  # fmt: skip


def test_a_chart_of_the_day_of_the_book_is_known_to_it() -> None:
    """A day younger is not."""
    cache = audited_cache(chart={"dated": "2026-03-02"})
    told = [
        said(api.audit(book, read_rules(), counted(book), suppose=api.WhatIf(on=DAY)), "REV-1")
        for book in (cache.changed(book_date=date(2026, 3, day)) for day in (2, 1))
    ]

    assert told == [[], ["chart T-chart of 2026-03-02 is younger than the book of 2026-03-01 @ "]]


def test_a_lot_in_service_of_which_one_is_not_fit() -> None:
    """It is out for all that the line says; of two with three tags none is left."""
    stated = audited({"head": {"state": "in service", "usable": 1}})

    assert said(stated, "OOS-1") == ["1 x head: quarantined @ drawer 1"]
    assert said(audited({"head": {"tag": "1, 2, 3"}}), "OOS-1") == ["2 x head: quarantined @ drawer 1"]


def test_a_serial_of_the_book_on_another_part() -> None:
    """It is not counted on, and what the book has under it is told."""
    bases = [{"serial": "B-1", "inspected": "2026-01-10", "label": "legible"}]
    result = audited({}, {"serial": "b-1", "found": 1, "where": "cab"}, items={"base": bases})

    assert said(result, "CNT-1") == ["strap b-1: extra; the book has this serial as base @ cab"]


def test_what_is_not_with_a_piece_or_was_not_tried() -> None:
    """Pins away from a strap, a set that nobody tried, and a piece in a set that no book has."""
    sets = (ready_set("A", "base", "body", "head", serials=("B-9",)),)
    result = audited({"S-1": {"pins": False}}, sets={"A": {"found": True}}, ready_sets=sets)
    found = {one.finding.rule: one.finding for one in result.findings}

    assert (found["PIN-3"].serial, found["SET-1"].serial) == ("S-1", "B-9")
    assert (found["CNT-3"].what, found["CNT-3"].effect) == (
        "ready set A: held left blank, so unknown", "taken as the book has it, though nobody looked",
    )  # fmt: skip
    assert found["STO-2"].effect == "unknown, so not fine"
    assert found["SET-1"].remedy.startswith("take the set apart and build one that is legal")


@pytest.mark.parametrize(
    ("found", "short", "first"),
    [
        ({"usable": None}, "1 short, not known: strap S-5", "look for it and write its state"),
        ({"state": "repair", "found": 0}, "1 short", "bring back what is out of use"),
        ({"usable": 0, "condition": "cut"}, "1 short", ""),
    ],
)
def test_spares_that_may_come_back_come_before_those_to_add(found: dict[str, Any], short: str, first: str) -> None:
    """A fifth strap that nobody looked at, or that is at repair, is not bought anew; one that is cut is."""
    spares = next(one.finding for one in audited({"S-5": found}).findings if one.finding.rule == "SPR-1")

    assert spares.what == f"4 straps or chains in use and 1 spare make 5: {short} (4 usable)"
    assert spares.effect == "none to spare when one is cut or left on scene"
    assert spares.remedy == f"{first}; then, if it is short still, " * bool(first) + "add spares to the bag"
