"""The oracle itself, held against tools that know nothing of it."""

from __future__ import annotations

from typing import Any

import pytest
from benchmarks import baselines
from hypothesis import assume, given
from hypothesis import strategies as st

from laws import books, generators, oracles
from laws import strategies as drawn
from laws.oracles import Question

INCH = generators.INCH
FLAVOURS = ("", "tight", "scarce")


def _alike_for_all_families(cache: drawn.Drawn) -> bool:
    return not any(setting.family for setting in cache.book.settings)


@drawn.SETTINGS
@given(drawn.caches())
def test_brute_force_lists_what_path_search_finds(cache: drawn.Drawn) -> None:
    """All permutations filtered by the definition are the simple paths of networkx, pins left out of it."""
    assume(_alike_for_all_families(cache))
    pins = {part.id: 99 for part in cache.catalogue.parts if part.kind == "pin"}

    listed = oracles.assemblies(cache.catalogue, cache.counts | pins, cache.book)

    assert {one.identity for one in listed} == baselines.path_search(cache.catalogue, cache.counts, cache.book)


@drawn.some(40)
@given(drawn.caches(), st.data(), st.booleans())
def test_exhaustive_packing_is_what_two_solvers_find(cache: drawn.Drawn, data: Any, restrained: bool) -> None:
    """The most at once agrees with CP-SAT on places and with HiGHS on columns."""
    assume(_alike_for_all_families(cache) and not any(family.mates for family in cache.catalogue.families))
    rig = cache.rig
    shortest, longest = data.draw(drawn.lengths(rig.breakpoints()))
    question = Question(shortest, longest, restrained)

    most = rig.most(question)

    ways = baselines.takes_at(rig, question)
    assert most == baselines.cpsat_places(rig, cache.counts, question)
    assert most == baselines.highs_columns(ways, rig.stock)
    assert most == oracles.most_at_once(ways, rig.stock, drop_worse=False)


@pytest.mark.parametrize(("seed", "flavour"), list(enumerate(FLAVOURS)))
def test_seeded_caches_are_counted_alike_by_all(seed: int, flavour: str) -> None:
    """On small seeded caches brute force, networkx and clingo count the same assemblies."""
    cache = generators.small(seed, flavour)
    parts = (cache.catalogue, cache.counts, cache.book)

    listed = {one.identity for one in oracles.assemblies(*parts)}

    assert listed == baselines.path_search(*parts)
    assert len(listed) == baselines.clingo_count(baselines.clingo_program(*parts))


@pytest.mark.parametrize("flavour", FLAVOURS if drawn.THOROUGH else FLAVOURS[1:2])
def test_packing_on_pieces_agrees_with_packing_on_columns(flavour: str) -> None:
    """The naive CP-SAT model on pieces finds what the model on columns finds, at a length in the middle."""
    cache = generators.small(1, flavour)
    rig = oracles.Rig(cache.catalogue, cache.counts, cache.book)
    ends = rig.breakpoints()
    question = Question(ends[len(ends) // 2], ends[len(ends) // 2])

    on_pieces = baselines.cpsat_pieces(cache.catalogue, cache.counts, cache.book, question)

    assert on_pieces == baselines.cpsat_columns(baselines.takes_at(rig, question), rig.stock) > 0


def test_most_at_once_by_hand() -> None:
    """Two struts share one piece: three of it allow three struts, not the four that the bodies would."""
    long = frozenset({("body", 1), ("extension", 1)})
    longer = frozenset({("body", 1), ("extension", 2)})

    assert oracles.most_at_once({long, longer}, {"body": 4, "extension": 3}) == 3
    assert oracles.most_at_once({longer}, {"body": 4, "extension": 3}) == 1
    assert oracles.most_at_once(set(), {"body": 4}) == 0


def test_settings_of_a_book_are_read() -> None:
    """The rule book of the tests carries the delivered values and what a setting changes."""
    book = books.book([books.setting("EXT-1", max=3), books.setting("EXT-2", on=False)])

    assert books.book().value("EXT-2", "max") == 36 * INCH
    assert book.value("EXT-1", "max") == 3
    assert not book.is_on("EXT-2")
