"""Verdicts: worse in is never better out, a yes for n is a yes for n, one question has one answer."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from fractions import Fraction

from hypothesis import assume, given
from hypothesis import strategies as st

import cache_check as api
from cache_check.model.cache import Cache
from cache_check.model.counting import Tally
from cache_check.model.need import Need, Needs, Scene
from cache_check.model.part import Fitting, Point
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.tally import tally
from cache_check.planning.scenes import scene
from cache_check.units import NEWTON_PER_LBF
from laws import strategies as drawn

FEW = drawn.some(25)
TODAY = date(2026, 3, 1)
KIP = 1000 * NEWTON_PER_LBF
GOOD = ("not met", "not known", "met")


def marked(cache: drawn.Drawn, limit: Fraction | None) -> drawn.Drawn:
    """The cache with a limit, or none, on every attachment point."""
    parts = tuple(
        part.changed(points=tuple(Point(wll=limit) for _ in part.points)) if isinstance(part, Fitting) else part
        for part in cache.catalogue.parts
    )
    return replace(cache, catalogue=cache.catalogue.changed(parts=parts))


@st.composite
def asks(draw: st.DrawFn, cache: drawn.Drawn) -> tuple[Ask, int]:
    """A length or range of the rig, a load or none, and how many are wanted."""
    shortest, longest = draw(drawn.lengths(cache.rig.breakpoints(rated=True)))
    load = draw(st.none() | st.integers(1, 12).map(lambda n: n * KIP))
    return Ask(int(shortest), int(longest), load, None, draw(st.booleans())), draw(st.integers(1, 3))


def told(cache: drawn.Drawn, ask: Ask, wanted: int, gone: dict[str, int] | None = None) -> Tally:
    """The tally of a need."""
    return tally(Muster(cache.cache, cache.book, TODAY, gone), ask, "need", wanted)


def no_better(after: Tally, before: Tally) -> bool:
    """Whether neither the verdict nor any count is better than before."""
    assert after.verdict is not None
    assert before.verdict is not None
    counts = zip(after.counts, before.counts, strict=True)
    fewer = all(a is None or b is None or a <= b for (_, a), (_, b) in counts)
    return fewer and GOOD.index(after.verdict) <= GOOD.index(before.verdict)


@FEW
@given(drawn.caches(), st.data())
def test_worse_in_is_never_better_out(cache: drawn.Drawn, data: st.DataObject) -> None:
    """A piece gone, a heavier load, a wider range, one more wanted: no count rises, no verdict gets better."""
    cache = marked(cache, 5 * KIP)
    ask, wanted = data.draw(asks(cache))
    before = told(cache, ask, wanted)
    there = [part for part, n in Muster(cache.cache, cache.book, TODAY).usable.counts.items() if n]
    assume(there)

    assert no_better(told(cache, ask, wanted, {data.draw(st.sampled_from(there)): 1}), before)
    assert no_better(told(cache, ask, wanted + 1), before)
    heavier = Ask(ask.shortest, ask.longest, (ask.load or 0) + KIP, None, ask.restrained)
    assert no_better(told(cache, heavier, wanted), before) or ask.load is None
    wider = Ask(ask.shortest, ask.longest + 25_400_000, ask.load, None, ask.restrained)
    assert no_better(told(cache, wider, wanted), before)


@FEW
@given(drawn.caches(), st.data())
def test_what_is_not_known_makes_no_yes(cache: drawn.Drawn, data: st.DataObject) -> None:
    """Without limits on the points no restrained need with a load is met, and none that was not met gets better."""
    ask, wanted = data.draw(asks(cache))
    sure, unsure = told(marked(cache, 5 * KIP), ask, wanted), told(marked(cache, None), ask, wanted)

    if ask.load is not None and ask.restrained:
        assert unsure.verdict != "met"
        assert (unsure.verdict == "not known") == (sure.verdict != "not met")
    else:
        assert unsure.verdict == sure.verdict


def undated(cache: Cache, parts: Iterable[str]) -> Cache:
    """The cache with the day of inspection blank on every line and piece of some parts."""
    bare = {"inspected": None}
    return cache.changed(stock=tuple(
        line.changed(items=tuple(item.changed(**bare) for item in line.items), **bare) if line.part in parts else line
        for line in cache.stock
    ))  # fmt: skip


@drawn.some(80)
@given(drawn.caches(), st.data())
def test_a_blank_date_is_never_better_and_of_good_pieces_no_no(cache: drawn.Drawn, data: st.DataObject) -> None:
    """Of some parts: no word and no count gets better.  Of all: what was met, or not known, is not known.

    The lengths asked are those that only the most pieces reach.
    """
    cache = marked(cache, 5 * KIP)
    ask, wanted = data.draw(asks(cache))
    there = list(Muster(cache.cache, cache.book, TODAY).joined.assemblies())
    if data.draw(st.booleans()) and there:
        at = max(there, key=lambda one: (len(one.parts), one.order)).open
        ask, wanted = Ask(at, at, restrained=data.draw(st.booleans())), 1
    before = told(cache, ask, wanted)
    some = data.draw(st.sets(st.sampled_from(sorted(cache.counts))))

    def blank(parts: Iterable[str]) -> Tally:
        return tally(Muster(undated(cache.cache, parts), cache.book, TODAY), ask, "need", wanted)

    few, every = blank(some), blank(cache.counts)
    assert no_better(few, before)
    assert before.verdict == "not met" or few.verdict != "not met"
    assert every.count("usable") == 0
    assert every.verdict == ("not met" if before.verdict == "not met" else "not known")


@FEW
@given(drawn.caches(), st.data())
def test_one_question_has_one_answer(cache: drawn.Drawn, data: st.DataObject) -> None:
    """A need by itself, and as the only one of a scene: one count, one verdict; and a yes for n is a yes for n."""
    cache = marked(cache, 5 * KIP)
    ask, wanted = data.draw(asks(cache))
    alone = told(cache, ask, wanted)
    muster = Muster(cache.cache, cache.book, TODAY)
    need = Need(id="n", count=wanted, shortest=ask.shortest, longest=ask.longest, load=ask.load,
                restrained=ask.restrained)  # fmt: skip
    whole = scene(muster, Scene(id="s", needs=(need,)))

    assert whole.verdict == alone.verdict
    assert whole.served == min(wanted, alone.best.count)
    assert whole.left == min(wanted, alone.count("one missing") or 0)
    if alone.verdict == "met":
        assert sum(number for _, number in whole.packing.assemblies) == wanted
        assert wanted == 1 or told(cache, ask, wanted - 1).verdict == "met"


@FEW
@given(drawn.caches(), st.data())
def test_check_says_what_reach_says(cache: drawn.Drawn, data: st.DataObject) -> None:
    """At one length, restrained, with a load: every step of check's need is that of reach."""
    ask, wanted = data.draw(asks(cache))
    assume(ask.shortest == ask.longest and ask.restrained)
    need = Need(id="n", count=wanted, shortest=ask.shortest, longest=ask.longest, load=ask.load)
    needs = Needs(scenes=(Scene(id="s", needs=(need,)),))
    suppose = api.WhatIf(on=TODAY)
    (checked,) = api.check(cache.cache, cache.book, needs=needs, suppose=suppose).tallies
    reached = api.reach(cache.cache, cache.book, suppose=suppose, load=ask.load, at=ask.shortest).at

    assert reached is not None
    assert reached.counts == checked.counts
    assert (reached.best, reached.lost) == (checked.best, checked.lost)
