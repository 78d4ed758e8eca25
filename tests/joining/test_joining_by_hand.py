"""Pieces and reach by hand: wear to the last unit, words however they are stopped, each fitting's own reach."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from builders import NOT_LISTED, SOUND_LOT, rescue_41, tidy
from laws import books

from cache_check.files.rules import removal
from cache_check.joining.assemblies import Joinery
from cache_check.joining.explain import own_fault
from cache_check.joining.joints import Joints, join_graph
from cache_check.joining.seats import between
from cache_check.joining.stock import kept_out, least, mended, stricter, usable
from cache_check.model.assembly import merged
from cache_check.model.cache import Cache, Item, Stock
from cache_check.model.part import LINEAR, Chain, End, Extension, Part
from cache_check.model.piece import Reason, Why
from cache_check.model.rule import Setting

DAY = date(2026, 3, 1)
INCH = 25_400_000
SIZE, LEAST = next((one.size, one.least) for one in removal().chain.sizes)


def _chained(**item: object) -> Cache:
    """Rescue 41 with two chains of the smallest published size, of which C-1 is as said."""
    cache = rescue_41()
    chain = Chain(id="P/chain", family="P", size=SIZE, needs={})
    piece = Item.model_validate(
        {"serial": "C-1", "part": "P/chain", "rig": "rescue-41", "inspected": "2026-01-10", "label": "legible", **item}
    )
    stock = Stock(part="P/chain", rig="rescue-41", count=2, items=(piece,), **SOUND_LOT)
    catalogue = cache.catalogue.changed(parts=(*cache.catalogue.parts, chain))
    return cache.changed(catalogue=catalogue, stock=(*cache.stock, stock))


def _reasons(cache: Cache, *settings: Setting) -> list[Reason]:
    found = usable(cache, books.book((*cache.settings, *settings)), DAY)
    assert found.counts["P/chain"] == 2 - len(found.idle)
    return [reason for idle in found.idle for reason in idle.reasons]


def test_a_chain_is_worn_under_the_published_least() -> None:
    """At the least size it is used; a unit under it, out, and both sizes are told."""
    assert _reasons(_chained(measured=LEAST)) == []
    (worn,) = _reasons(_chained(measured=LEAST - 1))
    assert worn.why == Why.WORN
    assert " at its thinnest, " in worn.says
    assert worn.says.endswith(" at least")
    assert dict(worn.figures) == {"measured_nm": LEAST - 1, "least_nm": LEAST}


@pytest.mark.parametrize(
    ("condition", "why"),
    [
        ("Good.", None), (" good! ", None), ("good, serviceable.", None), ("", None),
        ("good, wobbly", Why.CONDITION_UNKNOWN), ("cracked, do not use", Why.DAMAGED),
        ("rusty", Why.DAMAGED), ("good, frayed at one eye", Why.DAMAGED), ("dropped", Why.DAMAGED),
    ],
)  # fmt: skip
def test_words_of_a_condition(condition: str, why: Why | None) -> None:
    """Fine only where every word is, stopped or not; other words are damage or not known."""
    found = _reasons(_chained(condition=condition))
    assert [reason.why for reason in found] == ([why] if why else [])
    assert all(condition in reason.says for reason in found)


def test_a_family_says_which_words_of_a_note_take_a_piece_out() -> None:
    """What a note says is told once: by the rule of notes where its family lists the word, else as not known."""
    cache, listed = _chained(note="bent at one end"), books.setting("OOS-1", family="P", notes=("bent",))

    assert [reason.why for reason in _reasons(cache)] == [Why.CONDITION_UNKNOWN]
    assert [(one.why, one.says) for one in _reasons(cache, listed)] == [(Why.NOTED, "noted: bent at one end")]


@pytest.mark.parametrize(
    ("part", "item", "why", "sourced"),
    [
        ("body", {"inspected": None}, Why.NOT_INSPECTED, True),
        ("strap", {"inspected": None}, Why.NOT_INSPECTED, False),
        ("body", {"label": "unreadable"}, Why.UNREADABLE, True), ("body", {"label": None}, Why.LABEL_UNSEEN, True),
        ("strap", {"label": "unreadable"}, Why.UNREADABLE, False), ("strap", {"label": None}, Why.LABEL_UNSEEN, False),
        ("body", {"expires": "2026-02-28"}, Why.EXPIRED, True),
        ("strap", {"acquired": "2016-02-29"}, Why.OVER_AGE, False),
        ("body", {"inspected": "2025-02-27"}, Why.OVERDUE, True), ("strap", {"acquired": None}, Why.AGE_UNKNOWN, False),
    ],
)  # fmt: skip
def test_what_keeps_a_piece_out_and_whose_word_that_is(
    part: str, item: dict[str, object], why: Why, sourced: bool
) -> None:
    """One reason each; slings have a published source, of other pieces it is common practice."""
    (idle,) = usable(tidy(items={part: [{"serial": "X", **item}]}), books.book(), DAY).idle

    assert [one.why for one in idle.reasons] == [why]
    assert (idle.reasons[0].source == "common practice, no source") == sourced


@pytest.mark.parametrize("item", [{"inspected": "2025-02-28"}, {"acquired": "2016-03-01"}, {"expires": "2026-03-01"}])
def test_the_last_day_counts(item: dict[str, object]) -> None:
    """366 days after an inspection, 3,652 days after a strap was acquired, and on its own last day a piece is used."""
    assert usable(tidy(items={"strap": [{"serial": "X", **item}]}), books.book(), DAY).idle == ()


@pytest.mark.parametrize(
    ("rule", "item"), [("WEB-1", {"acquired": None}), ("INS-1", {"inspected": None}), ("LAB-1", {"label": None})]
)
def test_what_is_not_known_counts_where_a_rule_lets_it(rule: str, item: dict[str, object]) -> None:
    """It is told all the same, as not known."""
    cache = tidy(items={"strap": [{"serial": "X", **item}]})
    found = usable(cache, books.book([books.setting(rule, unknown_counts=True)]), DAY)

    assert (found.counts["T/strap"], found.idle) == (4, ())
    assert [(one.serial, [reason.rule for reason in one.reasons]) for one in found.tolerated] == [("X", [rule])]


def test_what_is_mended_counts_and_the_rest_stays_as_it_is() -> None:
    """One record at a time is brought back, with a serial or of a lot; no piece comes or goes."""
    pieces = [{"serial": "B-1", "status": "repair"}, {"serial": "B-2", "status": "missing"}]
    cache = tidy(counts={"body": 3}, items={"body": pieces}, out={"strap": {"repair": 2, "loaned": 1}})
    found = usable(cache, books.book(), DAY)
    assert len(found.idle) == 4
    for idle in found.idle:
        after = mended(cache, idle, DAY)
        again = usable(after, books.book(), DAY)

        assert after.counted == cache.counted
        assert again.counts == found.counts | {idle.part: found.counts[idle.part] + idle.number}
        assert set(again.idle) == set(found.idle) - {idle}


def test_some_of_a_lot_are_mended_and_what_no_line_has_is_not() -> None:
    """One of two at repair is brought back, the other stays; a piece that is only supposed changes nothing."""
    cache = tidy(out={"strap": {"repair": 2}})
    (idle,) = usable(cache, books.book(), DAY).idle
    one = mended(cache, replace(idle, number=1), DAY)
    again = usable(one, books.book(), DAY)

    assert again.counts["T/strap"] == 3
    assert [(left.number, left.status) for left in again.idle] == [(1, "repair")]
    assert mended(cache, replace(idle, part="T/pad"), DAY) == cache


def test_a_base_that_lost_points_is_counted_and_said() -> None:
    """One of its two points usable: it stands, it is not held, and how many it lost is told; the other base is held."""
    found = usable(tidy(items={"base": [{"serial": "B-1", "points_usable": 1}]}), books.book(), DAY)

    assert (found.counts["T/base"], found.pointed["T/base"]) == (2, 1)
    assert [(one.serial, one.reasons[0].says) for one in found.pointless] == [
        ("B-1", "1 of 2 attachment points usable")
    ]


def test_what_is_mended_is_of_the_line_that_has_it() -> None:
    """Of two lines of one part the one that has pieces at repair gets them back, though it stands after the other."""
    cache = tidy(out={"strap": {"loaned": 1}})
    more = Stock(part="T/strap", rig="tidy", count=2, out={"repair": 2}, **SOUND_LOT)
    cache = cache.changed(stock=(*cache.stock, more))
    idle = next(one for one in usable(cache, books.book(), DAY).idle if one.status == "repair")

    assert usable(mended(cache, idle, DAY), books.book(), DAY).counts["T/strap"] == 3 + 2


def test_of_bases_that_are_gone_none_is_left_to_be_held() -> None:
    """Supposed gone, all of them take their points along; one of two leaves one."""
    cache = tidy()

    left = [usable(cache, books.book(), DAY, gone={"T/base": gone}).pointed["T/base"] for gone in (0, 1, 2)]
    assert left == [2, 1, 0]


def test_what_is_said_of_what_does_not_count() -> None:
    """How many of which part for each reason; what is not known stands apart; weights only of what is there."""
    pieces: list[dict[str, Any]] = [{"serial": "B", "label": None}, {"serial": "C", "status": "repair"}]
    cache = tidy(
        parts={"ext-6": {"mass": None}, "ext-12": {"mass": None}}, counts={"ext-12": 0, "head": None},
        items={"body": pieces}, out={"strap": {"repair": 1, "loaned": 2}},
    )  # fmt: skip
    found = usable(cache, books.book([books.setting("PTS-1", family="Q", min=3)]), DAY)

    assert found.unknown == (
        "head: nobody counted, taken as none", "1 body: label not looked at, not counted", "ext-6: weight not known",
    )  # fmt: skip
    assert found.ignored == ("1 body: repair", "1 strap: repair", "2 strap: loaned")
    assert found.pointed == {"T/base": 2, "T/base >= 3": 0, "T/head": 0, "T/head >= 3": 0}


def test_whose_fault_it_is_that_a_part_stands_in_no_strut() -> None:
    """A lock, a length or an end that nothing meets are the part's own; one that only wants a partner has none."""
    parts = {
        "odd": {"kind": "fitting", "adds": 1, "serves": "head", "end": "X"},
        "partner": {"kind": "extension", "length": 3, "lower": "X", "upper": "X"},
        "bad": {"kind": "body", "closed": 30, "open": 50, "pull_apart": 55, "lock": "pin only"},
        "long": {"kind": "extension", "length": 40},
        "half": {"kind": "extension", "length": 3, "upper": "Y"},
    }  # fmt: skip
    catalogue = tidy(parts=parts).catalogue
    joints = Joints(catalogue, books.book())

    assert {part.name: own_fault(joints, catalogue, part) for part in catalogue.parts if part.kind in LINEAR} == {
        **dict.fromkeys(("body", "ext-6", "ext-12", "base", "head", "odd", "partner"), ""),
        "bad": "bad locks by 'pin only'; load may rest on collar or holes (COL-1, Travel is locked)",
        "long": "40.0 in (1,016 mm) of extensions, at most 36.0 in (914 mm) allowed (EXT-2, Total extension length)",
        "half": "body does not mate with half: connector 'T' on connector 'Y' (MAT-1, Ends mate)",
    }


def test_where_nothing_could_stand_on_a_base_it_is_not_the_base() -> None:
    """In a catalogue of bases alone no joint is forbidden: there is none to ask for."""
    catalogue = tidy().catalogue
    catalogue = catalogue.changed(parts=(catalogue.by_id["T/base"],))

    assert own_fault(Joints(catalogue, books.book()), catalogue, catalogue.parts[0]) == ""


def test_a_rule_that_a_family_lets_go_binds_where_another_family_is() -> None:
    """Family T lets a head stand on the ground; that another family in the strut would not is no matter in its own."""
    catalogue = tidy().catalogue
    said = [books.setting("MAT-4", family="T", on=False), books.setting("EXT-1", family="Q", max=1)]
    joined = Joinery(catalogue, {"T/head": 2, "T/body": 1, "T/pin": 2}, books.book(said))

    assert [one.parts for one in joined.assemblies()] == [("T/head", "T/body", "T/head")]


def test_joints_take_no_pins_where_no_rule_asks_for_any() -> None:
    """Neither along a stack nor in the joint graph, which names the rules that it was made under."""
    catalogue, off = tidy().catalogue, books.book([books.setting("PIN-1", on=False)])
    stack = [catalogue.by_id[f"T/{name}"] for name in ("base", "body", "head")]
    graph = join_graph(catalogue, dict.fromkeys(catalogue.by_id, 1), off)

    assert Joints(catalogue, books.book()).sitting(stack)[0] == (("T/pin", 1), ("T/pin", 1))
    assert Joints(catalogue, off).sitting(stack)[0] == (None, None)
    assert {(edge["pin"], edge["pins"]) for _, _, edge in graph.edges(data=True)} == {("", 0)}
    assert graph.graph["rules"] == off.version


@pytest.mark.parametrize(
    ("names", "end", "serves"), [(("base", "body", "half", "odd"), "upper", "head"),
                                 (("odd", "half", "body", "head"), "lower", "base")],
)  # fmt: skip
def test_where_any_ends_may_meet_the_side_decides_the_pins(names: tuple[str, ...], end: str, serves: str) -> None:
    """With no rule on what mates, unlike ends take the pin that either has: away from its fitting it would be three."""
    parts = {
        "half": {"kind": "extension", "length": 3, end: "Y"},
        "odd": {"kind": "fitting", "adds": 1, "serves": serves, "end": "Y"},
    }
    catalogue, off = tidy(parts=parts).catalogue, books.book([books.setting("MAT-1", on=False)])
    joined = Joinery(catalogue, {**dict.fromkeys(catalogue.by_id, 1), "T/pin": 9}, off)
    stack = [catalogue.by_id[f"T/{name}"] for name in names]
    found = [one for one in joined.assemblies(again=True) if sorted(one.parts) == sorted(part.id for part in stack)]

    assert [dict(one.pins) for one in found] == [{"T/pin": 2}]
    assert joined.assemblies_of([catalogue.by_id[part] for part in found[0].parts]) == (found[0],)


def test_on_the_book_is_what_was_counted() -> None:
    """A part that one rig counted and another did not has the one's count; that nobody counted, none; not listed, 0."""
    cache = tidy(counts={"ext-6": None, "ext-12": None, "strap": NOT_LISTED})
    more = Stock(part="T/ext-12", rig="other", count=2, **SOUND_LOT)
    found = usable(cache.changed(stock=(*cache.stock, more)), books.book(), DAY)

    on_book = {line.part: line.on_book for line in found.lines}
    assert (on_book["T/ext-6"], on_book["T/ext-12"], on_book["T/strap"], on_book["T/body"]) == (None, 2, 0, 2)


def test_only_what_is_said_of_points_asks_for_more_of_them() -> None:
    """Three points for a strut with family Q; what family R says of extensions asks a base for nothing."""
    base = next(part for part in rescue_41().catalogue.parts if part.id == "P/hinged-base")
    said = [books.setting("PTS-1", family="Q", min=3), books.setting("EXT-1", family="R", max=1)]

    assert stricter(books.book(said), base) == (3,)
    assert least(books.book(said), ("Q", "P")) == 3


@pytest.mark.parametrize(("note", "known"), [("frayed at one eye", False), ("in the bag with the charts", True)])
def test_a_note_of_damage_leaves_a_piece_not_known(note: str, known: bool) -> None:
    """Whether it is sound is to be written, whatever rules there are; a note of anything else changes nothing."""
    says = f"noted: {note}; whether it is sound is not written"
    for settings in ((), (books.setting("OOS-1", on=False),)):
        told = [(reason.why, reason.says) for reason in _reasons(_chained(note=note), *settings)]
        assert told == ([] if known else [(Why.CONDITION_UNKNOWN, says)])


@pytest.mark.parametrize("item", [{"status": "repair"}, {"inspected": None}])
def test_what_is_kept_out_stays_out(item: dict[str, object]) -> None:
    """A piece set aside is in no state that a later day makes good; the lot beside it stays as it is."""
    cache = _chained(**item)
    found = usable(cache, books.book(cache.settings), DAY)

    out = kept_out(cache, found.idle)

    (line,) = (line for line in out.stock if line.part == "P/chain")
    assert (line.count, [one.status for one in line.items]) == (2, ["unknown"])
    assert usable(out, books.book(cache.settings), DAY).counts == found.counts


def test_each_fittings_own_reach() -> None:
    """Short bodies only, 26.5 to 39 in: each fitting with the shortest and the longest of those it can meet.

    Bases add 3 and 1.5 in, heads 2, 2.5 and 1.5; there are two of the fitting that is both.
    """
    cache = rescue_41(long_body=0, extension_10=0, extension_22=0)
    found = Joinery(cache.catalogue, usable(cache, books.book(), DAY).counts, books.book()).reach(0)

    inches = {
        (role, part): [(low / INCH, high / INCH) for low, high in union] for role, part, union in found.by_fitting
    }
    assert inches == {
        ("base", "P/hinged-base"): [(31, 44.5)],
        ("base", "P/flat-fitting"): [(29.5, 43)],
        ("head", "P/edge-head"): [(30, 44)],
        ("head", "P/point-head"): [(30.5, 44.5)],
        ("head", "P/flat-fitting"): [(29.5, 43.5)],
    }
    assert found.union == ((29.5 * INCH, 44.5 * INCH),)


def test_as_many_as_may_be_listed_are_and_no_more() -> None:
    """The bound itself is met; one fitting of a kind is not at both ends."""
    cache = rescue_41(long_body=0, extension_10=0, extension_22=0, flat_fitting=1)
    joined = Joinery(cache.catalogue, cache.counted, books.book())

    # Two bases and three heads of which one piece is both.
    assert [len(joined.reach(most).assemblies) for most in (4, 5)] == [0, 5]
    assert joined.count() == 5


def test_the_longest_extension_stands_next_to_the_body() -> None:
    """Both stand above it, since nothing keeps them there, and the shorter next to the head."""
    cache = rescue_41(long_body=0)
    joined = Joinery(cache.catalogue, cache.counted, books.book(cache.settings))

    both = {"P/extension-22", "P/extension-10"}
    assert {(one.below, one.above) for one in joined.assemblies() if both <= set(one.parts)} == {
        ((), ("P/extension-22", "P/extension-10"))
    }


def test_spans_that_touch_are_one_and_gaps_lie_between() -> None:
    """A span within another adds nothing; the gaps are from the end of each to the start of the next."""
    union = merged([(14, 15), (0, 10), (2, 3), (10, 12), (20, 20)])

    assert union == ((0, 12), (14, 15), (20, 20))
    assert between(union) == ((12, 14), (15, 20))


def test_how_many_stacks_stay_within_a_length() -> None:
    """Of two groups, 10 or 14 and 18 or 22 in, at most 32 in and 2 of them: 28, 32 and 32 in, and one of a group.

    The second group is one that only an extension, a body or a fitting may meet.
    """
    cache = rescue_41(point_head=0, flat_fitting=0, long_body=0)
    either = End(connector="P", takes=frozenset({"extension", "body", "fitting"}))
    of = cache.catalogue.by_id
    more = [of["P/extension-10"].changed(id="P/extension-14", length=14 * INCH)]
    more += [of["P/extension-22"].changed(id=f"P/{n}", length=n * INCH, lower=either, upper=either) for n in (18, 22)]
    parts = (*(part for part in cache.catalogue.parts if part.id != "P/extension-22"), *more)
    joined = Joinery(
        cache.catalogue.changed(parts=parts),
        cache.counted | {f"P/{n}": 1 for n in ("extension-10", "extension-14", 18, 22)},
        books.book((*cache.settings, books.setting("EXT-1", max=2))),
    )  # fmt: skip

    # None, one of four, 10 with 14, and the three above.
    assert joined.count() == 1 + 4 + 1 + 3
    listed = [sum(of_part(parts, one) for one in each.parts) for each in joined.assemblies()]
    assert sorted(listed) == [inches * INCH for inches in (0, 10, 14, 18, 22, 24, 28, 32, 32)]


def of_part(parts: Sequence[Part], name: str) -> int:
    """The length of an extension; 0 of other parts."""
    return next(part.length if isinstance(part, Extension) else 0 for part in parts if part.id == name)
