"""Large stores: planned by prices over blocks, they are what listing every column finds, and never claim more."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from benchmarks import baselines
from builders import needs_of, tidy
from hypothesis import given
from hypothesis import strategies as st

from cache_check.files.rules import read_rules
from cache_check.model.need import Need, Scene
from cache_check.planning.packing.columns import Column
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.rows import Rows, bits
from cache_check.planning.scenes import ask_of, scene
from cache_check.planning.stores.blocks import NEVER, Asked, Blocks, want_of
from cache_check.planning.stores.pricing import Pricing
from cache_check.planning.stores.store import SECONDS, Generator, scene_of_store
from laws import generators, stores
from laws import strategies as drawn

TODAY = date(2026, 3, 1)
FEW = drawn.some(40)
FLAVOURS = ("", "tight", "scarce")


def _muster(instance: generators.Instance) -> Muster:
    return Muster(stores.store_of(instance), instance.book, TODAY)


def _pricing(muster: Muster, wanted: Scene) -> Pricing:
    rows = Rows(muster.joined, muster.book, muster.pointable)
    asks = [(ask_of(need), need.count) for need in wanted.needs]
    wants = [want_of(muster, ask, ask.top, count) for ask, count in asks]
    stock = rows.stock(muster.usable.counts, muster.usable.pointed)
    return Pricing(Asked(muster, Blocks(muster.joined, rows), wants), stock)


def _listed(muster: Muster, need: Need, *, owned: bool = True) -> list[Column]:
    """The columns that serve a need, listed; with ``owned`` those that the stock can build at least once."""
    ask = ask_of(need)
    return [muster.columns.all[i] for i in bits(muster.mask(ask, ask.top, owned=owned))]


def _told_apart(muster: Muster, wanted: Scene) -> tuple[int, int, int]:
    """The most by listing, and the plan and the bound of the large way."""
    listed = scene(muster, wanted)
    generated = scene_of_store(muster, wanted, [ask_of(need) for need in wanted.needs])
    assert listed.served == listed.bound
    assert generated.served <= listed.served <= generated.bound
    return listed.served, generated.served, generated.bound


@pytest.mark.parametrize("flavour", FLAVOURS)
@pytest.mark.parametrize("seed", range(6 if drawn.THOROUGH else 3))
def test_a_small_store_is_served_as_listing_says(seed: int, flavour: str) -> None:
    """On a rig's stock plan and bound of the large way meet at what the exact small way proves."""
    most, found, bound = _told_apart(_muster(generators.small(seed, flavour)), stores.scene_of(seed, 6, 16))

    assert (found, bound) == (most, most)


@pytest.mark.parametrize("flavour", FLAVOURS if drawn.THOROUGH else FLAVOURS[1:2])
def test_a_medium_store_is_served_as_another_formulation_says(flavour: str) -> None:
    """600 pieces, eight needs: the most that CP-SAT finds on listed columns is within plan and bound, a strut apart."""
    muster = _muster(generators.medium(1, flavour))
    wanted = stores.scene_of(3, 8, 150, reach=(60, 90))
    ways, stock = [], dict(enumerate(muster.stock))
    for n, need in enumerate(wanted.needs):
        stock[-1 - n] = need.count
        ways += [(*column.uses, (-1 - n, 1)) for column in _listed(muster, need)]

    answer = scene_of_store(muster, wanted, [ask_of(need) for need in wanted.needs])

    most = baselines.cpsat_columns(ways, stock, workers=2)
    assert 0 < most < answer.wanted
    assert answer.served <= most <= answer.bound <= answer.served + 1


@FEW
@given(drawn.caches(), st.data())
def test_the_cheapest_strut_is_the_cheapest_of_all(cache: drawn.Drawn, data: st.DataObject) -> None:
    """At any prices, pricing over blocks and over all listed columns agree, holds and charts included."""
    muster = Muster(cache.cache, cache.book, TODAY)
    lengths = [data.draw(drawn.lengths(cache.rig.breakpoints(rated=True))) for _ in range(3)]
    needs = tuple(
        Need(
            id=f"need {n}", count=1, shortest=int(low), longest=int(high), restrained=data.draw(st.booleans()),
            load=load, factor=data.draw(st.sampled_from([None, Fraction(4)])) if load else None,
        )
        for n, (low, high) in enumerate(lengths)
        for load in (data.draw(st.sampled_from([None, Fraction(5000), Fraction(30_000)])),)
    )  # fmt: skip
    pricing = _pricing(muster, Scene(id="drawn", needs=needs))
    prices = np.asarray([data.draw(st.integers(0, 9)) for _ in pricing.stock], dtype=np.int64)
    by_name = dict(zip(pricing.blocks.rows.rows, prices.tolist(), strict=True))
    names = muster.columns.rows

    least = pricing.cheapest(pricing.at(prices)).tolist()

    for need, found in zip(needs, least, strict=True):
        there, any_at_all = (
            min((sum(by_name[names[row]] * n for row, n in column.uses) for column in columns), default=NEVER)
            for columns in (_listed(muster, need), _listed(muster, need, owned=False))
        )
        # A strut whose pins and hardware together are more than the stock has may be priced too.
        assert any_at_all <= min(found, NEVER) <= there
        assert there in (NEVER, found) or any_at_all < there


_UNKNOWN: tuple[dict[str, Any], ...] = ({"inspected": None}, {"label": None}, {"status": "unknown"}, {})
_CHARTS: tuple[dict[str, Any], ...] = ({}, {"factor": None}, {"rows": [{"length": 80, "loads": [None, 9000, 9000]}]})


@FEW
@given(st.data())
def test_too_few_until_more_is_known_is_not_known_as_in_a_listing(data: st.DataObject) -> None:
    """Pieces, counts, limits and charts that nobody knows: a store is not met where its listing is not, and only there.

    Whether ties hold what loaded bases push out is not worked out of a store, so it is never met with such.
    """
    items = {
        part: [{"serial": f"{part} {n}"} | data.draw(st.sampled_from(_UNKNOWN)) for n in range(2)]
        for part in data.draw(st.sets(st.sampled_from(["body", "base", "head"])))
    }
    if "base" in items and data.draw(st.booleans()):
        items["base"][0]["points_usable"] = data.draw(st.sampled_from(["unknown", 1]))
    counts = {part: data.draw(st.sampled_from([0, 1, 2, 4, 8, None])) for part in ("strap", "chain", "pin", "ext-12")}
    limits: dict[str, dict[str, Any]] = {
        "strap": data.draw(st.sampled_from([{}, {"wll": None}])), "chain": {"kind": "chain", "wll": 6600},
        "body": data.draw(st.sampled_from([{}, {"strength": {"rated_load": 9000}}])),
    }  # fmt: skip
    chart = data.draw(st.sampled_from(_CHARTS))
    needs = [
        {"at": data.draw(st.sampled_from([45, 60])), "count": data.draw(st.integers(1, 2)),
         "restrained": data.draw(st.booleans())} | data.draw(st.sampled_from([{}, {"load": 3000}]))
        for _ in range(data.draw(st.integers(1, 2)))
    ]  # fmt: skip
    (wanted,) = needs_of(needs).scenes
    muster = Muster(tidy(parts=limits, counts=counts, items=items, chart=chart), read_rules(), TODAY)

    listed = scene(muster, wanted).verdict
    large = scene_of_store(muster, wanted, [ask_of(need) for need in wanted.needs])

    assert all(link.ask for link in large.links[1:] if link.state == "unknown")
    untold = listed == "met" and any(need.load is not None and need.restrained for need in wanted.needs)
    assert large.verdict == ("not known" if untold else listed)


@pytest.mark.parametrize(("flavour", "struts"), [("", 200), ("scarce", 100)])
def test_a_tampered_price_breaks_the_proof(flavour: str, struts: int) -> None:
    """A proof of which any price that counts is lowered, or the bound, no longer holds; the one given does."""
    muster = _muster(generators.medium(2, flavour))
    pricing = _pricing(muster, stores.scene_of(2, 12, struts, reach=(50, 95)))
    proof = Generator(pricing, SECONDS).run().certificate
    assert proof.holds(pricing)
    assert not replace(proof, bound=proof.bound - 1).holds(pricing)
    assert not replace(proof, prices=(-1, *proof.prices[1:])).holds(pricing)

    paid = [i for i, price in enumerate(proof.wants) if price]
    assert paid
    for want in paid:
        assert not replace(proof, wants=_with(proof.wants, want, proof.wants[want] - 1)).holds(pricing)
    dear = [row for row, price in enumerate(proof.prices) if price == max(proof.prices) > 0]
    assert dear or struts == 100
    for row in dear:
        assert not replace(proof, prices=_with(proof.prices, row, 0)).holds(pricing)


def _with(prices: tuple[int, ...], at: int, price: int) -> tuple[int, ...]:
    return (*prices[:at], price, *prices[at + 1 :])


def test_what_nothing_reaches_is_proven_to_be_none() -> None:
    """Needs longer than any assembly get no strut and a bound of none, beside one that is served."""
    muster = _muster(generators.small(0))
    far, near = stores.scene_of(0, 2, 6, reach=(900, 950)).needs, stores.scene_of(0, 1, 1, reach=(50, 55)).needs
    for needs, served in ((far, 0), (far + near, 1)):
        wanted = Scene(id="far", needs=tuple(need.changed(id=str(n)) for n, need in enumerate(needs)))
        answer = scene_of_store(muster, wanted, [ask_of(need) for need in wanted.needs])
        assert (answer.served, answer.bound) == (served, served)


def test_two_runs_choose_one_plan() -> None:
    """The same store and scene give the same plan, strut by strut."""
    instance, wanted = generators.medium(0, "scarce"), stores.scene_of(0, 12, 90)
    asks = [ask_of(need) for need in wanted.needs]

    first, second = (scene_of_store(_muster(instance), wanted, asks) for _ in range(2))

    assert first == second
