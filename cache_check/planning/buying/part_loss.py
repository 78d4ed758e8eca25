"""What each part type's loss costs: every scene packed again with one usable piece gone, and with all of them."""

from __future__ import annotations

from cache_check.model.counting import Losses, PartLoss
from cache_check.model.need import Scene
from cache_check.planning.buying.buy import Buyer
from cache_check.planning.buying.shop import Shop
from cache_check.planning.packing.muster import Muster
from cache_check.planning.solving.programme import Progress, silent

Stock = tuple[int, ...]


def part_losses(muster: Muster, scenes: tuple[Scene, ...], progress: Progress = silent) -> Losses:
    """The loss of each part of which there is a usable piece and which some strut takes, costliest first.

    Raises:
        NoPlanError: an optimum could not be proven.
    """
    shop = Shop(muster, scenes, ())
    buyer = Buyer(shop)
    today = _served(buyer, shop.have)
    parts = []
    for part in shop.wide.parts_in_play:
        rows = shop.rows(part)
        if usable := muster.usable.counts[part]:
            progress(f"what the loss of {muster.name(part)} costs")
            one, none = _gone(shop.have, rows, 1), _gone(shop.have, rows, usable)
            parts.append(PartLoss(part, usable, _served(buyer, one), _served(buyer, none)))
    found = Losses(
        scenes=tuple((one.id, one.title, one.weight) for one in scenes),
        wanted=tuple(sum(need.count for need in one.needs) for one in scenes),
        served=today,
        parts=(),
    )
    order = sorted(parts, key=lambda one: (*_worst_first(found.cost(one.one)), *_worst_first(found.cost(one.none))))
    return Losses(found.scenes, found.wanted, found.served, tuple(order))


def _worst_first(cost: tuple[int, int]) -> tuple[int, int]:
    return -cost[0], -cost[1]


def _gone(stock: Stock, rows: tuple[int, ...], number: int) -> Stock:
    """A stock without so many pieces; of a base, those that can be restrained go first."""
    left = list(stock)
    for row in rows:
        left[row] = max(0, left[row] - number)
    return tuple(left)


def _served(buyer: Buyer, stock: Stock) -> tuple[int, ...]:
    """The most struts that a stock serves of each scene."""
    return tuple(buyer.serves(s, stock) for s in range(len(buyer.shop.scenes)))
