"""Laws of buying, against trying every list, and from one list to the next."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from cache_check.model.need import Need, Scene
from cache_check.planning.buying.buy import Bought, Buyer
from cache_check.planning.buying.offers import Offer, Terms, minima
from cache_check.planning.buying.shop import Policy, Shop
from cache_check.planning.buying.verify_buy import after, verify
from cache_check.planning.packing.muster import Muster
from cache_check.units import NEWTON_PER_LBF
from laws import oracles
from laws import strategies as drawn
from laws.plan_oracles import Market, Ware, question

TODAY = date(2026, 11, 25)
FEW = drawn.some(25)
FEWER = drawn.some(12)
Drawing = tuple[drawn.Drawn, tuple[Scene, ...], tuple[Ware, ...]]
"""A cache, its scenes, and what is on offer."""


@st.composite
def needs(draw: st.DrawFn, rig: oracles.Rig, number: int) -> Need:
    """A need of one or two struts over lengths at which something happens, now and then with a load."""
    shortest, longest = draw(drawn.lengths(rig.breakpoints()))
    load = draw(st.sampled_from([None, None, 3000 * NEWTON_PER_LBF]))
    return Need(
        id=f"need {number}", count=draw(st.integers(1, 2)), shortest=shortest, longest=longest, load=load,
        restrained=draw(st.booleans()),
    )  # fmt: skip


@st.composite
def scenes(draw: st.DrawFn, rig: oracles.Rig) -> tuple[Scene, ...]:
    """One or two scenes of one or two needs."""
    return tuple(
        Scene(
            id=f"scene {s}",
            needs=tuple(draw(needs(rig, n)) for n in range(draw(st.integers(1, 2)))),
            weight=draw(st.integers(1, 3)),
        )
        for s in range(draw(st.integers(1, 2)))
    )


@st.composite
def wares(draw: st.DrawFn, parts: list[str]) -> tuple[Ware, ...]:
    """Two or three parts on offer, two packs of each at most."""
    chosen = draw(st.lists(st.sampled_from(parts), min_size=min(2, len(parts)), max_size=3, unique=True))
    return tuple(
        Ware(
            part, draw(st.integers(0, 12)) * 50, draw(st.sampled_from([1, 1, 2])), draw(st.sampled_from([1, 1, 2])), 2,
            draw(st.sampled_from([0, 0, 75])),
        )
        for part in chosen
    )  # fmt: skip


@st.composite
def markets(draw: st.DrawFn) -> Drawing:
    """A cache, what it is to do, and what may be bought: mostly parts of which it has lost what it needs for that."""
    cache = draw(drawn.caches())
    rig = cache.rig
    asked = draw(scenes(rig))
    ways = [one for scene in asked for need in scene.needs for one in rig.answering(question(need))]
    used = sorted({part for one in ways for part in one.parts} | {"P/strap", "P/pin"})
    on_offer = draw(wares(used))
    left = {ware.part: draw(st.integers(0, cache.counts[ware.part] // 2)) for ware in on_offer}
    damaged = {part: min(n, left.get(part, n)) for part, n in cache.damaged.items()}
    return replace(cache, counts=cache.counts | left, damaged=damaged), asked, on_offer


def shop_of(
    cache: drawn.Drawn,
    asked: tuple[Scene, ...],
    on_offer: tuple[Ware, ...],
    policy: Policy | None = None,
    terms: tuple[Terms | None, ...] = (None,),
) -> Shop:
    """The product's view of a market."""
    muster = Muster(cache.cache, cache.book, TODAY)
    offers = tuple(
        Offer(
            ware.part, f"quote {ware.vendor}", ware.price, ware.pack, ware.least * ware.pack, ware.fixed,
            ware.pack * ware.most, pointed=bool(minima(muster, ware.part)), terms=terms[ware.vendor],
        )
        for ware in on_offer
    )  # fmt: skip
    return Shop(muster, asked, offers, policy)


def market_of(cache: drawn.Drawn, asked: tuple[Scene, ...], on_offer: tuple[Ware, ...]) -> Market:
    """The oracle's view of a market."""
    return Market(cache.rig, cache.counts, cache.damaged, asked, on_offer)


def capability(asked: tuple[Scene, ...], made: Bought) -> tuple[int, int]:
    """Scenes met and struts served, weighted."""
    met = sum(scene.weight * one for scene, one in zip(asked, made.met, strict=True))
    return met, sum(scene.weight * sum(served) for scene, served in zip(asked, made.served, strict=True))


@FEW
@given(markets(), st.integers(0, 12))
def test_lists_are_those_that_trying_every_list_finds(market: Drawing, fifties: int) -> None:
    """Any money, a budget, and all scenes: what is met, its least cost and its fewest pieces are those of every list.

    There is a whole list exactly when some list meets every scene.  The cache with its purchases, read anew by the dumb
    oracle, serves just what the list claims.
    """
    cache, asked, on_offer = market
    shop, oracle = shop_of(cache, asked, on_offer), market_of(*market)
    everything = sum(scene.weight for scene in asked)
    costs = [oracle.cost(packs) for packs in oracle.lists() if oracle.capability(packs)[0] == everything]

    for budget in (None, 50 * fifties):
        made = Buyer(shop).best(budget)
        assert (capability(asked, made), made.cost, made.pieces) == oracle.best(budget)
        verify(shop, made, budget)
        bought = after(shop.today, shop.offers, made.packs).usable.counts
        richer = market_of(replace(cache, counts=dict(bought)), asked, ())
        assert [richer.served((), s) for s in range(len(asked))] == [sum(served) for served in made.served]
    whole = Buyer(shop).whole()
    assert (whole.cost if whole else None) == min(costs, default=None)


@FEWER
@given(markets())
def test_a_list_that_stands_a_loss_is_the_cheapest_such(market: Drawing) -> None:
    """With one lost asked, the whole list is the cheapest with which any one piece may go."""
    cache, asked, on_offer = market
    shop = shop_of(cache, asked, on_offer, Policy(one_lost=True))

    made = Buyer(shop).whole()

    assert (made.cost if made else None) == market_of(*market).cheapest_standing_losses()
    if made:
        verify(shop, made)


@FEW
@given(markets(), st.data())
def test_what_a_change_of_the_market_may_do(market: Drawing, data: st.DataObject) -> None:
    """From today on, cost and capability both rise; a budget of a step's cost buys just that step, and less no more.

    One piece more of any part: what could be met can be, for no more money.  Every price so many times as high: the
    same list for so many times the cost.  One price: what can be met stays, and so does a list that has none of it.
    """
    cache, asked, on_offer = market
    times = data.draw(st.integers(2, 5))
    place = data.draw(st.integers(0, len(on_offer) - 1))
    dearer = [replace(ware, price=ware.price * times, fixed=ware.fixed * times) for ware in on_offer]
    buyer = Buyer(shop_of(cache, asked, on_offer))
    best, whole = buyer.best(), buyer.whole()

    _rises(buyer, best)
    part = data.draw(st.sampled_from([part.id for part in cache.catalogue.parts]))
    richer = replace(cache, counts=cache.counts | {part: cache.counts[part] + 1})
    more = Buyer(shop_of(richer, asked, on_offer)).whole()
    assert whole is None or (more is not None and more.cost <= whole.cost)
    scaled = Buyer(shop_of(cache, asked, tuple(dearer))).best()
    assert (scaled.packs, scaled.cost) == (best.packs, best.cost * times)
    one = Buyer(shop_of(cache, asked, (*on_offer[:place], dearer[place], *on_offer[place + 1 :]))).best()
    assert (one.capability, one.met) == (best.capability, best.met)
    assert place in dict(best.packs) or one.packs == best.packs
    assert best.cost <= one.cost <= best.cost * times


def _rises(buyer: Buyer, best: Bought) -> None:
    """The frontier to a list, step by step."""
    points, whole = buyer.frontier(best, 50)
    assert whole
    steps = points[1:]
    assert all(one.capability < two.capability for one, two in pairwise(points))
    assert all(one.cost < two.cost for one, two in pairwise(steps))
    for before, point in pairwise(points):
        again = buyer.best(point.cost)
        assert (again.capability, again.cost, again.packs) == (point.capability, point.cost, point.packs)
        assert point.cost == 0 or buyer.best(point.cost - 1).capability == before.capability


@st.composite
def sold_by_several(draw: st.DrawFn) -> tuple[Drawing, tuple[tuple[int, int], ...]]:
    """A market in which two or three vendors sell two parts, each at a price and by the pack of its own."""
    cache, asked, on_offer = draw(markets())
    vendors = draw(st.integers(2, 3))
    wares = tuple(
        Ware(
            ware.part, draw(st.integers(1, 12)) * 50, draw(st.sampled_from([1, 1, 2])),
            draw(st.sampled_from([1, 1, 2])), 2, draw(st.sampled_from([0, 0, 75])), vendor,
        )
        for ware in on_offer[:2] for vendor in draw(st.sets(st.integers(0, vendors - 1), min_size=2))
    )  # fmt: skip
    terms = st.tuples(st.sampled_from([25, 75, 300]), st.sampled_from([0, 425, 1_000]))
    return (cache, asked, wares), tuple(draw(terms) for _ in range(vendors))


@FEWER
@given(sold_by_several(), st.integers(0, 24))
def test_freight_and_least_orders_are_part_of_the_cost(
    sold: tuple[Drawing, tuple[tuple[int, int], ...]], fifties: int
) -> None:
    """With freight once an order, and little goods charged as more, lists are still those of trying every one.

    So they are where a list is split between vendors, and where a dearer piece spares the freight of another order.
    """
    (cache, asked, on_offer), terms = sold
    each = tuple(Terms(f"quote {n}", *of) if any(of) else None for n, of in enumerate(terms))
    shop = shop_of(cache, asked, on_offer, terms=each)
    oracle = Market(cache.rig, cache.counts, cache.damaged, asked, on_offer, terms)

    for budget in (None, sum(terms[0]), 50 * fifties):
        made = Buyer(shop).best(budget)
        verify(shop, made, budget)
        assert (capability(asked, made), made.cost, made.pieces) == oracle.best(budget)
