"""Legal assemblies: the listing is the definition's, whatever the cache."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from random import Random

import pytest
from benchmarks import baselines
from hypothesis import given
from hypothesis import strategies as st

from cache_check.joining.assemblies import Joinery
from cache_check.model.assembly import Assembly
from cache_check.model.family import Catalogue
from cache_check.model.rule import RuleBook, Setting
from laws import books, generators, oracles
from laws import strategies as drawn


def _joinery(cache: drawn.Drawn) -> Joinery:
    return Joinery(cache.catalogue, cache.counts, cache.book)


def _identities(catalogue: Catalogue, counts: dict[str, int], book: RuleBook) -> set[oracles.Identity]:
    return {assembly.identity for assembly in Joinery(catalogue, counts, book).assemblies()}


@drawn.SETTINGS
@given(drawn.caches())
def test_listed_are_all_permutations_filtered_by_the_definition(cache: drawn.Drawn) -> None:
    """Every legal assembly is listed once, and nothing else."""
    legal = {one.identity for one in oracles.assemblies(cache.catalogue, cache.counts, cache.book)}

    listed = [assembly.identity for assembly in _joinery(cache).assemblies()]

    assert set(listed) == legal
    assert len(listed) == len(legal)


@drawn.SETTINGS
@given(drawn.caches())
def test_counted_is_listed(cache: drawn.Drawn) -> None:
    """Counting without listing gives the length of the list."""
    joined = _joinery(cache)

    assert joined.count() == sum(1 for _ in joined.assemblies())


@drawn.SETTINGS
@given(drawn.caches())
def test_a_listed_order_can_be_built(cache: drawn.Drawn) -> None:
    """The order shown is a legal one, not merely the parts of one."""
    for assembly in _joinery(cache).assemblies():
        body_at = 1 + len(assembly.below)
        assert assembly.parts[body_at] == assembly.body
        assert oracles.stack_is_legal(cache.catalogue, cache.book, assembly.parts, body_at)


@drawn.SETTINGS
@given(drawn.caches())
def test_an_assembly_says_its_lengths_pins_and_mass(cache: drawn.Drawn) -> None:
    """Spans, joints, extensions, loose pins and mass are those of its parts; one unknown mass makes all unknown."""
    legal = {one.identity: one for one in oracles.assemblies(cache.catalogue, cache.counts, cache.book)}

    for assembly in _joinery(cache).assemblies():
        one = legal[assembly.identity]
        assert assembly.spans == one.spans
        assert assembly.extensions == one.extensions
        assert assembly.joints == len(assembly.parts) - 1
        assert frozenset(assembly.pins) in one.pins
        assert assembly.mass == _mass(cache.catalogue, assembly)


def _mass(catalogue: Catalogue, assembly: Assembly) -> Fraction | None:
    pieces = Counter(assembly.parts) + Counter(dict(assembly.pins))
    masses = [(catalogue.by_id[part].mass, number) for part, number in pieces.items()]
    if any(mass is None for mass, _ in masses):
        return None
    return sum((mass * number for mass, number in masses if mass is not None), Fraction(0))


@drawn.SETTINGS
@given(drawn.caches(), st.randoms(use_true_random=False))
def test_the_order_of_a_file_changes_nothing(cache: drawn.Drawn, draw: Random) -> None:
    """Parts written in another order give the same list in the same order."""
    parts = list(cache.catalogue.parts)
    draw.shuffle(parts)
    shuffled = cache.catalogue.model_copy(update={"parts": tuple(parts)})
    shuffled = Catalogue(families=shuffled.families, parts=shuffled.parts)

    assert list(Joinery(shuffled, cache.counts, cache.book).assemblies()) == list(_joinery(cache).assemblies())


@drawn.some(60)
@given(drawn.caches(), st.data())
def test_one_more_piece_never_takes_an_assembly_away(cache: drawn.Drawn, data: st.DataObject) -> None:
    """Whatever could be built can still be built with one piece more."""
    part = data.draw(st.sampled_from(sorted(cache.counts)))
    more = cache.counts | {part: cache.counts[part] + 1}

    assert _identities(cache.catalogue, cache.counts, cache.book) <= _identities(cache.catalogue, more, cache.book)


STRICTER = (
    books.setting("EXT-1", max=1),
    books.setting("EXT-2", max=6 * drawn.INCH),
    books.setting("EXT-3", severity="stop"),
    books.setting("ADP-1", max=0),
    books.setting("COL-1", locks=("holes",)),
    books.setting("OVL-1", min=8 * drawn.INCH),
    books.setting("PIN-1", per_joint=2),
)


@drawn.some(60)
@given(drawn.caches(), st.sampled_from(STRICTER))
def test_one_more_rule_never_adds_an_assembly(cache: drawn.Drawn, rule: Setting) -> None:
    """Whatever a stricter rule allows, the delivered rules allow."""
    delivered, stricter = books.book(), books.book([rule])

    assert _identities(cache.catalogue, cache.counts, stricter) <= _identities(cache.catalogue, cache.counts, delivered)


@drawn.some(60)
@given(drawn.caches(), st.sampled_from(["EXT-1", "EXT-2", "EXT-4", "MAT-4", "FAM-1", "ADP-1", "COL-1", "OVL-1"]))
def test_switching_a_rule_off_never_takes_an_assembly_away(cache: drawn.Drawn, rule: str) -> None:
    """A rule only ever forbids."""
    off = books.book([*cache.book.settings, books.setting(rule, on=False)])

    assert _identities(cache.catalogue, cache.counts, cache.book) <= _identities(cache.catalogue, cache.counts, off)


@pytest.mark.parametrize("flavour", ["", "tight", "scarce"])
@pytest.mark.parametrize("seed", range(4))
def test_small_seeded_caches_agree_with_path_search(seed: int, flavour: str) -> None:
    """On caches beyond the drawn ones' size the list is that of networkx's own path search."""
    cache = generators.small(seed, flavour)

    assert _identities(cache.catalogue, cache.counts, cache.book) == baselines.path_search(
        cache.catalogue, cache.counts, cache.book
    )


@pytest.mark.parametrize("seed", range(3))
def test_medium_seeded_caches_agree_with_clingo(seed: int) -> None:
    """On three families and some 600 pieces the count is that of an answer-set solver."""
    cache = generators.medium(seed)
    joined = Joinery(cache.catalogue, cache.counts, cache.book)

    program = baselines.clingo_program(cache.catalogue, cache.counts, cache.book)

    assert joined.count() == baselines.clingo_count(program) == sum(1 for _ in joined.assemblies())
