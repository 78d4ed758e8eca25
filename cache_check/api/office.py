"""The office page of a cache: what to buy, what losses cost; the caches side by side, and the index of a county.

What cannot be proven in time is said in its own place, so that the rest of the page stands.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, TypeVar

from cache_check.api.base import WhatIf, head_of, in_force, judging_of, muster_of
from cache_check.errors import AskError, NoPlanError
from cache_check.model.cache import Cache
from cache_check.model.need import Needs
from cache_check.model.price import Prices
from cache_check.model.report import CountyIndex, OfficeResult, RigShown, Side
from cache_check.model.rule import RuleBook

if TYPE_CHECKING:
    from cache_check.planning.solving.programme import Progress

Found = TypeVar("Found")


def office(
    cache: Cache,
    book: RuleBook,
    needs: Needs,
    prices: Sequence[Prices] = (),
    *,
    side: Side | None = None,
    unsided: str = "",
    suppose: WhatIf | None = None,
    seconds: float = 60.0,
    progress: Progress | None = None,
) -> OfficeResult:
    """The facts of one cache's page; ``side`` is what ``side_by_side`` found of it and the others.

    Raises:
        AskError: no scene is asked, something supposed cannot be, or quotes of several currencies are given.
    """
    from cache_check.api.buy import BuyTerms, buy
    from cache_check.planning.buying.part_loss import part_losses
    from cache_check.planning.loading.heaviest import heaviest
    from cache_check.planning.scenes import asked
    from cache_check.planning.solving.programme import silent

    scenes = needs.scenes if needs else ()
    if not scenes:
        raise AskError("there is no scene for the office page; name a needs file with at least one")
    terms = BuyTerms(seconds=seconds, frontier=True)
    muster = muster_of(cache, book, suppose, needs=needs)
    bought, unbought = tried(lambda: buy(cache, book, needs, prices, terms=terms, suppose=suppose, progress=progress))
    weighed, unweighed = tried(lambda: heaviest(muster))
    losses, unlost = tried(lambda: part_losses(muster, scenes, progress or silent))
    return OfficeResult(
        *head_of(muster, suppose, asked=any(need.loaded for one in scenes for need in one.needs)),
        asks=tuple(ask for scene in scenes for ask in asked(muster, scene)),
        bought=bought,
        losses=losses,
        side=side,
        heaviest=weighed,
        unbought=unbought,
        unlost=unlost,
        unsided=unsided,
        unweighed=unweighed,
    )


def side_by_side(
    caches: Sequence[Cache],
    book: RuleBook,
    needs: Needs,
    *,
    suppose: WhatIf | None = None,
    progress: Progress | None = None,
) -> Side:
    """What each cache serves by itself, the moves that help, and what all serve as one pool.

    Raises:
        AskError: something supposed cannot be.
        NoPlanError: what the caches serve by themselves could not be proven.
    """
    from cache_check.api.buy import county

    found = county(caches, book, needs, suppose=suppose, progress=progress)
    together, unproven = tried(lambda: _together(caches, book, needs, suppose))
    return Side(found, together or (), unproven)


def _together(
    caches: Sequence[Cache], book: RuleBook, needs: Needs, suppose: WhatIf | None
) -> tuple[tuple[int, ...], ...]:
    """Struts that all caches together serve, by scene and need; what is supposed of each is supposed of each here."""
    from cache_check.errors import InputError
    from cache_check.files.pool import pool
    from cache_check.planning.packing.muster import Muster
    from cache_check.planning.scenes import scene

    musters = [muster_of(cache, book, suppose, needs=needs) for cache in caches]
    try:
        whole = pool([muster.cache for muster in musters])
    except InputError as error:
        raise NoPlanError(f"the caches cannot be taken as one: {error}") from None
    gone = sum((Counter(muster.gone) for muster in musters), Counter())
    settled = in_force(whole, book, suppose or WhatIf())
    muster = Muster(whole, settled, musters[0].on, dict(gone), judging=judging_of(needs))
    answers = (scene(muster, one) for one in (needs.scenes if needs else ()))
    return tuple(tuple(served for _, _, served in one.by_need) for one in answers)


def tried(what: Callable[[], Found]) -> tuple[Found | None, str]:
    """What was found, or why nothing is proven."""
    try:
        return what(), ""
    except NoPlanError as error:
        return None, str(error)


def county_index(
    caches: Sequence[Cache],
    book: RuleBook,
    *,
    needs: Needs | None = None,
    side: Side | None = None,
    unsided: str = "",
    suppose: WhatIf | None = None,
) -> CountyIndex:
    """The facts of the index of several caches; ``side`` is what ``side_by_side`` found of the same caches.

    Raises:
        AskError: something supposed cannot be.
    """
    return CountyIndex(tuple(_rig(one, book, needs, suppose) for one in caches), side, unsided)


def _rig(cache: Cache, book: RuleBook, needs: Needs | None, suppose: WhatIf | None) -> RigShown:
    from cache_check.api.check import check
    from cache_check.joining.falling_due import falling_due

    muster = muster_of(cache, book, suppose, needs=needs)
    scenes = needs.scenes if needs else ()
    checked, unproven = tried(lambda: check(cache, book, needs=needs, suppose=suppose))
    pieces = [one for line in cache.stock for one in line.pieces]
    undated = sum(number for item, number in pieces if item.inspected is None and item.expires is None)
    due = falling_due(muster.cache, muster.book, muster.on)
    return RigShown(
        *head_of(muster, suppose, asked=any(need.loaded for one in scenes for need in one.needs)),
        check=checked,
        due=due,
        undated=undated,
        unproven=unproven,
    )
