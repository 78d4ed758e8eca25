"""How many at once: every step is what exhaustive packing finds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
from benchmarks import baselines
from hypothesis import assume, given
from hypothesis import strategies as st

from cache_check.model.counting import Packing, Step
from cache_check.model.rule import Setting
from cache_check.planning.packing.choice import shown
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.tally import tally
from cache_check.units import NEWTON_PER_LBF
from laws import books, generators, oracles
from laws import strategies as drawn
from laws.oracles import Question

FEWER = drawn.some(50)
TODAY = date(2026, 3, 1)
KIP = 1000 * NEWTON_PER_LBF


def _muster(cache: drawn.Drawn) -> Muster:
    return Muster(cache.cache, cache.book, TODAY)


@st.composite
def questions(draw: st.DrawFn, rig: oracles.Rig, *, loaded: bool = False) -> Question:
    """A length or range, often exactly at ends of reaches; restrained or not; maybe a load at a factor."""
    shortest, longest = draw(drawn.lengths(rig.breakpoints(rated=loaded)))
    load = draw(st.integers(1, 12)) * KIP if loaded else None
    factor = draw(st.sampled_from([None, Fraction(2), Fraction(4)])) if loaded else None
    return Question(shortest, longest, draw(st.booleans()), load, factor)


def _ask(question: Question) -> Ask:
    shortest, longest = int(question.shortest), int(question.longest)
    return Ask(shortest, longest, question.load, question.factor, question.restrained)


def _top(question: Question) -> Step:
    if question.load is not None:
        return "rated"
    return "restrained" if question.restrained else "assembled at once"


@FEWER
@given(drawn.caches(), st.data())
def test_standing_and_restrained_are_what_trying_all_finds(cache: drawn.Drawn, data: st.DataObject) -> None:
    """The most at once, with and without restraint, is exact and proven."""
    rig = cache.rig
    question = data.draw(questions(rig))

    packed = _muster(cache).most(_ask(question), _top(question))

    assert packed.count == packed.most == rig.most(question)


@FEWER
@given(drawn.caches(), st.data())
def test_rated_is_what_trying_all_finds(cache: drawn.Drawn, data: st.DataObject) -> None:
    """The most at once that carry a load over the whole range, by all rows that it touches, is exact and proven."""
    rig = cache.rig
    question = data.draw(questions(rig, loaded=True))

    packed = _muster(cache).most(_ask(question), "rated")

    assert packed.count == packed.most == rig.most(question)


@FEWER
@given(drawn.caches(), st.data(), st.booleans())
def test_the_tally_is_the_oracles(cache: drawn.Drawn, data: st.DataObject, loaded: bool) -> None:
    """Usable, buildable, standing, restrained, rated and one missing are all the definition's."""
    rig = cache.rig
    question = data.draw(questions(rig, loaded=loaded))
    plain = Question(question.shortest, question.longest)
    bodies = sum(cache.counts[part.id] for part in cache.catalogue.parts if part.kind == "body")

    found = tally(_muster(cache), _ask(question), "drawn")

    assert (found.count("on the book"), found.count("usable")) == (bodies, bodies)
    assert found.count("buildable") == rig.buildable(plain)
    assert found.count("assembled at once") == rig.most(plain)
    held = rig.most(Question(question.shortest, question.longest, restrained=True))
    ruled = oracles.restraint_ruled(cache.catalogue, cache.book)
    assert found.count("restrained") == (held if ruled else None)
    assert found.count("rated") == (rig.most(question) if loaded else None)
    assert found.count("one missing") == rig.with_one_lost(question)


STRICTER = st.builds(
    lambda rule, family, number: books.setting(rule, family=family, min=number),
    st.sampled_from(["PTS-1", "STR-1"]), st.sampled_from(["P", "Q"]), st.integers(1, 3),
)  # fmt: skip


@FEWER
@given(drawn.caches(odd=frozenset()), st.lists(STRICTER, min_size=1, max_size=2), st.data())
def test_a_mixed_strut_is_held_as_its_strictest_family_wants(
    cache: drawn.Drawn, stricter: list[Setting], data: st.DataObject
) -> None:
    """Points and ties of a base are those of the strictest family in its strut, whichever family the base is of."""
    cache = replace(cache, book=books.book(stricter))
    rig = cache.rig
    mixed = [one for one in rig.found if len(oracles.families_of(cache.catalogue.by_id[p] for p in one.parts)) > 1]
    assume(mixed)
    low, high = data.draw(st.sampled_from(data.draw(st.sampled_from(mixed)).spans))
    at = data.draw(st.sampled_from([low, high]))

    packing = shown(_muster(cache), Ask(at, at), "restrained")

    assert packing.count == packing.bound == rig.most(Question(at, at, restrained=True))


@FEWER
@given(drawn.caches(), st.data())
def test_lost_parts_are_those_whose_loss_is_worst(cache: drawn.Drawn, data: st.DataObject) -> None:
    """The part types named are all those whose loss leaves fewest, and none where no loss costs a strut.

    Straps alike in kind and hardware are as good as one type: losing either is the same loss.  A type of which there
    is none is never named.
    """
    if data.draw(st.booleans()):
        cache = replace(cache, counts=cache.counts | {data.draw(st.sampled_from(["P/strap", "P/long strap"])): 0})
    rig = cache.rig
    question = data.draw(questions(rig))
    losses = rig.after_losses(question)
    worst = min(losses.values(), default=0)

    found = tally(_muster(cache), _ask(question), "drawn")

    expected = {part for part, left in losses.items() if left == worst} if worst < rig.most(question) else set()
    assert set(found.lost) == expected


@FEWER
@given(drawn.caches(), st.data())
def test_a_shown_packing_can_be_built(cache: drawn.Drawn, data: st.DataObject) -> None:
    """The plan shown takes no more of anything than there is, and every strut in it answers."""
    rig = cache.rig
    question = data.draw(questions(rig))

    packing = shown(_muster(cache), _ask(question), _top(question))

    assert packing.count == packing.bound == sum(number for _, number in packing.assemblies)
    _holds(rig, question, packing)


def _holds(rig: oracles.Rig, question: Question, packing: Packing) -> None:
    answering = {one.identity: one for one in rig.answering(question)}
    taken: dict[str, int] = dict(packing.ties)
    for assembly, number in packing.assemblies:
        one = answering[assembly.identity]
        for part, each in [*one.parts.items(), *assembly.pins]:
            taken[part] = taken.get(part, 0) + each * number
    assert all(number <= rig.stock[part] for part, number in taken.items())


@FEWER
@given(drawn.caches(), st.data())
def test_the_same_question_gets_the_same_plan(cache: drawn.Drawn, data: st.DataObject) -> None:
    """A plan depends on the question alone, not on what was asked before it."""
    rig = cache.rig
    first, other = data.draw(questions(rig)), data.draw(questions(rig))
    asked_before = _muster(cache)
    shown(asked_before, _ask(other), _top(other))
    tally(asked_before, _ask(other), "drawn")

    plan = shown(asked_before, _ask(first), _top(first))

    assert plan == shown(_muster(cache), _ask(first), _top(first))


@FEWER
@given(drawn.caches(), st.data())
def test_what_binds(cache: drawn.Drawn, data: st.DataObject) -> None:
    """A part is named exactly when one piece more of it allows a strut more."""
    rig = cache.rig
    question = data.draw(questions(rig))
    part = data.draw(st.sampled_from(sorted(cache.counts)))
    more = drawn.Drawn(cache.catalogue, cache.counts | {part: cache.counts[part] + 1}, cache.book, cache.damaged)

    binding = tally(_muster(cache), _ask(question), "drawn").binding

    assert (part in binding.singles) == (more.rig.most(question) > rig.most(question))


@pytest.mark.parametrize("flavour", ["", "tight", "scarce"])
@pytest.mark.parametrize("seed", range(4))
def test_small_seeded_caches_agree_with_cp_sat(seed: int, flavour: str) -> None:
    """On caches the brute force cannot do, CP-SAT on the same columns finds the same, at several lengths."""
    instance = generators.small(seed, flavour)
    rig = oracles.Rig(instance.catalogue, instance.counts, instance.book)
    cache = drawn.Drawn(instance.catalogue, instance.counts, instance.book, {})
    muster = _muster(cache)
    ends = rig.breakpoints()
    for at in ends[:: max(1, len(ends) // 5)]:
        for restrained in (False, True):
            question = Question(at, at, restrained)
            ways = baselines.takes_at(rig, question)
            assert muster.most(_ask(question), _top(question)).count == baselines.cpsat_columns(ways, rig.stock)


@pytest.mark.parametrize("flavour", ["", "tight", "scarce"])
def test_medium_seeded_caches_agree_with_cp_sat(flavour: str) -> None:
    """On some 600 pieces in three families the most restrained at 72 in is CP-SAT's."""
    instance = generators.medium(1, flavour)
    muster = _muster(drawn.Drawn(instance.catalogue, instance.counts, instance.book, {}))
    at = 72 * drawn.INCH
    columns, stock = baselines.restrained_columns(
        instance.catalogue, instance.counts, instance.book, muster.joined.assemblies()
    )
    ways = [take for assembly, take in columns if assembly.covers(at, at)]

    packed = muster.most(Ask(at, at), "restrained")

    assert packed.count == packed.most == baselines.cpsat_columns(ways, stock)


def test_delivered_settings_hold_in_the_oracle_too() -> None:
    """The two sides read the same rules: two straps and two points a base."""
    assert (books.book().value("STR-1", "min"), books.book().value("PTS-1", "min")) == (2, 2)
