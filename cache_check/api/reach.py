"""Reach: assemblies, union, blind spots, how many at once by length; and the joint graph that they come from."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from cache_check.api.base import LENGTHS, LIST_AT_MOST, SECONDS, WhatIf, head_of, muster_of
from cache_check.joining.assemblies import reach_of
from cache_check.joining.joints import join_graph
from cache_check.model.cache import Cache
from cache_check.model.result import ReachResult
from cache_check.model.rule import RuleBook
from cache_check.planning.packing.muster import Ask
from cache_check.planning.packing.profile import profiles
from cache_check.planning.packing.tally import tally
from cache_check.units import show

if TYPE_CHECKING:
    import networkx as nx


def reach(
    cache: Cache, book: RuleBook, *, suppose: WhatIf | None = None, load: Fraction | None = None, at: int | None = None,
    list_at_most: int = LIST_AT_MOST, seconds: float = SECONDS,
) -> ReachResult:  # fmt: skip
    """Assemblies, union, blind spots and profiles; with ``at`` (nm) the tally at that length.

    ``load`` (N) adds the step rated to the profiles and the tally.  Profiles that ``seconds`` are not enough for are
    untold.

    Raises:
        AskError: something supposed cannot be.
        NoPlanError: an optimum could not be proven in time.
    """
    muster = muster_of(cache, book, suppose, seconds, load=load)
    label = "" if at is None else show(at, "length", muster.cache.units, "nearest")
    at_length = None if at is None else tally(muster, Ask(at, at, load), label)
    by_length, untold = profiles(muster, load)
    return ReachResult(
        *head_of(muster, suppose, asked=load is not None), reach=reach_of(muster.joined, list_at_most),
        profiles=by_length, at=at_length, untold=((LENGTHS, untold),) if untold else (),
    )  # fmt: skip


def graph(cache: Cache, book: RuleBook, *, suppose: WhatIf | None = None) -> nx.DiGraph[str]:
    """The joint graph of the usable parts; see ``cache_check.joining.joints`` for what nodes and edges carry."""
    muster = muster_of(cache, book, suppose)
    return join_graph(muster.cache.catalogue, muster.usable.counts, muster.book)
