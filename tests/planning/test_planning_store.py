"""A store planned by prices over blocks, on caches small enough to count by hand."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

import pytest
from builders import needs_of, tidy

from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache
from cache_check.model.counting import Packing
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.rows import Rows
from cache_check.planning.packing.verify import FalsePlanError, verify_together
from cache_check.planning.scenes import ask_of, scene
from cache_check.planning.stores import store
from cache_check.planning.stores.blocks import Blocks, want_of
from cache_check.planning.stores.store import packed, scene_of_store

EITHER = {"kind": "fitting", "adds": 2, "serves": ["base", "head"], "points": 2, "mass": 2}
WEAK = {"strength": {"rated_load": 1000, "factor": 2}}
UNKNOWN = {"strength": {"rated_load": 9000}}


def _muster(cache: Cache) -> Muster:
    return Muster(cache, read_rules(), date(2026, 4, 1))


def _served(cache: Cache, *needs: dict[str, Any]) -> tuple[int, int]:
    """Plan and bound; where every assembly is listed the most is the same."""
    (wanted,) = needs_of(list(needs)).scenes
    muster = _muster(cache)
    answer = scene_of_store(muster, wanted, [ask_of(need) for need in wanted.needs])
    assert scene(muster, wanted).served == answer.served == sum(served for *_, served in answer.by_need)
    assert [(need, count) for need, count, _ in answer.by_need] == [(need.id, need.count) for need in wanted.needs]
    assert answer.binding.untold == "not worked out for a store of so many assemblies"
    return answer.served, answer.bound


@pytest.mark.parametrize(("pieces", "struts"), [(1, 0), (2, 1), (4, 2)])
def test_one_piece_is_not_at_both_ends(pieces: int, struts: int) -> None:
    """A fitting that may be base or head makes half as many struts as there are pieces of it."""
    cache = tidy(parts={"either": EITHER}, counts={"base": 0, "head": 0, "either": pieces})

    assert _served(cache, {"at": 45, "count": 2, "restrained": False}) == (struts, struts)
    muster = _muster(cache)
    blocks = Blocks(muster.joined, Rows(muster.joined, muster.book, muster.pointable))
    assert sum(len(table.pairs.parts) for table in blocks.tables) == (0 if pieces == 1 else len(blocks.tables))


@pytest.mark.parametrize("part", ["base", "head", "body", "ext-12", "pin"])
@pytest.mark.parametrize("strength", [WEAK, UNKNOWN])
def test_a_weak_part_carries_no_load(part: str, strength: Mapping[str, Any]) -> None:
    """A part whose own strength is too little, or not known at a factor, serves only needs without a load."""
    cache = tidy(parts={part: strength})
    only_with_it = {"at": 66, "count": 1}

    assert _served(cache, only_with_it) == (1, 1)
    assert _served(cache, only_with_it | {"load": 3000}) == (0, 0)
    assert _served(tidy(), only_with_it | {"load": 3000}) == (1, 1)


@pytest.mark.parametrize(
    ("need", "unknown"),
    [
        ({"load": 1000}, ["points of base", "ties"]),
        ({"load": 1000, "restrained": False}, []),
        ({"load": 99, "restrained": False}, ["all at once", "load"]),  # 100 lbf is the least that is likely
        ({"load": 100, "restrained": False}, []),
        ({"load": 99, "restrained": False, "sure": True, "why": "a pane of glass"}, []),
        ({}, []),
    ],
)  # fmt: skip
def test_what_of_a_store_is_not_known_is_asked_only_of_bases_that_hold_a_load(
    need: dict[str, Any], unknown: list[str]
) -> None:
    """Points without a limit matter to a base that is held against a load."""
    (wanted,) = needs_of([{"at": 45} | need]).scenes
    muster = _muster(tidy(parts={"base": {"points": 2}}))
    links = scene_of_store(muster, wanted, [ask_of(one) for one in wanted.needs]).links

    assert [link.name for link in links if link.state == "unknown"] == unknown


@pytest.mark.parametrize(
    ("changed", "unknown"),
    [
        ({}, []),
        ({"counts": {"body": 1}}, None),
        ({"counts": {"strap": None}}, ["count of strap"]),
        ({"counts": {"body": None, "strap": 3}}, None),
        ({"out": {"body": {"unknown": 1}}}, ["1 x body"]),
        ({"out": {"body": {"missing": 1}}}, None),
        ({"items": {"base": [{"serial": "B1", "points_usable": "unknown"}, {"serial": "B2"}]}}, ["base B1"]),
        ({"items": {"base": [{"serial": "B1", "inspected": None}, {"serial": "B2"}]}}, ["base B1"]),
        ({"items": {"base": [{"serial": "B1", "label": None}, {"serial": "B2"}]}, "counts": {"strap": 2}}, None),
        ({"parts": {"chain": {"kind": "chain", "wll": 6600}}, "counts": {"chain": 4, "strap": 0}},
         ["hardware of chain"]),
        ({"parts": {"strap": {"wll": None}}}, []),
    ],
)  # fmt: skip
def test_a_store_is_called_what_its_listing_is(changed: dict[str, Any], unknown: list[str] | None) -> None:
    """Two held struts: too few only until more is known is not known of either, and both say what nobody knows."""
    (wanted,) = needs_of([{"at": 45, "count": 2}]).scenes
    muster = _muster(tidy(**changed))
    large = scene_of_store(muster, wanted, [ask_of(need) for need in wanted.needs])

    assert large.verdict == scene(muster, wanted).verdict == ("not met" if unknown is None else
                                                             "not known" if unknown else "met")  # fmt: skip
    assert [link.name for link in large.links if link.state == "unknown"][1:] == (unknown or [])
    assert large.links[0].ask == ""  # of fewer rigs together no more would stand


@pytest.mark.parametrize(
    ("changed", "unknown"),
    [
        ({"parts": {"strap": {"wll": None}}}, ["strap"]),
        ({"parts": {"body": UNKNOWN}}, ["body"]),
        ({"chart": {"factor": None}}, ["chart T-chart"]),
        ({"chart": {"rows": [{"length": 55, "loads": [None, 7600, 7200]}]}, "counts": {"ext-6": 0, "ext-12": 0}},
         ["chart T-chart"]),
        ({"chart": {"rows": [{"length": 40, "loads": [8000, 7600, 7200]}]}}, None),
        ({"chart": {"factor": None}, "counts": {"body": 1}}, None),
    ],
)  # fmt: skip
def test_what_a_store_may_carry_is_not_known(changed: dict[str, Any], unknown: list[str] | None) -> None:
    """Where nothing is rated for want of a figure it may be all the same; past the last row it is not."""
    (wanted,) = needs_of([{"at": 45, "count": 2, "load": 3000}]).scenes
    muster = _muster(tidy(**changed))
    large = scene_of_store(muster, wanted, [ask_of(need) for need in wanted.needs])

    assert large.verdict == scene(muster, wanted).verdict == ("not met" if unknown is None else "not known")
    assert [link.name for link in large.links if link.state == "unknown"][1:] == (unknown or [])


def test_needs_share_one_stock() -> None:
    """Two bodies serve two struts, whichever of three needs they are for; a held one takes its straps."""
    needs = [{"id": name, "at": 45, "count": 1} for name in ("one", "two", "three")]

    assert _served(tidy(), *needs) == (2, 2)
    assert _served(tidy(counts={"strap": 3}), *needs) == (1, 1)
    assert _served(tidy(counts={"strap": 3}), *needs[:2], needs[2] | {"restrained": False}) == (2, 2)


def test_parts_that_together_take_too_much_are_refused() -> None:
    """Each part of a plan may be right by itself and the whole not: taken twice over it is refused."""
    (wanted,) = needs_of([{"at": 45, "count": 2}]).scenes
    muster = _muster(tidy())
    answer = scene_of_store(muster, wanted, [ask_of(need) for need in wanted.needs])
    one = answer.packing
    twice = Packing(4, 4, tuple((built, 2 * n) for built, n in one.assemblies), tuple((t, 2 * n) for t, n in one.ties))
    verify_together(muster, one, [one], [one])

    with pytest.raises(FalsePlanError, match="usable"):
        verify_together(muster, twice, [one, one], [one, one])
    with pytest.raises(FalsePlanError, match="not the plan"):
        verify_together(muster, one, [], [])
    with pytest.raises(FalsePlanError, match="proven"):
        verify_together(muster, Packing(2, 1, one.assemblies, one.ties), [one], [one])


def test_a_strut_that_does_not_serve_its_need_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """A plan that stands and is no larger than its bound is refused all the same where its strut is not long enough."""
    short, long = (needs_of([{"at": at, "restrained": False}]).scenes[0] for at in (45, 66))
    muster = _muster(tidy())
    ask = ask_of(short.needs[0])
    made = packed(muster, [want_of(muster, ask, ask.top, 1)])
    monkeypatch.setattr(store, "packed", lambda *_: made)
    assert scene_of_store(muster, short, [ask]).served == 1

    with pytest.raises(FalsePlanError):
        scene_of_store(muster, long, [ask_of(long.needs[0])])


def test_no_want_is_served_by_more_than_it_asks() -> None:
    """Where there is more than enough the bound is what is wanted."""
    (wanted,) = needs_of([{"at": 45, "count": 1}]).scenes
    muster = _muster(tidy())
    ask = ask_of(wanted.needs[0])

    _, found = packed(muster, [want_of(muster, ask, ask.top, 1)])

    assert (found.count, found.certificate.bound) == (1, 1)
