"""An independent look at every list before anyone sees it: the sums, the terms of the offers, and the scenes.

The cache with the list is mustered anew and its scenes are packed again: a mistake in rows or columns cannot hide.
"""

from collections.abc import Iterator
from dataclasses import replace

from cache_check.joining.stock import as_new, mended
from cache_check.model.cache import Item, Stock
from cache_check.model.counting import SceneAnswer
from cache_check.planning.buying.buy import Bought
from cache_check.planning.buying.offers import Offer, minima
from cache_check.planning.buying.shop import Shop
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.verify import FalsePlanError
from cache_check.planning.scenes import scene


def after(today: Muster, offers: tuple[Offer, ...], packs: tuple[tuple[int, int], ...]) -> Muster:
    """The muster once a list has come."""
    new = [(place, offers[o], number) for place, (o, number) in enumerate(packs) if number and offers[o].idle is None]
    lines = (_line(today, offer, number * offer.pack, f"list {place}") for place, offer, number in new)
    cache = today.cache
    for o, number in packs:
        idle = offers[o].idle
        if idle is not None:
            cache = mended(cache, replace(idle, number=number), today.on)
    return today.changed(cache=cache.changed(stock=(*cache.stock, *lines)))


def _line(today: Muster, offer: Offer, pieces: int, where: str) -> Stock:
    """New pieces; where their attachment points are not those designed, each is an item that says so."""
    rig, items = today.cache.rigs[0], tuple[Item, ...]()
    if offer.pointed != bool(minima(today, offer.part)) or offer.short:
        points = minima(today, offer.part)[-1 - offer.short] if offer.pointed else 0
        one = Item(serial=where, part=offer.part, rig=rig, inspected=today.on, label="legible", points_usable=points)
        items = tuple(one.changed(serial=f"{where} {offer.part} {n}") for n in range(pieces))
    return as_new(offer.part, rig, pieces, today.on, where).changed(items=items)


def verify(shop: Shop, made: Bought, budget: int | None = None) -> tuple[SceneAnswer, ...]:
    """The scenes with the list, packed anew (FalsePlanError: its cost, an offer's terms or what it serves is wrong)."""
    mustered = after(shop.today, shop.offers, made.packs)
    answers = tuple(scene(mustered, wanted) for wanted in shop.scenes)
    wrong = [*_wrong_lines(shop, made, budget), *_wrong_scenes(shop, made, answers)]
    for part, number in shop.policy.spare if any(made.met) else ():
        if mustered.usable.counts[part] < number:
            wrong.append(f"{number} {part} are to be left, {mustered.usable.counts[part]} are there")
    wrong += _wrong_losses(shop, made, mustered) if shop.policy.one_lost else ()
    if wrong:
        raise FalsePlanError("a list failed its own verification: " + "; ".join(wrong))
    return answers


def _wrong_lines(shop: Shop, made: Bought, budget: int | None) -> Iterator[str]:
    total = 0
    for o, packs in made.packs:
        offer = shop.offers[o]
        pieces = packs * offer.pack
        total += packs * offer.price + offer.fixed
        if packs <= 0 or pieces < offer.minimum:
            yield f"{pieces} {offer.part} are fewer than {offer.source} sells"
        if offer.limit is not None and pieces > offer.limit:
            yield f"{pieces} {offer.part} are more than the {offer.limit} of {offer.source}"
    for terms in {shop.offers[o].terms for o, _ in made.packs} - {None}:
        assert terms is not None
        goods = sum(packs * shop.offers[o].price for o, packs in made.packs if shop.offers[o].terms == terms)
        total += terms.freight + (terms.least - goods if goods < terms.least else 0)
    if total != made.cost:
        yield f"the list costs {total} and not {made.cost}"
    if budget is not None and total > budget:
        yield f"the list costs {total}, over the budget of {budget}"


def _wrong_scenes(shop: Shop, made: Bought, answers: tuple[SceneAnswer, ...]) -> Iterator[str]:
    for wanted, served, met, answer in zip(shop.scenes, made.served, made.met, answers, strict=True):
        # A list that must stand a loss, or where something is not known, may serve more all told.
        more = answer.met and not shop.policy.one_lost
        if answer.served < sum(served) or (more and answer.served > sum(served)):
            yield f"scene {wanted.id}: {sum(served)} struts are claimed, {answer.served} are served at most"
        if met and answer.served < answer.wanted:  # else pads may be short, which no list has
            yield f"scene {wanted.id} is claimed met, {answer.served} of {answer.wanted} struts are served"


def _wrong_losses(shop: Shop, made: Bought, mustered: Muster) -> Iterator[str]:
    for part, there in mustered.usable.counts.items():
        if not there or mustered.cache.catalogue.by_id[part].kind == "pad":
            continue
        left = mustered.changed(gone={**mustered.gone, part: mustered.gone.get(part, 0) + 1})
        for wanted, served in zip(shop.scenes, made.served, strict=True):
            if scene(left, wanted).served < sum(served):
                yield f"scene {wanted.id} serves fewer than {sum(served)} struts with one {part} lost"
