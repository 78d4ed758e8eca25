"""The office page of each cache: what to buy, what losses cost, and the caches side by side.

What cannot be proven in time is said in its own place, so that the rest of the page stands.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, TypeVar

from cache_check.api.base import WhatIf, basis_of, in_force, judging_of, muster_of, names_of
from cache_check.errors import AskError, NoPlanError
from cache_check.model.cache import Cache
from cache_check.model.need import Needs
from cache_check.model.price import Prices
from cache_check.model.report import OfficeResult, Side
from cache_check.model.rule import RuleBook

if TYPE_CHECKING:
    from cache_check.planning.solving.programme import Progress

Found = TypeVar("Found")


def offices(
    caches: Sequence[Cache],
    book: RuleBook,
    needs: Needs,
    prices: Sequence[Prices] = (),
    *,
    side: Side | None = None,
    unsided: str = "",
    suppose: WhatIf | None = None,
    seconds: float = 60.0,
    progress: Progress | None = None,
) -> tuple[OfficeResult, ...]:
    """The facts of every cache's page; ``side`` is what ``side_by_side`` found of all of them.

    Raises:
        AskError: no scene is asked, something supposed cannot be, or quotes of several currencies are given.
    """

    def one(cache: Cache) -> OfficeResult:
        return _office(cache, book, needs, prices, side, unsided, suppose, seconds, progress)

    return tuple(map(one, caches))


def _office(
    cache: Cache,
    book: RuleBook,
    needs: Needs,
    prices: Sequence[Prices],
    side: Side | None,
    unsided: str,
    suppose: WhatIf | None,
    seconds: float,
    progress: Progress | None,
) -> OfficeResult:
    from cache_check.api.buy import BuyTerms, buy
    from cache_check.planning.buying.part_loss import part_losses
    from cache_check.planning.scenes import asked
    from cache_check.planning.solving.programme import silent

    scenes = needs.scenes if needs else ()
    if not scenes:
        raise AskError("there is no scene for the office page; name a needs file with at least one")
    terms = BuyTerms(seconds=seconds, frontier=True)
    muster = muster_of(cache, book, suppose, needs=needs)
    bought, unbought = tried(lambda: buy(cache, book, needs, prices, terms=terms, suppose=suppose, progress=progress))
    losses, unlost = tried(lambda: part_losses(muster, scenes, progress or silent))
    return OfficeResult(
        name=cache.id,
        title=cache.title,
        basis=basis_of(muster, suppose, asked=any(need.loaded for one in scenes for need in one.needs)),
        names=names_of(muster),
        asks=tuple(ask for scene in scenes for ask in asked(muster, scene)),
        bought=bought,
        losses=losses,
        side=side,
        unbought=unbought,
        unlost=unlost,
        unsided=unsided,
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
