"""A store too large to be packed as one says so at once, and is still counted."""

from __future__ import annotations

from datetime import date

import pytest
from laws import generators

from cache_check.errors import NoPlanError
from cache_check.joining.assemblies import joinery
from cache_check.model.cache import Cache, Stock
from cache_check.planning.muster import Ask, Muster


def test_a_store_of_millions_of_assemblies_is_refused_not_guessed() -> None:
    """Counting lists nothing, so it works; packing says that a limit was reached, and claims no figure."""
    store = generators.large(0)
    stock = tuple(Stock(part=part, rig="store", count=number) for part, number in store.counts.items())
    cache = Cache(id="store", title="Store", units="us", catalogue=store.catalogue, stock=stock, rigs=("store",))

    assert joinery(store.catalogue, store.counts, store.book).count() > 1_000_000
    with pytest.raises(NoPlanError, match="limit reached"):
        Muster(cache, store.book, date(2026, 11, 25)).most(Ask(60 * 25_400_000, 60 * 25_400_000), "standing")
