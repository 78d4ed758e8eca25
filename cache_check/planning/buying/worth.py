"""What the pieces that are there are worth: what the loss of a part costs, which lie idle, which help others.

A loss packs every scene again with one usable piece of a part gone, and with all of them.  Dead stock are usable
pieces that no best plan of any scene takes.  A *best plan* of a scene serves as many of its struts as can be served,
each by an assembly of which no piece could be left away, its base held by no more than it needs.

A move between rigs helps when the rig that takes serves a strut more of a scene in which it is short, and the rig that
gives serves every scene of its own as far as before, and as far as it may once what is not known of it is known.  Two
pieces are moved together only where no single one helps.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import combinations_with_replacement
from operator import add

from cache_check.model.counting import Losses, PartLoss
from cache_check.model.need import Scene
from cache_check.model.purchase import County, Move
from cache_check.model.verdict import Verdict
from cache_check.planning.buying.buy import Buyer, gone
from cache_check.planning.buying.offers import Offer, movable
from cache_check.planning.buying.shop import Shop
from cache_check.planning.buying.verify_buy import after
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.verdicts import one_more
from cache_check.planning.scenes import ask_of, scene, told
from cache_check.planning.solving.programme import Draft, Programme, Progress, proven, silent
from cache_check.planning.solving.solver import Clock, solver

Piece = tuple[int, Offer]  # a piece on offer: the number of the rig that gives it, and the offer


def part_losses(muster: Muster, scenes: tuple[Scene, ...], progress: Progress = silent) -> Losses:
    """The loss of each part with a usable piece that some strut takes, costliest first (NoPlanError: not proven)."""
    shop = Shop(muster, scenes, ())
    buyer, parts = Buyer(shop), []
    for part in shop.wide.parts_in_play:
        rows = shop.rows(part)
        if usable := muster.usable.counts[part]:
            progress(f"what the loss of {muster.name(part)} costs")
            one, none = (buyer.serves_each(gone(shop.have, rows, number)) for number in (1, usable))
            parts.append(PartLoss(part, usable, one, none))
    wanted = tuple(sum(need.count for need in one.needs) for one in scenes)
    named = tuple((one.id, one.title, one.weight) for one in scenes)
    found = Losses(named, wanted, buyer.serves_each(shop.have), ())
    order = sorted(parts, key=lambda one: [-cost for left in (one.one, one.none) for cost in found.cost(left)])
    return replace(found, parts=tuple(order))


def idle(buyer: Buyer, stock: tuple[int, ...], clock: Clock) -> dict[str, int]:
    """The idle pieces under a stock, if any, of each part used at all (NoPlanError: not proven in the limit)."""
    shop = buyer.shop
    rows = {part: row for part in shop.parts for row in shop.rows(part)[:1]}
    taken = dict.fromkeys(rows.values(), 0)
    # The scenes of the fewest ways come first: what they are seen to take need not be asked of the others.
    ways = [sum(len(shop.ways[s, n]) for n in range(len(one.needs))) for s, one in enumerate(shop.scenes)]
    for s in sorted(range(len(ways)), key=ways.__getitem__):
        _scene(buyer, s, stock, taken, clock)
    return {part: stock[row] - taken[row] for part, row in rows.items() if stock[row] > taken[row]}


def _scene(buyer: Buyer, s: int, stock: tuple[int, ...], taken: dict[int, int], clock: Clock) -> None:
    """Raises what is taken of each row to the most that the best plans found of one scene take, where that is more."""
    programme, uses = _best_plans(buyer, s, stock)
    asked = solver()(programme)
    for row, terms in uses.items():
        if row not in taken or taken[row] >= stock[row]:
            continue
        found = asked.least({column: -number for column, number in terms}, clock.left, under=-taken[row])
        answer = proven(found, clock, f"idle {buyer.shop.wide.columns.rows[row]}")
        if answer.values is not None:
            for other, own in uses.items():
                taken[other] = max(taken.get(other, 0), sum(n * answer.values[column] for column, n in own))


def _best_plans(buyer: Buyer, s: int, stock: tuple[int, ...]) -> tuple[Programme, dict[int, list[tuple[int, int]]]]:
    """All best plans of a scene as a programme without a cost, and what its columns take of each row."""
    shop, draft, struts = buyer.shop, Draft(), []
    uses: dict[int, list[tuple[int, int]]] = {}
    for n, need in enumerate(shop.scenes[s].needs):
        own = []
        for taking in (shop.wide.columns.all[i].uses for i in shop.ways[s, n]):
            if most := min(need.count, *(stock[row] // number for row, number in taking)):
                x = draft.column(most)
                own.append((x, 1))
                for row, number in taking:
                    uses.setdefault(row, []).append((x, number))
        draft.row(own, None, need.count)
        struts += own
    for row, terms in uses.items():
        draft.row(terms, None, stock[row])
    draft.row(struts, buyer.serves(s, stock), None)
    return draft.done(), uses


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
        self.wanted = [sum(need.count for need in one.needs) for one in scenes]
        self.pieces: list[Piece] = [(i, offer) for i, giver in givers for offer in movable(today, giver, 0)]
        self.shop = Shop(today, scenes, tuple(offer for _, offer in self.pieces))
        self.buyer = Buyer(self.shop)
        more = self.shop.wide.columns.stock(today.usable.hoped, today.usable.hoped_pointed)
        self.stocks = tuple(dict.fromkeys((self.shop.have, tuple(map(add, self.shop.have, more)))))
        self.served = tuple(map(self.buyer.serves_each, self.stocks))
        self.now = self.served[0]
        self.then: dict[int, Verdict] = {}

    def moves(self, s: int, rigs: "Sequence[_Rig]") -> list[Move]:
        """The moves that give it a strut more of a scene: of one piece, else of two."""
        if self.now[s] >= self.wanted[s]:
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
                verdict = self._then(s, pieces) if served == self.wanted[s] else "not met"
                yield Move(moved, self.title, self.scenes[s].id, self.now[s], served, verdict)

    def _then(self, s: int, pieces: tuple[Piece, ...]) -> Verdict:
        """The verdict on a scene that has all its struts, asked of the first pieces that bring them."""
        if s not in self.then:
            packs = Counter(self.pieces.index(piece) for piece in pieces)
            there = after(self.shop.today, self.shop.offers, tuple(packs.items()))
            self.then[s] = scene(there, self.scenes[s]).verdict
        return self.then[s]

    def spares(self, given: tuple[Offer, ...]) -> bool:
        """Whether it serves every scene as far as before, and as it may, with these pieces given away."""
        for stock, served in zip(self.stocks, self.served, strict=True):
            for offer in given:
                stock = one_more(stock, self.shop.adds(offer), -1)
            if min(stock) < 0 or any(self.buyer.serves(s, stock) < number for s, number in enumerate(served)):
                return False
        return True
