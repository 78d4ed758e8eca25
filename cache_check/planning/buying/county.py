"""Several rigs, each by itself: who is short in which scene, and which move between them helps.

A move helps when the rig that takes serves a strut more of a scene in which it is short, and the rig that gives
serves every scene of its own as far as before.  Two pieces are moved together only where no single one helps.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations_with_replacement

from cache_check.model.counting import SceneServed
from cache_check.model.need import Scene
from cache_check.model.purchase import County, Move
from cache_check.planning.buying.buy import Buyer
from cache_check.planning.buying.offers import Offer, movable
from cache_check.planning.buying.shop import Shop
from cache_check.planning.packing.muster import Muster
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
        served=tuple(rig.answer() for rig in rigs),
        moves=tuple(moves),
        otherwise=tuple(
            (muster.cache.title, one, need, lower)
            for muster in musters
            for one, need, ask in asks
            if (lower := muster.top(ask)) != ask.top
        ),
        names=tuple(dict(pair for muster in musters for pair in muster.cache.catalogue.said.items()).items()),
    )


class _Rig:
    """One rig of the county, with what the others could give it."""

    def __init__(self, number: int, musters: Sequence[Muster], scenes: tuple[Scene, ...]) -> None:
        today = musters[number]
        self.number = number
        self.title = today.cache.title
        self.today = today
        self.scenes = scenes
        self.pieces: list[Piece] = [
            (i, offer) for i, giver in enumerate(musters) if i != number for offer in movable(today, giver, 0)
        ]
        self.shop = Shop(today, scenes, tuple(offer for _, offer in self.pieces))
        self.buyer = Buyer(self.shop)
        self.now = tuple(self.serves(s, self.shop.have) for s in range(len(scenes)))

    def serves(self, s: int, stock: tuple[int, ...]) -> int:
        """The most struts that a stock serves of a scene."""
        return self.buyer.serves(s, stock, tuple(need.count for need in self.scenes[s].needs))

    def answer(self) -> tuple[SceneServed, ...]:
        """What it serves of each scene, need by need."""
        return tuple(told(scene(self.today, wanted), wanted) for wanted in self.scenes)

    def moves(self, s: int, rigs: Sequence[_Rig]) -> list[Move]:
        """The moves that give it a strut more of a scene: of one piece, else of two."""
        if self.now[s] >= sum(need.count for need in self.scenes[s].needs):
            return []
        spared = [piece for piece in self.pieces if rigs[piece[0]].spares((piece[1],))]
        singles = [(piece,) for piece in spared]
        pairs = list(combinations_with_replacement(spared, 2))
        for tried in (singles, pairs):
            helping = list(self._helping(s, tried, rigs))
            if helping:
                return helping
        return []

    def _helping(self, s: int, tried: Sequence[tuple[Piece, ...]], rigs: Sequence[_Rig]) -> Iterator[Move]:
        for pieces in tried:
            stock = list(self.shop.have)
            for _, offer in pieces:
                for row in self.shop.adds(offer):
                    stock[row] += 1
            served = self.serves(s, tuple(stock))
            if served > self.now[s] and _all_spared(pieces, rigs):
                given = tuple((offer.part, offer.source) for _, offer in pieces)
                yield Move(given, self.title, self.scenes[s].id, self.now[s], served)

    def spares(self, given: tuple[Offer, ...]) -> bool:
        """Whether it serves every scene as far as before with these pieces given away."""
        stock = list(self.shop.have)
        for offer in given:
            rows = self.shop.rows(offer.part)
            for row in rows if offer.pointed else rows[:1]:
                stock[row] -= 1
        if min(stock) < 0:
            return False
        return all(self.serves(s, tuple(stock)) == now for s, now in enumerate(self.now))


def _all_spared(pieces: tuple[Piece, ...], rigs: Sequence[_Rig]) -> bool:
    givers = {number for number, _ in pieces}
    return all(rigs[giver].spares(tuple(offer for number, offer in pieces if number == giver)) for giver in givers)
