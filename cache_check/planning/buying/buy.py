"""Cheapest lists: what meets every scene, what a budget buys, and all the steps between.

Goals in order: for a list that must do so much, its cost, then the fewest pieces brought back that do not count today,
then its pieces, then the order of the offers; for a budget, first the most capability (``shop.py``), then the same
four.  Each scene is then served by the one choice of ``scenes.py``, as in every command.  Every list is a proven
optimum or the search says that it was stopped.  Losses are taken up as they are needed: each loss of one piece is tried
on the list that is made, and those that it does not stand are written into the programme for the next one.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cached_property

from cache_check.errors import NoPlanError
from cache_check.frozen import dataclass
from cache_check.model.counting import SceneServed
from cache_check.model.purchase import Brought, BuyLine, FrontierPoint, Order
from cache_check.planning.buying.listing import Listing, Loss
from cache_check.planning.buying.offers import Terms
from cache_check.planning.buying.shop import Policy, Shop
from cache_check.planning.packing.packing import Packer
from cache_check.planning.packing.verdicts import one_more
from cache_check.planning.solving.programme import Progress, in_order, silent
from cache_check.planning.solving.solver import Clock, solver


@dataclass(frozen=True)
class Bought:
    """A list: packs by offer number, its cost and pieces, and what is served and met with it."""

    packs: tuple[tuple[int, int], ...]
    cost: int
    pieces: int
    served: tuple[tuple[int, ...], ...]  # by scene and need
    met: tuple[bool, ...]  # by scene
    capability: tuple[int, int]  # scenes met and struts, weighted: see ``shop.py``

    @property
    def everything(self) -> bool:
        """Whether every scene is met."""
        return all(self.met)


class Buyer:
    """Makes lists for one shop, each proven; ``seconds`` is the limit for all of them together."""

    def __init__(self, shop: Shop, *, seconds: float = 60.0, progress: Progress = silent) -> None:
        self.shop, self.progress, self._clock = shop, progress, Clock(seconds)
        self._losses: dict[Loss, None] = {}

    def whole(self) -> Bought | None:
        """The cheapest list that meets every scene, None: no list does (NoPlanError: not proven in the limit)."""
        if not all(self.shop.ways.values()):
            return None
        wanted = tuple(sum(need.count for need in scene.needs) for scene in self.shop.scenes)
        # Where more is asked than struts, the programme itself tells whether there is such a list.
        return self._made(wanted) if self.shop.policy != Policy() or self.most == wanted else None

    def best(self, budget: int | None = None) -> Bought:
        """The most that a budget (None: any money) buys, at the least cost (NoPlanError: not proven in the limit)."""
        # For any money each scene is served as if it were the only one: nothing that is bought is in another's way.
        made = self._made(self.most if budget is None and self.shop.policy == Policy() else None, budget=budget)
        assert made is not None
        return made

    @cached_property
    def most(self) -> tuple[int, ...]:
        """The struts that can be served of each scene with everything on offer (NoPlanError: not proven in time)."""
        return self.serves_each(self.everything)

    @cached_property
    def everything(self) -> tuple[int, ...]:
        """How much there is of each row with as much of every offer as could be of use."""
        return self.stock_with(tuple((o, self.shop.most_packs(o)) for o in range(len(self.shop.offers))))

    def today(self) -> Bought:
        """What is served and met with nothing bought or moved."""
        made = self._made(nothing=True)
        assert made is not None
        return made

    def frontier(self, top: Bought, at_most: int) -> tuple[tuple[Bought, ...], bool]:
        """From today to ``top``: for each step in capability the cheapest list, costs and capability rising.

        Whether these are all too: ``at_most`` are made, from the top down, and none that is not proven in time.
        """
        points: list[Bought] = []
        today, now = self.today(), top
        while now.capability > today.capability and len(points) < at_most:
            points.append(now)
            if not now.cost:
                return (today, *reversed(points)), True
            try:
                now = self.best(now.cost - 1)
            except NoPlanError:
                break
        return (today, *reversed(points)), now.capability <= today.capability

    def _made(
        self, serving: Sequence[int] | None = None, *, budget: int | None = None, nothing: bool = False
    ) -> Bought | None:
        while True:
            listing = Listing(self.shop, self._losses, serving)
            if budget is not None:
                listing.rows.append(listing.cost.held(budget, better=True))
            if nothing:
                listing.row([(packs, 1) for packs in listing.packs.values()], None, 0)
            goals = [] if nothing else [listing.cost, *listing.shortest]
            goals = [*listing.capability, *goals] if serving is None else goals
            values, _ = in_order(listing.done(), goals, solver(), self._clock, self.progress)
            if values is None:
                return None
            made = self._read(listing, values)
            losses = list(self._losses_of(self.stock_with(made.packs))) if self.shop.policy.one_lost else []
            every = [(s, served, part, left) for s, served in enumerate(made.served) for part, left in losses]
            # The losses of one piece that the list does not stand: scenes that then serve fewer than it says.
            fallen = [(s, part) for s, served, part, left in every if self.serves(s, left, served) < sum(served)]
            if not fallen:
                return made
            self._losses.update(dict.fromkeys(fallen))

    def _read(self, listing: Listing, values: tuple[int, ...]) -> Bought:
        packs = tuple((o, values[q]) for o, q in listing.packs.items() if values[q])
        needs = [range(len(scene.needs)) for scene in self.shop.scenes]
        served = tuple(tuple(values[listing.served[s, n]] for n in own) for s, own in enumerate(needs))
        met = tuple(bool(values[listing.met[s]]) for s in range(len(self.shop.scenes)))
        return Bought(
            packs=packs, cost=self.shop.cost_of(packs),
            pieces=sum(self.shop.offers[o].pack * number for o, number in packs if not self.shop.offers[o].idle),
            served=served, met=met, capability=self.shop.worth(served, met),
        )  # fmt: skip

    @cached_property
    def packers(self) -> tuple[Packer, ...]:
        """For each scene a packer over its needs' ways; the rows after the stock's hold what each need wants."""
        ways, wide = self.shop.ways, self.shop.wide
        each = ([ways[s, n] for n in range(len(one.needs))] for s, one in enumerate(self.shop.scenes))
        return tuple(wide.laid.serving(wide.columns, own, wide.clock) for own in each)

    def stock_with(self, packs: tuple[tuple[int, int], ...]) -> tuple[int, ...]:
        """How much there is of each row once a list has come."""
        stock = self.shop.have
        for offer, number in ((self.shop.offers[o], number) for o, number in packs):
            stock = one_more(stock, self.shop.adds(offer), number * offer.pack)
        return stock

    def serves(self, s: int, stock: tuple[int, ...], wanted: tuple[int, ...] | None = None) -> int:
        """The most struts that a stock serves of a scene, no more than ``wanted`` of each need (None: all)."""
        packer = self.packers[s]
        wanted = tuple(need.count for need in self.shop.scenes[s].needs) if wanted is None else wanted
        return packer.most((*stock, *wanted), (1 << len(packer.columns)) - 1).count

    def serves_each(self, stock: tuple[int, ...]) -> tuple[int, ...]:
        """The most struts that a stock serves of each scene."""
        return tuple(self.serves(s, stock) for s in range(len(self.shop.scenes)))

    def stands(self, s: int, stock: tuple[int, ...]) -> int:
        """The most that it serves after the worst loss of one piece, where the policy asks for that."""
        losses = self._losses_of(stock) if self.shop.policy.one_lost else ()
        return min([self.serves(s, stock), *(self.serves(s, left) for _, left in losses)])

    def _losses_of(self, stock: tuple[int, ...]) -> Iterator[tuple[str, tuple[int, ...]]]:
        every = ((part, gone(stock, self.shop.rows(part), 1)) for part in self.shop.parts)
        return ((part, left) for part, left in every if left != stock)


def gone(stock: tuple[int, ...], rows: tuple[int, ...], number: int) -> tuple[int, ...]:
    """A stock without so many pieces; of a base, those that can be restrained go first."""
    return tuple([max(0, have - number) if row in rows else have for row, have in enumerate(stock)])


def lines(buyer: Buyer, made: Bought) -> tuple[BuyLine, ...]:
    """The lines of a list, in the order of the offers."""
    offers = [(o, buyer.shop.offers[o], packs) for o, packs in made.packs]
    return tuple(
        BuyLine(
            part=one.part, number=one.number, source=one.source, moved=one.moved, packs=packs, pack=one.pack,
            minimum=one.minimum, pieces=packs * one.pack, price=one.price, fixed=one.fixed, cost=one.cost(packs),
            opens=_opens(buyer, made, o), note=one.note,
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
