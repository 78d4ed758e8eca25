"""What the pieces that are there are worth: what the loss of a part costs, and which pieces lie idle.

A loss packs every scene again with one usable piece of a part gone, and with all of them.

Dead stock are usable pieces that no best plan of any scene takes.  A *best plan* of a scene serves as many of its
struts as can be served, each by an assembly of which no piece could be left away.  For each part the plan is sought
that takes the most of it; what no scene's such plan takes lies idle whatever is built.
"""

from dataclasses import replace

from cache_check.model.counting import Losses, PartLoss
from cache_check.model.need import Scene
from cache_check.planning.buying.buy import Buyer, gone
from cache_check.planning.buying.shop import Shop
from cache_check.planning.packing.muster import Muster
from cache_check.planning.solving.programme import Draft, Programme, Progress, proven, silent
from cache_check.planning.solving.solver import Clock, solver


def part_losses(muster: Muster, scenes: tuple[Scene, ...], progress: Progress = silent) -> Losses:
    """The loss of each part with a usable piece that some strut takes, costliest first (NoPlanError: not proven)."""
    shop = Shop(muster, scenes, ())
    buyer, parts = Buyer(shop), []
    for part in shop.wide.parts_in_play:
        rows = shop.rows(part)
        if usable := muster.usable.counts[part]:
            progress(f"what the loss of {muster.name(part)} costs")
            one, none = (_served(buyer, gone(shop.have, rows, number)) for number in (1, usable))
            parts.append(PartLoss(part, usable, one, none))
    wanted = tuple(sum(need.count for need in one.needs) for one in scenes)
    told = tuple((one.id, one.title, one.weight) for one in scenes)
    found = Losses(told, wanted, _served(buyer, shop.have), ())
    order = sorted(parts, key=lambda one: [-cost for left in (one.one, one.none) for cost in found.cost(left)])
    return replace(found, parts=tuple(order))


def _served(buyer: Buyer, stock: tuple[int, ...]) -> tuple[int, ...]:
    """The most struts that a stock serves of each scene."""
    return tuple(buyer.serves(s, stock) for s in range(len(buyer.shop.scenes)))


def idle(buyer: Buyer, stock: tuple[int, ...], clock: Clock) -> dict[str, int]:
    """The idle pieces under a stock, if any, of each part used at all (NoPlanError: not proven in the limit)."""
    shop = buyer.shop
    rows = {part: shop.rows(part)[0] for part in shop.parts}
    taken = dict.fromkeys(rows.values(), 0)
    # The scenes of the fewest ways come first: what they are seen to take need not be asked of the others.
    ways = [sum(len(shop.ways[s, n]) for n in range(len(one.needs))) for s, one in enumerate(shop.scenes)]
    for s in sorted(range(len(ways)), key=ways.__getitem__):
        _scene(buyer, s, stock, taken, clock)
    return {part: stock[row] - taken[row] for part, row in rows.items() if stock[row] > taken[row]}


def _scene(buyer: Buyer, s: int, stock: tuple[int, ...], taken: dict[int, int], clock: Clock) -> None:
    """Raises what is taken of each row to the most that a best plan of one scene takes, where that is more.

    Every plan that is found counts for all rows.
    """
    programme, uses = _best_plans(buyer, s, stock)
    asked = solver()(programme)
    for row, terms in uses.items():
        if row not in taken or taken[row] >= stock[row]:
            continue
        found = asked.least({column: -number for column, number in terms}, clock.left, under=-taken[row])
        answer = proven(found, clock, f"idle {buyer.shop.wide.columns.rows[row]}")
        if answer.values is not None:
            for other, own in uses.items():
                took = sum(number * answer.values[column] for column, number in own)
                taken[other] = max(taken.get(other, 0), took)


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
