"""What a list is made of, line by line: what each line costs and what it opens, and what is met before and after."""

from collections.abc import Sequence
from dataclasses import replace

from cache_check.model.counting import SceneServed
from cache_check.model.purchase import Brought, BuyLine, FrontierPoint, Order
from cache_check.planning.buying.buy import Bought, Buyer
from cache_check.planning.buying.offers import Terms
from cache_check.planning.buying.shop import Shop


def lines(buyer: Buyer, made: Bought) -> tuple[BuyLine, ...]:
    """The lines of a list, in the order of the offers."""
    offers = [(o, buyer.shop.offers[o], packs) for o, packs in made.packs]
    return tuple(
        BuyLine(
            part=one.part, number=one.number, source=one.source, moved=one.moved, packs=packs, pack=one.pack,
            minimum=one.minimum, pieces=packs * one.pack, price=one.price, fixed=one.fixed, cost=one.cost(packs),
            opens=_opens(buyer, made, o),
        ) for o, one, packs in offers if one.idle is None
    )  # fmt: skip


def brought(buyer: Buyer, made: Bought) -> tuple[Brought, ...]:
    """What is brought back first, in the order of the book, with what each gives."""
    return tuple(
        Brought(
            part=idle.part, rig=idle.rig, where=idle.where, serial=idle.serial, pieces=number, way=idle.why.way,
            why="; ".join(reason.says for reason in idle.reasons), remedy=idle.remedy, opens=_opens(buyer, made, o),
        )
        for o, number in made.packs if (idle := buyer.shop.offers[o].idle) is not None
    )  # fmt: skip


def orders(shop: Shop, made: Bought) -> tuple[Order, ...]:
    """What each vendor is paid, in the order of the offers; all of them together are the cost of the list."""
    found: dict[tuple[str, Terms | None], list[int]] = {}
    for o, packs in made.packs:
        offer = shop.offers[o]
        if offer.idle is None:
            sums = found.setdefault((offer.source, offer.terms), [0, 0, 0])
            for place, each in enumerate((offer.price * packs, offer.fixed, offer.pack * packs)):
                sums[place] += each
    return tuple(
        Order(source, goods, once + (terms.freight if terms else 0), terms.charged(goods) if terms else 0, pieces)
        for (source, terms), (goods, once, pieces) in found.items()
    )


def _opens(buyer: Buyer, made: Bought, o: int) -> tuple[tuple[str, int, int], ...]:
    """The scenes that would serve fewer struts if the list came without this line: with it, and without."""
    whole = buyer.stock_with(made.packs)
    short = buyer.stock_with(tuple(line for line in made.packs if line[0] != o))
    stands = ((scene.id, buyer.stands(s, whole), buyer.stands(s, short)) for s, scene in enumerate(buyer.shop.scenes))
    return tuple((scene, one, other) for scene, one, other in stands if other < one)


def served(made: Bought, found: Sequence[SceneServed]) -> tuple[SceneServed, ...]:
    """How far each scene is met as ``check`` of the same pieces answers: not met without what the policy wants left."""
    return tuple(
        replace(one, verdict="not met", missing=None) if one.met and not met else one
        for one, met in zip(found, made.met, strict=True)
    )


def point(shop: Shop, made: Bought) -> FrontierPoint:
    """A list as one step of the frontier."""
    offers = [(shop.offers[o], number) for o, number in made.packs]
    return FrontierPoint(
        cost=made.cost, met=tuple(scene.id for scene, met in zip(shop.scenes, made.met, strict=True) if met),
        struts=sum(map(sum, made.served)),
        pieces=tuple((offer.part, offer.source, number * offer.pack) for offer, number in offers if offer.idle is None),
    )  # fmt: skip
