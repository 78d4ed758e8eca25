"""What to buy: the cheapest list that meets every scene, or the most that a budget buys; and the county's moves."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from cache_check.api.base import SECONDS, WhatIf, head_of, muster_of, part_id, refuse_to_come, tried
from cache_check.errors import AskError, summed
from cache_check.files.pool import pool
from cache_check.frozen import dataclass
from cache_check.model.cache import Cache
from cache_check.model.need import Needs, Scene
from cache_check.model.purchase import BuyResult, County, DeadStock, Giving, Prices, Purchase, Quote
from cache_check.model.rule import RuleBook
from cache_check.planning.buying.buy import Bought, Buyer, brought, lines, orders, point, served
from cache_check.planning.buying.offers import Offer, brought_back, movable, not_quoted, quoted, unpriced
from cache_check.planning.buying.out_of_reach import out_of_reach
from cache_check.planning.buying.shop import Policy, Shop
from cache_check.planning.buying.verify_buy import verify
from cache_check.planning.buying.worth import county as county_of
from cache_check.planning.buying.worth import idle
from cache_check.planning.packing.muster import Muster
from cache_check.planning.scenes import ask_of, asked, scene, split, told
from cache_check.planning.solving.programme import Progress, silent
from cache_check.planning.solving.solver import Clock

FRONTIER_AT_MOST = 40  # no more steps of a frontier are made than this, from everything met downwards


@dataclass(frozen=True)
class BuyTerms:
    """How to buy: within which budget, with what left over, from which rigs at what price; money in hundredths."""

    budget: int | None = None  # None: any
    spare: tuple[tuple[str, int], ...] = ()  # parts by name or id, and pieces
    spare_pins: bool = False  # those that the rules ask for
    one_lost: bool = False  # every scene is to be met after any one piece is lost
    givers: tuple[Cache, ...] = ()  # caches whose usable pieces are on offer
    move_price: int = 0  # of each of these pieces
    as_is: bool = False  # without what is on the book and could be brought back
    frontier: bool = False  # every step from today too
    seconds: float = SECONDS

    @property
    def said(self) -> tuple[str, ...]:
        """What is to be left over, in words."""
        return (
            *(f"{number} {name} left unused in every scene" for name, number in self.spare),
            *["spare pins left unused in every scene, as the rules ask"] * self.spare_pins,
            *["every scene met after any one piece is lost"] * self.one_lost,
        )


def buy(
    cache: Cache, book: RuleBook, needs: Needs, prices: Sequence[Prices] = (), *, terms: BuyTerms | None = None,
    suppose: WhatIf | None = None, progress: Progress = silent,
) -> BuyResult:  # fmt: skip
    """The list for one cache or pool: one for each quote, and for several quotes one from all of them together.

    Without any quote every part is on offer for one, so that the cheapest list is the shortest; with givers and
    no quote only their pieces are.

    Raises AskError: no scene is asked, a part is not known, or quotes of several currencies are given; InputError: a
    giver's book has a part or family otherwise; NoPlanError: an optimum could not be proven in time.
    """
    terms = terms or BuyTerms()
    if not (scenes := needs.scenes if needs else ()):
        raise AskError("there is no scene to buy for; name a needs file with at least one")
    muster = muster_of(cache, book, suppose, needs=needs)
    spare = tuple((part_id(cache, name), number) for name, number in terms.spare)
    if pads := [
        name
        for (part, _), (name, _) in zip(spare, terms.spare, strict=True)
        if cache.catalogue.by_id[part].kind == "pad"
    ]:
        raise AskError(f"--spare: {pads[0]} is a pad, and pads are on no list; check says whether one may be missing")
    policy = Policy(spare=spare, pins=terms.spare_pins, one_lost=terms.one_lost)
    refuse_to_come(cache, muster.book, muster.on, prices)
    currency = _currency(prices)
    for giver in terms.givers:
        pool([cache, giver])  # which refuses a rig that gives to itself, and what one book has otherwise
    day = WhatIf(on=suppose.on if suppose else None)
    givers = tuple(muster_of(giver, book, day, needs=needs) for giver in terms.givers)
    moved = tuple(offer for giver in givers for offer in movable(muster, giver, terms.move_price))
    free = () if terms.as_is else brought_back(muster)
    purchases = []
    for quotes, offers in _choices(muster, prices, moved):
        buyer = Buyer(Shop(muster, scenes, (*free, *offers, *moved), policy), seconds=terms.seconds, progress=progress)
        purchases.append(_purchase(buyer, quotes, terms, givers))
    name, title, basis, names = head_of(muster, suppose, scenes=scenes)
    unknown = (f"{giver.cache.title}: {said}" for giver in givers for said in giver.usable.unknown)
    basis = replace(basis, unknown=(*basis.unknown, *unknown))
    return BuyResult(
        name, title, basis, names, currency=currency, policy=terms.said,
        asks=tuple(ask for one in scenes for ask in asked(muster, one)), purchases=tuple(purchases),
        no_angle=tuple(_without_angle(muster, scenes, purchases[-1])),
    )  # fmt: skip


def _without_angle(muster: Muster, scenes: tuple[Scene, ...], best: Purchase) -> Iterator[str]:
    """The needs not met today of which a base holds at some angle that is allowed, and none is stated."""
    for one, today in zip(scenes, best.before, strict=True):
        for need, (_, wanted, stand) in zip(one.needs, today.needs, strict=True):
            if stand < wanted and need.load is not None and need.restrained and need.angle is None:
                surely, perhaps = muster.judge.bearing(ask_of(need)) if muster.judge else (0, 0)
                if surely != perhaps:
                    yield f"{one.title or one.id}: {need.id}"


def county(
    caches: Sequence[Cache], book: RuleBook, needs: Needs, *, suppose: WhatIf | None = None, progress: Progress = silent
) -> County:
    """Several rigs, each by itself, and the moves between them that help.  Raises as ``buy`` does."""
    musters = [muster_of(cache, book, suppose, needs=needs) for cache in caches]
    return county_of(musters, needs.scenes if needs else (), progress)


def _currency(prices: Sequence[Prices]) -> str:
    if len(currencies := sorted({quote.currency for quote in prices})) > 1:
        raise AskError(f"the quotes are in {' and '.join(currencies)}; compare quotes in one currency")
    for title in {quote.title for quote in prices if sum(quote.title == one.title for one in prices) > 1}:
        raise AskError(f"two quotes are both called {title!r}; give each its own name, so that orders are kept apart")
    return currencies[0] if currencies else ""


def _choices(
    muster: Muster, prices: Sequence[Prices], moved: tuple[Offer, ...]
) -> list[tuple[tuple[Quote, ...], tuple[Offer, ...]]]:
    if not prices:
        return [((), () if moved else unpriced(muster))]
    choices: list[tuple[tuple[Quote, ...], tuple[Offer, ...]]] = []
    for quote in prices:
        offers, strange = quoted(muster, quote)
        missing = not_quoted(muster, offers)
        choices.append(((Quote(quote.title, quote.currency, quote.dated, strange, missing),), offers))
    if len(choices) > 1:
        quotes = tuple(quote for own, _ in choices for quote in own)
        choices.append((quotes, tuple(offer for _, own in choices for offer in own)))
    return choices


def _purchase(buyer: Buyer, quotes: tuple[Quote, ...], terms: BuyTerms, givers: tuple[Muster, ...]) -> Purchase:
    shop = buyer.shop
    top = buyer.whole() or buyer.best()  # the list that does the most that any money can
    made = top if terms.budget is None or top.cost <= terms.budget else buyer.best(terms.budget)
    points, complete = buyer.frontier(top, FRONTIER_AT_MOST) if terms.frontier else ((), False)
    before = tuple(split(shop.today, one).served(one) for one in shop.scenes)
    if points or shop.policy != Policy():  # else a scene is met as soon as all its struts stand
        before = served(points[0] if points else buyer.today(), before)
    answers = verify(shop, made, terms.budget)
    after = served(made, [told(one, wanted) for one, wanted in zip(answers, shop.scenes, strict=True)])
    whole = all(one.met for one in after)
    if terms.one_lost:  # of pads, too, which no list has
        whole = whole and all(one.missing is not None and one.missing.state == "holds" for one in after)
    unsure = [one.title or one.scene for one in after if one.verdict == "not known"]
    dead, undead = tried(lambda: tuple(_dead(buyer, made, terms.seconds))) if not unsure else (
        (), f"what these take is not known, nor whether they are met: {', '.join(unsure)}",
    )  # fmt: skip
    return Purchase(
        quotes=quotes, budget=terms.budget, free=brought(buyer, made), cost_as_is=_as_is(buyer, made, terms),
        lines=lines(buyer, made), orders=orders(shop, made), cost=made.cost, pieces=made.pieces,
        whole=whole, before=before, after=after, answers=answers,
        frontier=tuple(point(shop, one) for one in points), frontier_whole=complete, dead=dead or (),
        dead_untold=undead, giving=tuple(_giving(shop, made, giver) for giver in givers),
        out_of_reach=() if top.everything else out_of_reach(buyer),
    )  # fmt: skip


def _as_is(buyer: Buyer, made: Bought, terms: BuyTerms) -> int | None:
    """What the list would cost if nothing were brought back; None where none meets as much, or a budget was set."""
    shop = buyer.shop
    if not any(shop.offers[o].idle for o, _ in made.packs):
        return made.cost
    if not made.everything or terms.budget is not None:
        return None
    other = Shop(shop.today, shop.scenes, tuple(offer for offer in shop.offers if offer.idle is None), shop.policy)
    whole = Buyer(other, seconds=terms.seconds, progress=buyer.progress).whole()
    return whole.cost if whole is not None else None


def _giving(shop: Shop, made: Bought, giver: Muster) -> Giving:
    gone = Counter(giver.gone)
    for offer, packs in ((shop.offers[o], packs) for o, packs in made.packs):
        if offer.moved and offer.source == giver.cache.title:
            gone[offer.part] += packs * offer.pack
    left = giver.changed(gone=gone)
    served = ((one.id, scene(giver, one).served, scene(left, one).served) for one in shop.scenes)
    return Giving(giver.cache.title, tuple(served))


def _dead(buyer: Buyer, made: Bought, seconds: float) -> Iterator[DeadStock]:
    """The dead stock.  Raises NoPlanError: not worked out in time; a proven list is not held back for it."""
    clock, shop = Clock(seconds), buyer.shop
    now, then = shop.have, buyer.stock_with(made.packs)
    before = idle(buyer, now, clock)
    after = before if now == then else idle(buyer, then, clock)
    bought = [(shop.offers[o], packs) for o, packs in made.packs]
    more = summed((of.part, n * of.pack) for of, n in bought if shop.rows(of.part)[0] in shop.adds(of))
    taken = [Counter[int](), Counter[int]()]
    for part, number in shop.today.usable.counts.items():
        found = list[int]()
        # Straps alike share a row: those that are taken are the first of them, as in every plan that is shown.
        for row in shop.rows(part)[:1]:
            for n, (stock, idles) in enumerate(((now, before), (then, after))):
                there = number + n * more[part]
                own = min(there, stock[row] - idles.get(part, 0) - taken[n][row])
                taken[n][row] += own
                found += [there, there - own]
        if any(found[1::2]):
            yield DeadStock(part, *found)
