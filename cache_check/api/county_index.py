"""The county index: what each of several caches is, what falls due, and all of them side by side."""

from __future__ import annotations

from collections.abc import Sequence

from cache_check.api.base import WhatIf, basis_of, muster_of, names_of
from cache_check.api.office import tried
from cache_check.model.cache import Cache
from cache_check.model.need import Needs
from cache_check.model.report import CountyIndex, RigShown, Side
from cache_check.model.rule import RuleBook


def county_index(
    caches: Sequence[Cache],
    book: RuleBook,
    *,
    needs: Needs | None = None,
    side: Side | None = None,
    unsided: str = "",
    suppose: WhatIf | None = None,
) -> CountyIndex:
    """The facts of the index; ``side`` is what ``side_by_side`` found of the same caches.

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
    due = falling_due(muster.cache, muster.book, muster.on)
    return RigShown(
        name=cache.id,
        title=cache.title,
        basis=basis_of(muster, suppose, asked=any(need.loaded for one in scenes for need in one.needs)),
        names=names_of(muster),
        check=checked,
        due=due,
        undated=_undated(cache),
        unproven=unproven,
    )


def _undated(cache: Cache) -> int:
    """Pieces on the book that have neither a day of inspection nor a last day, those without serials among them."""
    return sum(
        number
        for line in cache.stock
        for item, number in line.pieces
        if item.inspected is None and item.expires is None
    )
