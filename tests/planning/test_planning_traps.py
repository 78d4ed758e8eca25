"""Cases on which a planner that takes the first good thing it sees goes wrong, each small enough to do by hand."""

from __future__ import annotations

from datetime import date

from builders import checked, needs_of, rescue_41, tidy

import cache_check as api
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache
from cache_check.model.need import Needs
from cache_check.model.purchase import BuyResult, Price, Prices
from cache_check.model.staging import StageResult

ON = api.WhatIf(on=date(2026, 11, 25))
MIXER = needs_of([{"at": 78, "count": 4, "load": 6000, "angle": 60, "factor": "2:1"}])


def _prices(**amounts: float) -> Prices:
    """A quote of Rescue 41's parts; dashes as underscores."""
    parts = {f"P/{name.replace('_', '-')}": price for name, price in amounts.items()}
    return Prices(title="quote", currency="USD", prices=tuple(Price(part=p, price=n) for p, n in parts.items()))


def _bought(cache: Cache, needs: Needs, *quotes: Prices, budget: int | None = None) -> BuyResult:
    return api.buy(cache, read_rules(), needs, quotes, terms=api.BuyTerms(budget=budget), suppose=ON)


def _staged(cache: Cache, needs: Needs, sets: int) -> StageResult:
    return api.stage(cache, read_rules(), needs=needs, sets=sets, suppose=ON)


def test_a_part_that_the_longest_strut_grabs_and_two_shorter_ones_need() -> None:
    """One strut at 67 in may take 12 in or twice 6 in of extension; two at 61 in need the two 6 in: all three stand."""
    cache = tidy(counts={"body": 3, "base": 3, "head": 3, "pin": 12, "ext-6": 2, "ext-12": 1, "strap": 6})
    needs = needs_of([{"at": 67, "count": 1}, {"at": 61, "count": 2}])

    bought = _bought(cache, needs).purchases[0]
    staged = _staged(cache, needs, 3).staging

    assert bought.whole
    assert bought.lines == ()
    assert staged is not None
    assert staged.scenes[0].served.served == 3
    assert staged.weighted_joints == 0
    assert sorted(part for one in staged.sets for part in one.assembly.parts if "ext" in part) == [
        "T/ext-12", "T/ext-6", "T/ext-6",
    ]  # fmt: skip


def test_a_single_part_that_never_helps_while_a_pair_does() -> None:
    """The fourth strut at 78 in wants a long body and a strap: for the price of either alone nothing is gained."""
    quote = _prices(long_body=1895, strap=62.5)

    both = _bought(rescue_41(), MIXER, quote).purchases[0]
    body_only = _bought(rescue_41(), MIXER, quote, budget=189_500).purchases[0]
    straps_only = _bought(rescue_41(), MIXER, _prices(strap=62.5)).purchases[0]

    assert [(line.part, line.pieces) for line in both.lines] == [("P/long-body", 1), ("P/strap", 1)]
    assert both.whole
    assert body_only.lines == ()
    assert straps_only.lines == ()
    assert not straps_only.whole
    assert all(line.opens == (("drill 1", 4, 3),) for line in both.lines)


def test_two_sets_that_fight_for_one_extension() -> None:
    """Two needs at 61 in and one 6 in extension: one set has it, and the other strut is said to be short."""
    cache = tidy(counts={"ext-6": 1, "ext-12": 0})
    needs = needs_of([{"at": 61, "count": 1}], [{"at": 60.5, "count": 1}], [{"at": 61, "count": 2}])

    staged = _staged(cache, needs, 2).staging

    assert staged is not None
    assert [scene.served.served for scene in staged.scenes] == [1, 1, 1]
    assert sum(one.assembly.parts.count("T/ext-6") for one in staged.sets) == 1
    assert staged.weighted_joints == 0


def test_the_cheap_pack_that_is_dearer_in_the_end() -> None:
    """Two straps wanted: a pack of ten for 100.00 loses against a pair at 62.50 each only by its fixed cost."""
    needs = needs_of([{"at": 78, "count": 4, "load": 6000, "angle": 60}])
    cache = rescue_41(strap=6, long_body=4)
    loose = Price(part="P/strap", price=62.5)
    packed = Price(part="P/strap", price=100, pack=10)
    dear = packed.changed(fixed=3_000)

    def cost(*prices: Price) -> int:
        return _bought(cache, needs, Prices(title="q", currency="USD", prices=prices)).purchases[0].cost

    assert cost(loose) == 12_500
    assert cost(packed) == 10_000
    assert cost(loose, packed) == 10_000
    assert cost(loose, dear) == 12_500
    assert cost(loose.changed(minimum=5)) == 31_250


def test_the_joint_that_is_broken_counts_as_well_as_those_made() -> None:
    """With one head on the rig a set serves one scene as built, and is opened and put together again for the other."""
    cache = tidy(counts={"body": 2, "head": 1, "base": 2, "ext-6": 0, "ext-12": 1})
    needs = needs_of([{"at": 40, "count": 1}], [{"at": 67, "count": 1}])

    staged = _staged(cache, needs, 1).staging

    assert staged is not None

    assert staged.weighted_joints == 3
    assert [(step.does, step.lower, step.upper) for scene in staged.scenes for step in scene.steps] == [
        ("break", "T/body", "T/head"), ("make", "T/body", "T/ext-12"), ("make", "T/ext-12", "T/head"),
    ]  # fmt: skip


def test_worst_to_lose_names_only_what_there_is_to_lose() -> None:
    """Two kinds of strap, none of one: losing one of the other costs a strut, and only that one is named."""
    kinds = {"strap-2": {"kind": "strap", "wll": 3333, "length": 324, "mass": 3}}
    found = checked(tidy(parts=kinds, counts={"strap-2": 0}), needs=needs_of([{"at": 40, "count": 2}])).tallies[0]

    assert "T/strap" in found.lost
    assert "T/strap-2" not in found.lost
