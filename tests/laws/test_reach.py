"""Reach: the union of what can be built, and the blind spots inside it."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from cache_check.joining.assemblies import Joinery
from cache_check.planning.packing.laid import Laid
from laws import oracles
from laws import strategies as drawn


@drawn.SETTINGS
@given(drawn.caches())
def test_union_and_blind_spots_are_the_definitions(cache: drawn.Drawn) -> None:
    """A length is reached where some assembly reaches it, and blind between two that are reached."""
    found = oracles.assemblies(cache.catalogue, cache.counts, cache.book)

    reach = Joinery(cache.catalogue, cache.counts, cache.book).reach(1000)

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

    reach = Joinery(cache.catalogue, cache.counts, cache.book).reach(1000)

    assert {(role, fitting): list(spans) for role, fitting, spans in reach.by_fitting} == expected


@drawn.SETTINGS
@given(drawn.caches())
def test_listing_is_left_out_only_when_there_are_more_than_asked(cache: drawn.Drawn) -> None:
    """The count is exact whether or not the assemblies are listed."""
    joined = Joinery(cache.catalogue, cache.counts, cache.book)
    number = joined.count()

    assert len(joined.reach(number).assemblies) == number
    if number:
        short = joined.reach(number - 1)
        assert (short.count, short.assemblies) == (number, ())


@drawn.SETTINGS
@given(drawn.caches(), st.sampled_from(("body", "fitting", "extension", "adapter", "pin")), st.integers(1, 3))
def test_rigs_share_a_joinery_only_where_numbers_make_no_difference(cache: drawn.Drawn, kind: str, more: int) -> None:
    """What is laid out once, and asked of more pieces of one kind, reaches what a joinery of its own does."""
    raised = {part.id for part in cache.catalogue.parts if part.kind == kind}
    shared = Laid(cache.catalogue, {part: number + 5 for part, number in cache.counts.items()}, cache.book)

    for times in (0, more, 0):
        counts = {part: number + times * (part in raised) for part, number in cache.counts.items()}
        assert shared.joinery(counts).reach(1000) == Joinery(cache.catalogue, counts, cache.book).reach(1000)
