"""One question, one answer: a scene is served, met, and met with one missing alike by check, stage and buy."""

from __future__ import annotations

from hypothesis import assume, given, settings
from hypothesis import strategies as st

import cache_check as api
from cache_check.joining.stock import as_new
from cache_check.model.cache import Cache
from cache_check.model.need import Needs, Scene
from cache_check.model.rule import RuleBook
from cache_check.report.tally import beside
from laws import strategies as drawn
from laws.test_buying import TODAY, scenes

SUPPOSE = api.WhatIf(on=TODAY)
Told = list[tuple[list[int], str, str]]
"""Of each scene, the struts that serve its needs, the verdict, and what stands beside a met with one missing."""


@st.composite
def asked(draw: st.DrawFn) -> tuple[drawn.Drawn, tuple[Scene, ...]]:
    """A cache that makes some assembly, and scenes of it."""
    cache = draw(drawn.caches())
    assume(cache.rig.found)
    return cache, draw(scenes(cache.rig))


def checked(cache: Cache, book: RuleBook, needs: Needs) -> Told:
    """What check says of the scenes."""
    found = api.check(cache, book, needs=needs, suppose=SUPPOSE, whole=False).scenes
    return [([served for _, _, served in one.by_need], one.verdict, beside(one.missing)) for one in found]


@settings(drawn.SETTINGS, max_examples=8)
@given(asked())
def test_check_stage_and_buy_say_the_same_of_a_scene(one: tuple[drawn.Drawn, tuple[Scene, ...]]) -> None:
    """Today by all three; with a list, by buy and by check of the rig once the pieces have come."""
    drawing, wanted = one
    cache, book, needs = drawing.cache, drawing.book, Needs(scenes=wanted)

    staged = api.stage(cache, book, needs=needs, sets=1, suppose=SUPPOSE).staging
    bought = api.buy(cache, book, needs, terms=api.BuyTerms(as_is=True), suppose=SUPPOSE).purchases[0]

    assert staged is not None
    today = checked(cache, book, needs)
    by_stage = [one.served for one in staged.scenes]
    for found in (by_stage, bought.before):
        told = [([served for _, _, served in one.needs], one.verdict, beside(one.missing)) for one in found]
        assert told == today
    more = [as_new(line.part, cache.rigs[0], line.pieces, TODAY, "new") for line in bought.lines]
    then = checked(cache.changed(stock=(*cache.stock, *more)), book, needs)
    assert [(one.verdict, beside(one.missing)) for one in bought.after] == [
        (verdict, missing) for _, verdict, missing in then
    ]
    assert bought.whole == all(verdict == "met" for _, verdict, _ in then)
