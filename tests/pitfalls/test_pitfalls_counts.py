"""Pitfalls of packing, one lost, pools and the book, each by its number."""

from __future__ import annotations

from datetime import date
from itertools import pairwise
from typing import Any

from builders import NOT_LISTED, change, checked, moved, needs_of, ready_set, rescue_41, tidy

import cache_check as api
from cache_check.files.pool import pool
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.tally import tally
from cache_check.units import NEWTON_PER_LBF, NM_PER_INCH

TODAY = date(2026, 4, 1)
AT_78 = Ask(78 * NM_PER_INCH, 78 * NM_PER_INCH, 6000 * NEWTON_PER_LBF)


def muster(cache: Cache) -> Muster:
    """A cache under the rules of the program and its own."""
    return Muster(cache, read_rules().changed(settings=cache.settings, rigs=cache.rigs), TODAY)


def test_pitfall_32_two_things_bind_at_once() -> None:
    """At 78 in no single part opens a fourth strut, a long body with a strap does: the pair is named, nothing else."""
    steps = tally(muster(rescue_41()), AT_78, "mixer")

    assert steps.count("rated") == 3
    assert steps.binding.singles == ()
    assert steps.binding.pairs == (("P/long-body", "P/strap"),)


TALL: dict[str, dict[str, Any]] = {
    "tall-head": {"kind": "fitting", "adds": 6, "serves": "head", "mass": 2},
    "long": {"kind": "body", "closed": 35, "open": 55, "pull_apart": 60, "lock": "collar", "mass": 15},
}
MIXED = {"body": 1, "long": 1, "head": 1, "tall-head": 1, "ext-6": 0, "ext-12": 0}


def test_pitfall_33_the_best_mix_is_found_and_is_the_same_every_time() -> None:
    """At 58 in the tall head must go on the short body; whichever way the parts are listed, the plan is one."""
    cache = tidy(parts=TALL, counts=MIXED)
    turned = cache.changed(
        catalogue=cache.catalogue.changed(parts=cache.catalogue.parts[::-1]), stock=cache.stock[::-1]
    )
    ask = Ask(58 * NM_PER_INCH, 58 * NM_PER_INCH)
    plans = [tally(muster(one), ask, "asked").best for one in (cache, turned, cache)]

    assert plans[0].count == 2
    assert {(a.body, a.load) for a, _ in plans[0].assemblies} == {("T/body", "T/tall-head"), ("T/long", "T/head")}
    assert [set(plan.assemblies) for plan in plans[1:]] == [set(plans[0].assemblies)] * 2


def test_pitfall_35_one_piece_lost_is_not_one_strut_lost() -> None:
    """With a spare body, a lost body costs nothing and a lost base a strut; taking each away says the same."""
    cache = tidy(counts={"body": 3})
    steps = tally(muster(cache), Ask(50 * NM_PER_INCH, 50 * NM_PER_INCH), "asked")
    left = {}
    for part in ("body", "base", "head", "strap", "pin", "ext-6"):
        gone = api.WhatIf(without=((part, 1),), on=TODAY)
        at = api.reach(cache, read_rules(), suppose=gone, at=50 * NM_PER_INCH).at
        assert at is not None
        left[f"T/{part}"] = at.count("restrained") or 0

    assert left["T/body"] == 2
    assert steps.count("one missing") == min(left.values()) == 1
    assert set(steps.lost) == {part for part, struts in left.items() if struts == 1}


def test_pitfall_38_a_pool_keeps_pieces_with_the_same_local_id_apart() -> None:
    """Serial X-1 is tagged on one rig and sound on the other: the sound one's ready set is not told off for it."""
    sets = (ready_set("A", "base", "body", "head", serials=("X-1",)),)
    sound = tidy(items={"body": [{"serial": "X-1", "inspected": "2026-01-10"}]}, ready_sets=sets)
    tagged = tidy(items={"body": [{"serial": "X-1", "inspected": "2026-01-10", "status": "quarantined"}]})
    both = pool([sound, moved(tagged, "other")])
    findings = checked(both).findings

    assert [(one.rule, one.rig) for one in findings if one.part == "T/body"] == [("OOS-1", "other")]
    assert [one for one in findings if one.rule == "SET-1"] == []


def test_pitfall_39_a_blank_date_is_not_in_date_and_today_is_an_input() -> None:
    """A blank date is said to be unknown, and the same book is in date on one day and overdue on the next."""
    cache = tidy(items={"body": [{"serial": "X-1", "inspected": "2025-06-30"}, {"serial": "X-2", "inspected": None}]})

    def said(on: date) -> list[str]:
        return [one.what for one in checked(cache, on=on).findings if one.rule == "INS-1"]

    blank = "body X-2: inspection date unknown"
    assert said(date(2026, 7, 1)) == [blank]
    assert said(date(2026, 7, 2)) == ["body X-1: inspection was due on 2026-07-01", blank]


def test_pitfall_40_a_rule_switched_off_leaves_its_trace() -> None:
    """A rule that is off, and the setting with who made it, are part of the basis of the answer."""
    off = change("EXT-3", on=False)
    basis = checked(tidy(), off).basis

    assert basis.rules_off == ("EXT-3",)
    assert off in basis.settings
    assert checked(tidy()).basis.rules_off == ()


def test_pitfall_41_zero_is_never_said_without_its_reason() -> None:
    """Wherever a step is zero and the one below is not, the tally says why."""
    caches = [
        rescue_41(), rescue_41(strap=0), rescue_41(hinged_base=0), tidy(chart={"rows": []}),
        tidy(out={"body": {"repair": 2}}), tidy(counts={"pin": 0}), tidy(counts={"strap": 1}),
    ]  # fmt: skip
    for cache in caches:
        for inches in (30, 50, 78, 200):
            steps = tally(
                muster(cache), Ask(inches * NM_PER_INCH, inches * NM_PER_INCH, 6000 * NEWTON_PER_LBF), "asked"
            )
            counts = [(step, n) for step, n in steps.counts if n is not None and step != "one missing"]
            wanting = {step for (_, below), (step, n) in pairwise(counts) if below and not n}

            assert wanting == set(dict(steps.why_zero))
            assert all(dict(steps.why_zero).values())


def test_pitfall_42_nobody_counted_is_not_none() -> None:
    """A strap line without a figure, and no strap line at all, are findings; a written zero is an answer."""

    def said(count: int | None) -> list[str]:
        findings = checked(tidy(counts={"strap": count})).findings
        return [one.what for one in findings if one.rule == "CNT-2"]

    assert said(0) == []
    assert said(None) == ["strap is listed without a figure"]
    assert said(NOT_LISTED) == ["no strap and no chain is listed: are there none, or did nobody count?"]


def test_pitfall_44_most_struts_and_longest_strut_are_not_had_at_once() -> None:
    """Two struts stand together to 61 in; 73 in takes all extensions for one, and each count has its own span."""
    matched = {one.count: one for one in checked(tidy()).matched if one.step == "assembled at once"}

    assert matched[1].spans == ((35 * NM_PER_INCH, 73 * NM_PER_INCH),)
    assert matched[2].spans == ((35 * NM_PER_INCH, 61 * NM_PER_INCH),)
    assert sorted(matched) == [1, 2]


def test_pitfall_44_needs_of_one_scene_share_one_stock() -> None:
    """Two needs that each are met alone are not served together when both want the same extension."""
    needs = needs_of([{"at": 73}, {"at": 65}])
    result = checked(tidy(), needs=needs)

    assert [steps.met for steps in result.tallies] == [True, True]
    assert (result.scenes[0].served, result.scenes[0].wanted) == (1, 2)
