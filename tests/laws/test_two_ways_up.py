"""Parts that may sit either way up, and take other pins the other way: the cheapest way is the one that counts."""

from __future__ import annotations

from collections import Counter
from datetime import date

from hypothesis import assume, given
from hypothesis import strategies as st

import cache_check as api
from cache_check.joining.assemblies import Joinery
from cache_check.joining.explain import explain
from cache_check.model.need import Need, Needs, Scene
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.tally import tally
from laws import oracles
from laws import strategies as drawn
from laws.oracles import Question, Take
from laws.plan_oracles import Market

TODAY = date(2026, 3, 1)
SOME = drawn.some(40)


def cheapest(pins: frozenset[Take]) -> set[Take]:
    """Those of which no other takes no more of anything."""
    return {one for one in pins if not any(other != one and oracles.fits(other, dict(one)) for other in pins)}


@SOME
@given(drawn.turned_caches())
def test_every_way_worth_its_pins_is_there_and_no_other(cache: drawn.Drawn) -> None:
    """The columns are, for each assembly, the sets of pins of which no other takes less, of those the stock has."""
    wanted = {
        (one.identity, pins)
        for one in oracles.assemblies(cache.catalogue, cache.counts, cache.book)
        for pins in cheapest(one.pins)
        if oracles.fits(pins, cache.counts)
    }
    joined = Joinery(cache.catalogue, cache.counts, cache.book)

    found = [(one.identity, frozenset(one.pins)) for one in joined.assemblies(again=True)]

    assert Counter(found) == Counter(wanted)
    assert joined.count() == len({identity for identity, _ in wanted}) == sum(1 for _ in joined.assemblies())


@SOME
@given(drawn.turned_caches(), st.data(), st.booleans())
def test_every_step_counts_the_cheapest_way(cache: drawn.Drawn, data: st.DataObject, restrained: bool) -> None:
    """The tally, with its verified packing, is that of trying every way up of every part."""
    rig = cache.rig
    shortest, longest = data.draw(drawn.lengths(rig.breakpoints()))

    muster = Muster(cache.cache, cache.book, TODAY)
    assume(muster.restraint_ruled)
    found = tally(muster, Ask(shortest, longest, restrained=restrained), "drawn")

    question = Question(shortest, longest, restrained)
    assert found.count("assembled at once") == rig.most(Question(shortest, longest))
    assert found.count("restrained") == rig.most(Question(shortest, longest, restrained=True))
    assert found.count("one missing") == rig.with_one_lost(question)
    assert found.count("buildable") == rig.buildable(Question(shortest, longest))


@SOME
@given(drawn.turned_caches(), st.data())
def test_build_takes_pins_that_its_joints_take(cache: drawn.Drawn, data: st.DataObject) -> None:
    """A stack asked of `build` takes the pins of a way up that is legal, and lacks as few of them as any."""
    legal = oracles.assemblies(cache.catalogue, cache.counts | dict.fromkeys(("P/pin", "Q/pin"), 99), cache.book)
    if not legal:
        return
    one = data.draw(st.sampled_from(legal))
    order = data.draw(st.sampled_from(sorted(one.orders)))
    parts = [cache.catalogue.by_id[part] for part in order]

    verdict = explain(parts, Joinery(cache.catalogue, cache.counts, cache.book))

    pins = oracles.pins_of_order(cache.catalogue, cache.book, parts)
    assert verdict.legal
    assert verdict.assembly is not None
    assert frozenset(verdict.assembly.pins) in cheapest(pins)
    short = min(sum(max(0, n - cache.counts[pin]) for pin, n in way) for way in pins)
    assert sum(n - have for part, n, have in verdict.short_of if part.endswith("/pin")) == short


@SOME
@given(drawn.turned_caches(most_families=1), st.data(), st.integers(1, 2))
def test_sets_left_built_sit_as_their_pins_say(cache: drawn.Drawn, data: st.DataObject, sets: int) -> None:
    """`stage` passes its own verification, which plays every joint with its pin, and serves what stands at once."""
    found = cache.rig.found
    assume(2 <= len(found) <= 12)
    needs = []
    for number in range(data.draw(st.integers(1, 2))):
        low, high = data.draw(st.sampled_from(data.draw(st.sampled_from(found)).spans))
        needs.append(Need(id=f"need {number}", count=2, shortest=low, longest=high, restrained=False))
    scene = Scene(id="scene", needs=tuple(needs))

    staged = api.stage(
        cache.cache, cache.book, needs=Needs(scenes=(scene,)), sets=sets, suppose=api.WhatIf(on=TODAY)
    ).staging

    assert staged is not None
    most = Market(cache.rig, cache.counts, cache.damaged, (scene,), ()).served((), 0)
    assert len(staged.scenes[0].struts) == most
