"""The programme of buying: which pieces to add to a cache so that its scenes are met, as data for a solver.

Every scene is packed by itself from one stock, since scenes are alternatives; what ties them together is what is
bought.  For each scene there is a copy of the packing for each *loss* that it must stand: no piece lost, or one
piece of a part.  A row of the stock that could not run out whatever is built is left out.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from cache_check.planning.buying.offers import Terms
from cache_check.planning.buying.shop import Shop
from cache_check.planning.solving.programme import Draft, Goal

Loss = tuple[int, str | None]  # a scene's number and the part of which one piece is lost (None: nothing is lost)


class Listing(Draft):
    """A programme of buying as it is written, and what its columns stand for.

    Every scene stands the loss of nothing, and those that are named.  It serves as many struts as ``serving`` says of
    it, met only where these are all; with None what is met and served is left open.  ``packs`` and ``ordered`` are
    columns by offer, ``met`` by scene, ``served`` by scene and need.  ``vendors`` has, for each vendor with terms,
    whether anything is ordered, and what a small order is charged beside its goods, in steps of ``Shop.step``.
    """

    def __init__(self, shop: Shop, losses: Iterable[Loss] = (), serving: Sequence[int] | None = None) -> None:
        super().__init__()
        self.shop = shop
        self.packs, self.ordered, self.met = dict[int, int](), dict[int, int](), dict[int, int]()
        self.vendors: dict[Terms, tuple[int, int]] = {}
        self.served: dict[tuple[int, int], int] = {}
        for o in range(len(shop.offers)):
            self._offer(o)
        for terms in dict.fromkeys(offer.terms for offer in shop.offers if offer.terms):
            self._order(terms)
        for s in range(len(shop.scenes)):
            self._scene(s, None if serving is None else serving[s])
        for s, lost in dict.fromkeys([*((s, None) for s in range(len(shop.scenes))), *losses]):
            self._packing(s, lost)

    def _offer(self, o: int) -> None:
        offer, most = self.shop.offers[o], self.shop.most_packs(o)
        if not most:
            return
        packs = self.packs[o] = self.column(most)
        if offer.fixed or offer.least_packs > 1:
            ordered = self.ordered[o] = self.column(1)
            self.row([(packs, 1), (ordered, -most)], None, 0)
            self.row([(packs, 1), (ordered, -offer.least_packs)], 0, None)

    def _order(self, terms: Terms) -> None:
        """Whether anything is ordered of a vendor, and what its goods lack of its least order."""
        shop, step = self.shop, self.shop.step(terms)
        ordered, short = self.vendors[terms] = self.column(1), self.column(terms.least // step)
        packs = [(o, q) for o, q in self.packs.items() if shop.offers[o].terms == terms]
        for o, q in packs:
            self.row([(q, 1), (ordered, -shop.most_packs(o))], None, 0)
        goods = [(q, shop.offers[o].price // step) for o, q in packs]
        if terms.least:
            self.row([*goods, (short, 1), (ordered, -terms.least // step)], 0, None)

    def _scene(self, s: int, number: int | None) -> None:
        needs = self.shop.scenes[s].needs
        whole = number == sum(need.count for need in needs)
        met = self.met[s] = self.column(int(number is None or whole), low=int(whole))
        for n, need in enumerate(needs):
            served = self.served[s, n] = self.column(need.count, low=need.count if whole else 0)
            if number is None:
                self.row([(served, 1), (met, -need.count)], 0, None)
        if number is not None and not whole:
            self.row([(self.served[s, n], 1) for n in range(len(needs))], number, None)

    def _packing(self, s: int, lost: str | None) -> None:
        shop, taken = self.shop, defaultdict[int, list[tuple[int, int]]](list)
        for n, need in enumerate(shop.scenes[s].needs):
            struts = []
            for uses in shop.needed[s, n].values():
                x = self.column(need.count)
                struts.append((x, 1))
                for row, number in uses:
                    taken[row].append((x, number))
            self.row([*struts, (self.served[s, n], -1)], 0, 0)
        lost_rows = shop.rows(lost) if lost else ()
        for row in () if lost else shop.asked_spare.keys() - taken.keys():
            self._spared(s, row, [])
        for row, terms in sorted(taken.items()):
            self._stocked(row, terms, lose=row in lost_rows)
            if lost is None:
                self._spared(s, row, terms)

    def _bought(self, row: int) -> list[tuple[int, int]]:
        """What is bought of a row, as less taken."""
        packs, offers = self.packs, self.shop.offers
        return [(packs[o], -offers[o].pack) for o in self.shop.adding.get(row, ()) if o in packs]

    def _stocked(self, row: int, terms: list[tuple[int, int]], *, lose: bool) -> None:
        """What is taken of a row is there, one piece of it being lost where it is to ``lose`` one."""
        more, have = self._bought(row), self.shop.have[row]
        if lose and have:
            have -= 1
        elif lose:
            # One where any piece is bought of a row that has none: then there is one to lose.
            there = self.column(1)
            most = sum(-number * (self.highs[q] or 0) for q, number in more)
            self.row([*((q, -number) for q, number in more), (there, -max(1, most))], None, 0)
            more.append((there, 1))
        self.row([*terms, *more], None, have)

    def _spared(self, s: int, row: int, terms: list[tuple[int, int]]) -> None:
        """What the policy wants left over of a row is left, if the scene is to count as met."""
        if row not in self.shop.spares:
            return
        more, have, met = self._bought(row), self.shop.have[row], self.met[s]
        least, share = self.shop.spares[row]
        part, of = share.as_integer_ratio()
        slack = part * self.shop.enough[row]
        self.row([*terms, *more, (met, least)], None, have)
        used = [(c, n * (of + part)) for c, n in terms]
        self.row([*used, *((c, n * of) for c, n in more), (met, slack)], None, of * have + slack)

    @property
    def cost(self) -> Goal:
        """What a list costs."""
        offers = self.shop.offers
        costs = {q: offers[o].price for o, q in self.packs.items()}
        costs |= {z: offers[o].fixed for o, z in self.ordered.items()}
        for terms, (ordered, short) in self.vendors.items():
            costs |= {ordered: terms.freight, short: self.shop.step(terms)}
        return Goal("the cheapest list", costs)

    @property
    def capability(self) -> list[Goal]:
        """Scenes met, then struts served, both weighted; less than nothing, since less is better."""
        scenes = self.shop.scenes
        met = {column: -scenes[s].weight for s, column in self.met.items()}
        served = {column: -scenes[s].weight for (s, _), column in self.served.items()}
        return [Goal("the most scenes met", met), Goal("the most struts served", served)]

    @property
    def shortest(self) -> list[Goal]:
        """Among lists that cost alike: the fewest pieces brought back, then bought or moved, then of the last offer."""
        offers = [(self.shop.offers[o], q) for o, q in self.packs.items()]
        return [
            Goal("the fewest brought back", {q: 1 for offer, q in offers if offer.idle}),
            Goal("the shortest list", {q: offer.pack for offer, q in offers if not offer.idle}),
            *(Goal("the first of equal lists", {q: 1}) for _, q in reversed(offers)),
        ]
