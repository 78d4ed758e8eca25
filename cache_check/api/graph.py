"""The joint graph."""

from __future__ import annotations

from typing import TYPE_CHECKING

from cache_check.api.base import WhatIf, muster_of
from cache_check.joining.graph import join_graph
from cache_check.model.cache import Cache
from cache_check.model.rule import RuleBook

if TYPE_CHECKING:
    import networkx as nx


def graph(cache: Cache, book: RuleBook, *, suppose: WhatIf | None = None) -> nx.DiGraph[str]:
    """The joint graph of the usable parts; see ``cache_check.joining.graph`` for what nodes and edges carry."""
    muster = muster_of(cache, book, suppose)
    return join_graph(muster.cache.catalogue, muster.usable.counts, muster.book)
