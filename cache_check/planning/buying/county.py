"""Several rigs, each by itself: who is short in which scene, and which move between them helps.

A move helps when the rig that takes serves a strut more of a scene in which it is short, and the rig that gives
serves every scene of its own as far as before, and as far as it may once what is not known of it is known.  Two pieces
are moved together only where no single one helps.
"""

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations_with_replacement
from operator import add

from cache_check.model.need import Scene
from cache_check.model.purchase import County, Move
from cache_check.planning.buying.buy import Buyer
from cache_check.planning.buying.offers import Offer, movable
from cache_check.planning.buying.shop import Shop
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.verdicts import one_more
from cache_check.planning.scenes import ask_of, scene, told
from cache_check.planning.solving.programme import Progress, silent

Piece = tuple[int, Offer]
"""A piece on offer: the number of the rig that gives it, and the offer."""


def county(musters: Sequence[Muster], scenes: tuple[Scene, ...], progress: Progress = silent) -> County:
    """What each rig serves by itself, and the moves that help."""
    rigs = [_Rig(i, musters, scenes) for i in range(len(musters))]
    moves: list[Move] = []
    for rig in rigs:
        progress(f"moves that help {rig.title}")
        for s in range(len(scenes)):
            moves += rig.moves(s, rigs)
    asks = [(one.id, need.id, ask_of(need)) for one in scenes for need in one.needs]
    return County(
        rigs=tuple((muster.cache.id, muster.cache.title) for muster in musters),
        steps=tuple((one, need, ask.top) for one, need, ask in asks),
        served=tuple(tuple(told(scene(muster, wanted), wanted) for wanted in scenes) for muster in musters),
        moves=tuple(moves),
        otherwise=tuple((muster.cache.title, one, need, lower) for muster in musters for one, need, ask in asks
                        if (lower := muster.top(ask)) != ask.top),
        names=tuple(dict(pair for muster in musters for pair in muster.cache.catalogue.said.items()).items()),
    )  # fmt: skip


class _Rig:
    """One rig of the county, with what the others could give it."""

    def __init__(self, number: int, musters: Sequence[Muster], scenes: tuple[Scene, ...]) -> None:
        today, givers = musters[number], [one for one in enumerate(musters) if one[0] != number]
        self.title, self.scenes = today.cache.title, scenes
        self.pieces: list[Piece] = [(i, offer) for i, giver in givers for offer in movable(today, giver, 0)]
        self.shop = Shop(today, scenes, tuple(offer for _, offer in self.pieces))
        self.buyer = Buyer(self.shop)
        more = self.shop.wide.columns.stock(today.usable.hoped, today.usable.hoped_pointed)
        self.stocks = tuple(dict.fromkeys((self.shop.have, tuple(map(add, self.shop.have, more)))))
        self.served = tuple(tuple(self.buyer.serves(s, one) for s in range(len(scenes))) for one in self.stocks)
        self.now = self.served[0]

    def moves(self, s: int, rigs: "Sequence[_Rig]") -> list[Move]:
        """The moves that give it a strut more of a scene: of one piece, else of two."""
        if self.now[s] >= sum(need.count for need in self.scenes[s].needs):
            return []
        spared = [piece for piece in self.pieces if rigs[piece[0]].spares((piece[1],))]
        singles = list(self._helping(s, ((piece,) for piece in spared), rigs))
        return singles or list(self._helping(s, combinations_with_replacement(spared, 2), rigs))

    def _helping(self, s: int, tried: Iterable[tuple[Piece, ...]], rigs: "Sequence[_Rig]") -> Iterator[Move]:
        for pieces in tried:
            stock = self.shop.have
            for _, offer in pieces:
                stock = one_more(stock, self.shop.adds(offer), 1)
            served = self.buyer.serves(s, stock)
            given = {giver: tuple(offer for number, offer in pieces if number == giver) for giver, _ in pieces}
            if served > self.now[s] and all(rigs[giver].spares(offers) for giver, offers in given.items()):
                moved = tuple((offer.part, offer.source) for _, offer in pieces)
                yield Move(moved, self.title, self.scenes[s].id, self.now[s], served)

    def spares(self, given: tuple[Offer, ...]) -> bool:
        """Whether it serves every scene as far as before, and as it may, with these pieces given away."""
        for stock, served in zip(self.stocks, self.served, strict=True):
            for offer in given:
                rows = self.shop.rows(offer.part)
                stock = one_more(stock, rows if offer.pointed else rows[:1], -1)
            if min(stock) < 0 or any(self.buyer.serves(s, stock) < number for s, number in enumerate(served)):
                return False
        return True
