"""The office page of a cache: what to buy, what losses cost; the caches side by side, and the index of a county.

What cannot be proven in time is said in its own place, so that the rest of the page stands.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from cache_check.api.base import SECONDS, WhatIf, head_of, in_force, judging_of, loaded, muster_of, tried
from cache_check.api.buy import BuyTerms, buy, county
from cache_check.api.check import check
from cache_check.errors import AskError, InputError, NoPlanError
from cache_check.files.pool import pool
from cache_check.joining.falling_due import falling_due
from cache_check.model.cache import Cache
from cache_check.model.need import Needs
from cache_check.model.purchase import Prices
from cache_check.model.report import CountyIndex, OfficeResult, RigShown, Side
from cache_check.model.rule import RuleBook
from cache_check.planning.buying.part_loss import part_losses
from cache_check.planning.loading.heaviest import heaviest
from cache_check.planning.packing.muster import Muster
from cache_check.planning.scenes import asked, scene
from cache_check.planning.solving.programme import Progress, silent

Sided = tuple[Side | None, str]
"""Several caches side by side; where that is not proven, None and why."""


def office(
    cache: Cache,
    book: RuleBook,
    needs: Needs,
    prices: Sequence[Prices] = (),
    *,
    sided: Sided = (None, ""),
    steps: bool = True,
    suppose: WhatIf | None = None,
    seconds: float = SECONDS,
    progress: Progress = silent,
) -> OfficeResult:
    """The facts of one cache's page; ``sided`` is what ``side_by_side`` found of it and the others.

    Every step of cost from today to everything met takes long, and is worked out where ``steps`` asks for it.

    Raises:
        AskError: no scene is asked, something supposed cannot be, or quotes of several currencies are given.
    """
    scenes = needs.scenes if needs else ()
    if not scenes:
        raise AskError("there is no scene for the office page; name a needs file with at least one")
    terms = BuyTerms(seconds=seconds, frontier=steps)
    muster = muster_of(cache, book, suppose, needs=needs)
    bought, unbought = tried(lambda: buy(cache, book, needs, prices, terms=terms, suppose=suppose, progress=progress))
    weighed, unweighed = tried(lambda: heaviest(muster))
    losses, unlost = tried(lambda: part_losses(muster, scenes, progress))
    return OfficeResult(
        *head_of(muster, suppose, asked=loaded(scenes)),
        asks=tuple(ask for one in scenes for ask in asked(muster, one)),
        bought=bought,
        losses=losses,
        side=sided[0],
        heaviest=weighed,
        unbought=unbought,
        unlost=unlost,
        unsided=sided[1],
        unweighed=unweighed,
    )


def side_by_side(
    caches: Sequence[Cache],
    book: RuleBook,
    needs: Needs,
    *,
    suppose: WhatIf | None = None,
    progress: Progress = silent,
) -> Side:
    """What each cache serves by itself, the moves that help, and what all serve as one pool.

    Raises:
        AskError: something supposed cannot be.
        NoPlanError: what the caches serve by themselves could not be proven.
    """
    found = county(caches, book, needs, suppose=suppose, progress=progress)
    together, unproven = tried(lambda: _together(caches, book, needs, suppose))
    return Side(found, together or (), unproven)


def _together(
    caches: Sequence[Cache], book: RuleBook, needs: Needs, suppose: WhatIf | None
) -> tuple[tuple[int, ...], ...]:
    """Struts that all caches together serve, by scene and need; what is supposed of each is supposed of each here."""
    musters = [muster_of(cache, book, suppose, needs=needs) for cache in caches]
    try:
        whole = pool([muster.cache for muster in musters])
    except InputError as error:
        raise NoPlanError(f"the caches cannot be taken as one: {error}") from None
    gone = sum((Counter(muster.gone) for muster in musters), Counter())
    muster = Muster(whole, in_force(whole, book, suppose), musters[0].on, dict(gone), judging=judging_of(needs))
    answers = (scene(muster, one) for one in (needs.scenes if needs else ()))
    return tuple(tuple(served for _, _, served in one.by_need) for one in answers)


def county_index(
    caches: Sequence[Cache], book: RuleBook, needs: Needs | None, sided: Sided, suppose: WhatIf | None
) -> CountyIndex:
    """The facts of the index of several caches; ``sided`` is what ``side_by_side`` found of the same caches.

    Raises:
        AskError: something supposed cannot be.
    """
    return CountyIndex(tuple(_rig(one, book, needs, suppose) for one in caches), *sided)


def _rig(cache: Cache, book: RuleBook, needs: Needs | None, suppose: WhatIf | None) -> RigShown:
    muster = muster_of(cache, book, suppose, needs=needs)
    scenes = needs.scenes if needs else ()
    checked, unproven = tried(lambda: check(cache, book, needs=needs, suppose=suppose))
    pieces = [one for line in cache.stock for one in line.pieces]
    undated = sum(number for item, number in pieces if item.inspected is None and item.expires is None)
    return RigShown(
        *head_of(muster, suppose, asked=loaded(scenes)),
        check=checked,
        due=falling_due(muster.cache, muster.book, muster.on),
        undated=undated,
        unproven=unproven,
    )
