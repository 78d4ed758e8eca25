"""Small pieces of planning, each by itself: what is offered, told apart, laid, left uncovered, and why none is."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from builders import change, checked, loaded, needs_of, tidy

from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache, Compartment
from cache_check.model.rule import RuleBook, Setting
from cache_check.planning.buying.offers import movable
from cache_check.planning.loading.holding import fit_points
from cache_check.planning.packing.many import ManyColumns
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.profile import matched_sets, profile
from cache_check.planning.packing.rows import tie_groups
from cache_check.planning.packing.tally import tally
from cache_check.planning.staging.ready_sets import holes
from cache_check.planning.staging.stowing import lies

INCH = 25_400_000
AT: dict[str, Any] = {"contact_height": 40, "angle": 60, "half_angles": 30}
POINTED = [{"wll": 5000}] * 3


def muster(cache: Cache, *settings: Setting) -> Muster:
    """A cache on 1 April 2026."""
    book = read_rules()
    settled = RuleBook(version=book.version, rules=book.rules, settings=settings)
    return Muster(cache, settled, date(2026, 4, 1))


def test_a_base_whose_points_alone_are_wanted_is_named() -> None:
    """A base that has lost its points stands for one strut; what may hold it is the base at whose points nobody looked.

    So not the base, of which there are enough, but its points are taken beyond what counts.
    """
    bases: list[dict[str, Any]] = [{"serial": "B1", "points_usable": 0}, {"serial": "B2", "points_usable": "unknown"}]
    found = checked(tidy(items={"base": bases}), needs=needs_of([{"at": 40, "count": 1}])).tallies[0]

    assert found.verdict == "not known"
    assert "base B2" in [link.name for link in found.links if link.state == "unknown"]


def test_bases_with_points_are_offered_apart() -> None:
    """Of three bases one has lost a point: those with theirs are one offer, it is another."""
    giver = muster(
        tidy(counts={"base": 3, "head": 0, "strap": 4}, items={"base": [{"serial": "B", "points_usable": 1}]})
    )
    own = muster(tidy())
    moved = {(one.part, one.limit, one.pointed) for one in movable(own, giver, 5)}

    assert moved == {
        ("T/body", 2, False), ("T/ext-6", 1, False), ("T/ext-12", 1, False), ("T/base", 2, True), ("T/base", 1, False),
        ("T/pin", 8, False), ("T/strap", 4, False),
    }  # fmt: skip


def test_straps_are_told_apart_by_family_only_where_a_rule_of_restraint_is() -> None:
    """A setting of a family about its extensions makes one strap no other than that of another family."""
    cache = tidy(parts={"other": {"kind": "strap", "wll": 3333, "length": "20 ft", "family": "U"}})

    def groups(rule: str, **values: Any) -> list[tuple[str, ...]]:
        joined = muster(cache, change(rule, **values).changed(family="U"))
        return [group.parts for group in tie_groups(joined.joined, joined.bare, joined.book)]

    assert groups("EXT-1", max=1) == [("T/strap", "U/other")]
    assert groups("STR-1", min=3) == [("T/strap",), ("U/other",)]


def test_ties_of_which_nobody_knows_what_they_hold_are_a_group_of_their_own() -> None:
    """A strap without a mark and without a size; a chain whose size and grade the published table has is known."""
    parts: dict[str, dict[str, Any]] = {
        "bare": {"kind": "strap", "length": "20 ft"},
        "chain": {"kind": "chain", "grade": 80, "size": "3/8 in"},
    }
    asked = muster(tidy(parts=parts))

    assert [(group.parts, group.rated) for group in tie_groups(asked.joined, asked.bare, asked.book)] == [
        (("T/strap",), True), (("T/bare",), False), (("T/chain",), True),
    ]  # fmt: skip


def test_what_of_a_place_was_not_checked_is_said() -> None:
    """Each side and the weight only where the compartment does not state it."""
    asked = muster(tidy())
    assembly = next(iter(asked.joined.assemblies()))

    def unchecked(**stated: Any) -> list[tuple[str, ...]]:
        place = Compartment.model_validate(
            {"id": "tray", "rig": "tidy", "length": "90 in"} | stated, context={"units": "us"}
        )
        return [lie.unchecked for lie in lies(assembly, asked.cache.catalogue, (place,), asked.book)]

    weight = "weight allowance of the compartment not stated"
    assert unchecked(width=20, height=20, carries=50) == [()]
    assert unchecked(width=20, carries=50) == [("height of the compartment not stated",)]
    assert unchecked(height=20) == [("width of the compartment not stated", weight)]
    assert unchecked(width=5, height=5) == []
    (nowhere,) = lies(assembly, asked.cache.catalogue, (), asked.book)
    assert nowhere.unchecked == ("no compartment is stated",)


@pytest.mark.parametrize(
    ("width", "height", "fits"),
    [(9, 5, True), (5, 9, True), (8, 8, False), (9, 4, False), (4, 9, False), (8, 9, True), (8, 5, False)],
)
def test_a_set_is_as_wide_and_as_high_as_the_larger_of_its_ends(width: int, height: int, fits: bool) -> None:
    """A base of 5 x 7 in and a head of 3 x 9 make 5 x 9, which may lie on either side."""
    ends = {"base": {"footprint": {"length": 7, "width": 5}}, "head": {"footprint": {"length": 3, "width": 9}}}
    asked = muster(tidy(parts=ends))
    stated = {"id": "tray", "rig": "tidy", "length": "90 in", "width": width, "height": height, "carries": 99}
    place = Compartment.model_validate(stated, context={"units": "us"})

    assert bool(lies(next(iter(asked.joined.assemblies())), asked.cache.catalogue, (place,), asked.book)) == fits


def test_a_hole_lies_between_two_reaches_that_do_not_touch() -> None:
    """Of 35 to 40, 40 to 45 and 50 to 55 in only 45 to 50 is left, and only where the loose parts reach it."""
    asked = muster(tidy())
    (one, *_) = asked.joined.assemblies()
    sets = [replace(one, spans=((low * INCH, high * INCH),)) for low, high in ((50, 55), (35, 40), (40, 45))]

    assert holes(asked, sets) == ((45 * INCH, 50 * INCH),)
    assert holes(asked, sets[1:]) == ()


def test_as_many_matched_sets_as_can_stand_at_once_somewhere() -> None:
    """Two bodies: where one can stand, and where two can; assembled, and restrained."""
    assert [one.count for one in checked(tidy()).matched] == [1, 2, 1, 2]


@pytest.mark.parametrize(
    ("rig", "need", "says"),
    [
        ({"parts": {"base": {"points": []}}}, {"at": 50},
         ("restrained", "no usable base has enough attachment points")),
        ({"chart": {"rows": []}}, {"at": 50, "load": 100}, ("rated", "no chart: unrated")),
        ({"chart": {"factor": None}}, {"at": 50, "load": 100},
         ("rated", "not known of chart T-chart: the design factor of its loads is not stated (ask the maker)")),
        ({"chart": {"factor": None}}, {"at": 50, "load": 100, "count": 3},
         ("rated", "no more than 2 of 3 even if all that is not known is fit; not known of chart T-chart: the design "
                   "factor of its loads is not stated (ask the maker)")),
        ({"out": {"body": {"repair": 2}}}, {"at": 50}, ("usable", "no strut body is usable today")),
        ({}, {"at": 50, "contact": "hole"}, ("buildable", "no usable head is listed for hole")),
        ({"items": {"strap": [{"serial": f"S-{n}", "inspected": None} for n in range(4)]}}, {"at": 50},
         ("restrained", "not known of strap S-0, strap S-1, strap S-2 and 1 more: inspection date unknown (find the "
                        "day of its inspection, or inspect it)")),
        ({"counts": {"strap": 2}, "items": {"strap": [{"serial": "S-0", "inspected": None}]}}, {"at": 50, "count": 3},
         ("restrained", "no more than 1 of 3 even if all that is not known is fit; not known of strap S-0: inspection "
                        "date unknown (find the day of its inspection, or inspect it)")),
        ({"items": {"strap": [{"serial": f"S-{n}", "inspected": None} for n in range(4)]}}, {"at": 90},
         ("buildable", "no legal assembly of the usable parts covers this length without rebuilding; nearest 73.0 in")),
    ],
)  # fmt: skip
def test_why_there_is_none(rig: dict[str, Any], need: dict[str, Any], says: tuple[str, str]) -> None:
    """The first cause, at the step where the count is first zero."""
    (tally,) = checked(tidy(**rig), needs=needs_of([need])).tallies

    assert tally.why_zero[0] == says


@pytest.mark.parametrize(
    ("contacts", "contact", "links"),
    [
        (["edge"], "edge", {"assembled at once": "holds", "restrained": "holds"}),
        (["edge"], "hole", {"assembled at once": "does not hold", "restrained": "does not hold"}),
        ([], "edge", {"assembled at once": "unknown", "restrained": "unknown", "head head": "unknown"}),
    ],
)
def test_a_head_that_nobody_says_what_it_is_made_for_is_not_known(
    contacts: list[str], contact: str, links: dict[str, str]
) -> None:
    """A need of a contact: the head is listed for it, for another, or for none."""
    rig = tidy(parts={"head": {"contacts": contacts}})
    (tally,) = checked(rig, needs=needs_of([{"at": 50, "contact": contact}])).tallies

    assert {link.name: link.state for link in tally.links} == links


def test_a_scene_names_the_need_that_has_no_strut_at_all() -> None:
    """What keeps it from a yes is said of the need, as a link that does not hold; never beside a need that has one."""
    (one,) = checked(tidy(), needs=needs_of([{"id": "near", "at": 45}, {"id": "far", "at": 200}])).scenes

    assert [(link.name, link.state) for link in one.links] == [
        ("all at once", "does not hold"),
        ("far", "does not hold"),
    ]


@pytest.mark.parametrize(("restrained", "unknown"), [((True, False), True), ((False, False), False)])
def test_nobody_calls_a_strut_restrained_without_a_rule(restrained: tuple[bool, ...], unknown: bool) -> None:
    """Of two needs that stand it is enough that one wants its strut restrained."""
    needs = needs_of([{"at": 40, "restrained": one} for one in restrained])
    (scene,) = checked(tidy(), change("STR-1", on=False), change("PTS-1", on=False), needs=needs).scenes

    assert ("restraint" in [link.name for link in scene.links if link.state == "unknown"]) == unknown


def test_points_that_may_be_counted_on_are_the_fewest_of_a_piece_that_has_enough() -> None:
    """Three are made; a base with one usable is not one that holds, one with two is."""
    made = {"base": {"points": POINTED}}

    def counted(points: int) -> int:
        asked = muster(tidy(parts=made, items={"base": [{"serial": "B", "points_usable": points}]}))
        return fit_points(asked)["T/base"]

    assert [counted(points) for points in (1, 2, 3)] == [3, 2, 3]


def test_a_pad_that_is_given_counts_as_far_as_the_book_has_one_so_large() -> None:
    """Either way round, both sides; of two pads one that is large enough will do."""
    pads = {f"pad-{n}": {"kind": "pad", "footprint": {"length": length, "width": width}}
            for n, (length, width) in enumerate([(12, 20), (40, 8)])}  # fmt: skip

    def on(pad: list[int]) -> str:
        result = loaded(tidy(parts=pads, counts={"pad-0": 2, "pad-1": 2}), vertical=1000, soil=2000, pad=pad, **AT)
        assert result.ground is not None
        return result.ground.on

    assert [on(pad) for pad in ([20, 12], [8, 40], [8, 8])] == ["on the pad given"] * 3
    assert [on(pad) for pad in ([20, 13], [41, 8])] == [
        "on the base alone: no pad of the size given is on the book"
    ] * 2


def test_of_many_columns_the_cheapest_of_each_first_row_is_let_in() -> None:
    """At 0.3 a piece they cost 0.9, 0.6, 0.3, 1.2 and 0.6: of those under 1 the cheapest by the row that leads."""
    columns = ManyColumns([((0, 1), (1, 2)), ((0, 1), (2, 1)), ((1, 1),), ((1, 3), (2, 1)), ((0, 2),)], 3)

    assert [columns.cheaper((0.3, 0.3, 0.3), active) for active in (0b11111, 0b11001, 0b01000)] == [[1, 2], [4], []]


def test_of_many_columns_the_slots_are_tried_first() -> None:
    """Two bodies never stand in one column, nor do two bases: one price for a slot; a row nobody takes has none."""
    columns = ManyColumns([((body, 1), (base, 2)) for body in (0, 1) for base in (2, 3)], 5)

    assert columns.guesses() == [frozenset({0, 1}), frozenset({2, 3})]


def test_a_tie_of_which_none_is_there_holds_nothing() -> None:
    """The stronger strap is on the book and not on the rig."""
    cache = tidy(parts={"strong": {"kind": "strap", "wll": 9000, "length": "20 ft"}}, counts={"strong": 0})
    result = loaded(cache, vertical=3000, **AT)

    assert {one.way.part for one in result.carriers if one.way} == {"T/strap"}


LONG = {"long": {"kind": "body", "closed": 40, "open": 80, "pull_apart": 85, "lock": "collar", "mass": 15}}


@pytest.mark.parametrize("rig", [{"counts": {"body": 3}}, {"parts": LONG, "counts": {"long": 2, "base": 4, "head": 4}}])
def test_matched_sets_are_the_longest_of_every_span(rig: dict[str, Any]) -> None:
    """Of all spans between two ends of reaches, for each number the longest that so many cover at once."""
    here = muster(tidy(**rig))
    spans = [span for one in here.columns.assemblies for span in one.spans]
    every = [(low, high) for low in {low for low, _ in spans} for high in {high for _, high in spans} if low <= high]
    found = matched_sets(here, profile(here, "assembled at once"))
    assert len(found) > 1
    for one in found:
        long = max(
            high - low for low, high in every if here.most(Ask(low, high), "assembled at once").count >= one.count
        )
        assert one.common is not None
        assert one.common[1] - one.common[0] == long


@pytest.mark.parametrize(
    ("low", "high", "nearest"),
    [
        (54, 90, "54.0 in to 73.0 in can"),
        (73, 90, "nearest 73.0 in"),
        (20, 35, "only single settings lie in it, as 35.0 in"),
    ],
)
def test_what_comes_nearest_to_a_range_is_told(low: int, high: int, nearest: str) -> None:
    """By hand 35 in (3 + 30 + 2) is the shortest, 53 to 73 the longest: how much of a range is covered."""
    ((step, why),) = tally(muster(tidy()), Ask(low * INCH, high * INCH), "range").why_zero

    assert (step, why.partition("; ")[2]) == ("buildable", nearest)
