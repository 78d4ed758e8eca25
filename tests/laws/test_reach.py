"""Reach: the union of what can be built, and the blind spots inside it."""

from __future__ import annotations

from hypothesis import given

from cache_check.joining.assemblies import Joinery, reach_of
from laws import oracles
from laws import strategies as drawn


@drawn.SETTINGS
@given(drawn.caches())
def test_union_and_blind_spots_are_the_definitions(cache: drawn.Drawn) -> None:
    """A length is reached where some assembly reaches it, and blind between two that are reached."""
    found = oracles.assemblies(cache.catalogue, cache.counts, cache.book)

    reach = reach_of(Joinery(cache.catalogue, cache.counts, cache.book), 1000)

    assert list(reach.union) == oracles.union(found)
    assert list(reach.blind_spots) == oracles.blind_spots(found)
    assert reach.count == len(reach.assemblies) == len(found)


@drawn.SETTINGS
@given(drawn.caches())
def test_with_one_fitting_fixed(cache: drawn.Drawn) -> None:
    """For each base and each head the reach given is that of the assemblies that use it there."""
    found = oracles.assemblies(cache.catalogue, cache.counts, cache.book)
    expected = {}
    for place, role in ((0, "base"), (1, "head")):
        for fitting in {one.identity[place] for one in found}:
            expected[role, fitting] = oracles.union(one for one in found if one.identity[place] == fitting)

    reach = reach_of(Joinery(cache.catalogue, cache.counts, cache.book), 1000)

    assert {(role, fitting): list(spans) for role, fitting, spans in reach.by_fitting} == expected


@drawn.SETTINGS
@given(drawn.caches())
def test_listing_is_left_out_only_when_there_are_more_than_asked(cache: drawn.Drawn) -> None:
    """The count is exact whether or not the assemblies are listed."""
    joined = Joinery(cache.catalogue, cache.counts, cache.book)
    number = joined.count()

    assert len(reach_of(joined, number).assemblies) == number
    if number:
        short = reach_of(joined, number - 1)
        assert (short.count, short.assemblies) == (number, ())
