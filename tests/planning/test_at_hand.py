"""What the finder looks up, against figures worked out by hand."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from builders import change, needs_of, rescue_41

import cache_check as api
from cache_check.api.base import WhatIf
from cache_check.api.card import card
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache, Item, ReadySet
from cache_check.model.card import FinderFacts
from cache_check.model.part import Chain, Fitting, Hardware, Point
from cache_check.model.rule import Setting
from cache_check.units import NEWTON_PER_LBF
from cache_check.units import NM_PER_INCH as INCH

ON = WhatIf(on=date(2026, 11, 25))
SETS = (ReadySet(id="A", parts=("P/hinged-base", "P/long-body", "P/edge-head"), rig="rescue-41"),)


def facts(cache: Cache, *settings: Setting) -> FinderFacts:
    """What the finder is given of a cache."""
    return card(cache, read_rules().changed(settings=settings), suppose=ON).finder


def pounds(newtons: Fraction) -> int:
    """A force in whole pounds-force."""
    return round(newtons / NEWTON_PER_LBF)


def test_so_many_straps_hold() -> None:
    """At 45 degrees T = H / (2 m c), pre-tension of 50 off: of 3,333 lbf two hold 4,643, six 13,929; an odd one all."""
    found = facts(rescue_41().changed(ready_sets=SETS))

    holds = found.ties[0].holds
    assert holds is not None
    held = {fan.number: pounds(most) for fan, most in zip(found.fans, holds, strict=True)}
    assert (held[2], held[6], held[7]) == (4643, 13929, 3283)
    assert [fan.number for fan in found.fans] == list(range(2, 11))


def test_an_odd_strap_does_not_relieve_a_wide_v() -> None:
    """80 degrees out the pair may take all, 1 / (2 cos 80) = 2.88 of a thrust: three straps hold no more than two."""
    found = facts(rescue_41().changed(ready_sets=SETS), change("STR-3", max=80))

    assert [pounds(most) for most in (found.ties[0].holds or ())[:2]] == [1140, 1140]


def test_pretension_leaves_less_to_hold() -> None:
    """Of 3,333 lbf, 333 lbf taken by pre-tension leave 3,000: two straps hold 3,000 x 2 cos 45 = 4,243."""
    tight = change("WLL-1", pretension=333 * NEWTON_PER_LBF)

    holds = facts(rescue_41().changed(ready_sets=SETS), tight).ties[0].holds

    assert holds is not None
    assert pounds(holds[0]) == 4243


def test_loose_is_what_lies_in_no_built_set() -> None:
    """Set A takes a base, a long body, a head and two pins out of what is loose; a proposed set takes nothing."""
    lying = card(rescue_41(edge_head=1).changed(ready_sets=SETS), read_rules(), suppose=ON)
    built = {one.part: one for one in lying.pieces}
    proposed = api.stage(rescue_41(), read_rules(), sets=2, suppose=ON)
    none = card(rescue_41(), read_rules(), proposed=proposed, suppose=ON)

    assert (built["P/long-body"].usable, built["P/long-body"].loose) == (3, 2)
    assert (built["P/joint-pin"].usable, built["P/joint-pin"].loose) == (16, 14)
    assert (built["P/edge-head"].usable, built["P/edge-head"].loose) == (1, 0)
    assert none.sets
    assert [one.loose for one in none.pieces] == [one.usable for one in none.pieces]


def test_points_take_every_strap_that_hangs_on_them() -> None:
    """Points of 2,000 lbf, two to a base: two straps hang one on each, three heap two on one, each bearing half."""
    cache = rescue_41()
    parts = tuple(
        part.changed(points=(Point(wll=2000 * NEWTON_PER_LBF),) * 2)
        if isinstance(part, Fitting) and part.points
        else part
        for part in cache.catalogue.parts
    )
    found = facts(cache.changed(catalogue=cache.catalogue.changed(parts=parts), ready_sets=SETS))

    holds = found.points[0][1]
    assert holds is not None
    # Two: 1,950 x 2 cos 45.  Three: the one on the line may take it all, and shares its point: 1,000 less 50.
    assert [pounds(one) for one in holds[:2]] == [2758, 950]


def test_points_that_are_not_fit_take_no_strap() -> None:
    """Of four points of 2,000 lbf two are fit on one base: four straps hang two on each there, as ``load`` has it."""
    cache = rescue_41()
    parts = tuple(
        part.changed(points=(Point(wll=2000 * NEWTON_PER_LBF),) * 4)
        if isinstance(part, Fitting) and part.points
        else part
        for part in cache.catalogue.parts
    )
    worn = Item(serial="HB-9", part="P/hinged-base", rig="rescue-41", points_usable=2)
    stock = tuple(line.changed(items=(worn,)) if line.part == "P/hinged-base" else line for line in cache.stock)
    whole = cache.changed(catalogue=cache.catalogue.changed(parts=parts), ready_sets=SETS)

    sound, fewer = (facts(one).points[0][1] for one in (whole, whole.changed(stock=stock)))
    assert sound is not None
    assert fewer is not None
    # Two of four pull to each side: one on each point leaves 1,950 x 4 cos 45 = 5,515; two on one 950 x 4 cos 45.
    assert [pounds(one[2]) for one in (sound, fewer)] == [5515, 2687]


def test_hardware_without_a_limit_is_unknown() -> None:
    """A binder without a mark holds nobody knows what: None, never nothing or everything."""
    cache = rescue_41()
    more = (
        Chain(id="P/chain", family="P", wll=Fraction(20000), needs={"P/binder": 1}),
        Hardware(id="P/binder", family="P"),
    )
    catalogue = cache.catalogue.changed(parts=(*cache.catalogue.parts, *more))

    found = facts(cache.changed(catalogue=catalogue, ready_sets=SETS))

    assert found.hardware == (("P/binder", None),)
    assert found.ties[1].needs == (("P/binder", 1),)


def test_angles_are_the_strictest_of_the_rules() -> None:
    """The limits are the rule's; with the rule off those of what is a strut."""
    cache = rescue_41().changed(ready_sets=SETS)
    on, off = facts(cache), facts(cache, change("ANG-1", on=False))

    assert [on.angle_rules, off.angle_rules] == [("ANG-1",), ()]
    assert [on.flattest_deg, on.steepest_deg] == [45, 70]
    assert [off.flattest_deg, off.steepest_deg] == [1, 90]


def test_what_the_finder_does_not_ask_is_unknown_only_where_a_rule_asks_it() -> None:
    """Straps' reach, their far ends, the ground, how many struts a vehicle asks for; less those with their rule off."""
    cache = rescue_41().changed(ready_sets=SETS)
    of_straps, floor = ("whether the straps reach", "what their far ends hold"), "how many struts the vehicle asks for"

    assert facts(cache).unstated == (*of_straps, "the ground", floor)
    assert facts(cache, change("GND-1", on=False)).unstated == (*of_straps, floor)
    assert facts(cache, change("GND-1", on=False), change("NUM-1", on=False)).unstated == of_straps


def test_heights_are_tabled_as_far_as_the_longest_set_reaches() -> None:
    """At 70 degrees a set of 71 in reaches 64 in, in steps of four; one beside it that ends at 44 in ends no table."""
    short = ReadySet(id="B", parts=("P/hinged-base", "P/short-body", "P/edge-head"), rig="rescue-41")
    rows = card(rescue_41().changed(ready_sets=(*SETS, short)), read_rules(), suppose=ON).aims

    assert max(row[0].height for row in rows) == 64 * INCH


def test_scenes_are_shown_with_the_sets_that_lie_built() -> None:
    """At 60 in set A stands as it is; of two struts the other is made of loose pieces, with two joints."""
    needs = needs_of([{"at": 60}], [{"at": 60, "count": 2, "restrained": False}])
    one, two = card(rescue_41().changed(ready_sets=SETS), read_rules(), needs=needs, suppose=ON, seconds=5).scenes

    assert [(strut.sets, strut.made) for strut in one.staged.struts] == [(("A",), 0)]
    assert sorted((strut.sets, strut.made) for strut in two.staged.struts) == [((), 2), (("A",), 0)]


def test_scenes_are_not_told_where_two_sets_want_one_piece() -> None:
    """One long body, and two sets that are written to hold it."""
    cache = rescue_41(long_body=1).changed(ready_sets=(*SETS, SETS[0].changed(id="B")))
    found = card(cache, read_rules(), needs=needs_of([{"at": 60}]), suppose=ON, seconds=5)

    assert (found.scenes, found.scenes_untold) == ((), "the sets on the book take more pieces than are usable")
