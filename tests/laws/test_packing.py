"""How many at once: every step is what exhaustive packing finds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
from benchmarks import baselines
from hypothesis import assume, given
from hypothesis import strategies as st

from cache_check.model.counting import Packing, Step, Tally
from cache_check.model.rule import Setting
from cache_check.planning.packing.choice import shown
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.tally import tally
from cache_check.units import NEWTON_PER_LBF
from laws import books, generators, oracles
from laws import strategies as drawn
from laws.oracles import Question

FEWER = drawn.some(60)
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
@given(drawn.caches(), st.data(), st.booleans())
def test_every_step_is_what_trying_all_finds(cache: drawn.Drawn, data: st.DataObject, loaded: bool) -> None:
    """Usable, buildable, assembled at once, restrained, rated and one missing are the definition's, exact and proven.

    The part types named as lost are all those whose loss leaves fewest, and none where no loss costs a strut; straps
    alike in kind and hardware are as good as one type, and a type of which there is none is never named.  A part binds
    exactly when one piece more of it allows a strut more.  The plan shown can be built, and depends on the question
    alone, not on what was asked before it.
    """
    if data.draw(st.booleans()):
        cache = replace(cache, counts=cache.counts | {data.draw(st.sampled_from(["P/strap", "P/long strap"])): 0})
    rig, muster = drawn.bearable(cache.rig), _muster(cache)
    question = data.draw(questions(rig, loaded=loaded))
    ask, most = _ask(question), rig.most(question)

    found = tally(muster, ask, "drawn")

    _steps_are_those_of(rig, cache, question, found)
    losses = rig.after_losses(question)
    worst = min(losses.values(), default=0)
    assert set(found.lost) == ({part for part, left in losses.items() if left == worst} if worst < most else set())
    part = data.draw(st.sampled_from(sorted(cache.counts)))
    more = replace(cache, counts=cache.counts | {part: cache.counts[part] + 1})
    assert (part in found.binding.singles) == (more.rig.most(question) > most)

    other = data.draw(questions(rig))
    shown(muster, _ask(other), _top(other))
    packing, packed = shown(muster, ask, _top(question)), _muster(cache).most(ask, _top(question))
    assert packed.count == packed.most == most
    assert packing.count == packing.bound == most == sum(number for _, number in packing.assemblies)
    assert packing == shown(_muster(cache), ask, _top(question))
    _holds(rig, question, packing)


def _steps_are_those_of(rig: oracles.Rig, cache: drawn.Drawn, question: Question, found: Tally) -> None:
    plain = Question(question.shortest, question.longest)
    bodies = sum(cache.counts[part.id] for part in cache.catalogue.parts if part.kind == "body")
    held = rig.most(Question(question.shortest, question.longest, restrained=True))
    ruled = oracles.restraint_ruled(cache.catalogue, cache.book)
    assert (found.count("on the book"), found.count("usable")) == (bodies, bodies)
    assert found.count("buildable") == rig.buildable(plain)
    assert found.count("assembled at once") == rig.most(plain)
    assert found.count("restrained") == (held if ruled else None)
    assert found.count("rated") == (rig.most(question) if question.load is not None else None)
    assert found.count("one missing") == rig.with_one_lost(question)


def _holds(rig: oracles.Rig, question: Question, packing: Packing) -> None:
    """The plan takes no more of anything than there is, and every strut in it answers."""
    answering = {one.identity: one for one in rig.answering(question)}
    taken: dict[str, int] = dict(packing.ties)
    for assembly, number in packing.assemblies:
        one = answering[assembly.identity]
        for part, each in [*one.parts.items(), *assembly.pins]:
            taken[part] = taken.get(part, 0) + each * number
    assert all(number <= rig.stock[part] for part, number in taken.items())


STRICTER = st.builds(
    lambda rule, family, number: books.setting(rule, family=family, min=number),
    st.sampled_from(["PTS-1", "STR-1"]), st.sampled_from(["P", "Q"]), st.integers(1, 3),
)  # fmt: skip


@drawn.some(20)
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


@pytest.mark.parametrize(("seed", "flavour"), list(enumerate(["", "tight", "scarce", "tight"])))
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


@pytest.mark.parametrize("flavour", ["", "tight", "scarce"] if drawn.THOROUGH else ["tight"])
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
