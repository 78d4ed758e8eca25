"""Laws of what a piece is: worse known of it, never more of anything; and one answer, whichever verb is asked."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from builders import SOUND_PIECE, loaded, needs_of, tidy
from hypothesis import example, given
from hypothesis import strategies as st

import cache_check as api
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache, Item, Stock
from cache_check.model.counting import STEPS, Tally
from cache_check.model.load import LoadResult
from cache_check.model.need import Need, Needs, Scene, reaching
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.tally import tally
from cache_check.units import NM_PER_INCH
from laws import strategies as drawn
from laws.test_changes import asks

TODAY = date(2026, 3, 1)
WORSE: dict[str, dict[str, Any]] = {
    "at repair": {"status": "repair"},
    "state not known": {"status": "unknown"},
    "tagged": {"tag": "17"},
    "noted": {"note": "do not use"},
    "noted in passing": {"note": "blue tape on it"},
    "cracked": {"condition": "cracked"},
    "in odd words": {"condition": "wobbly"},
    "no day of inspection": {"inspected": None},
    "overdue": {"inspected": date(2020, 1, 1)},
    "inspected on a day to come": {"inspected": date(2062, 1, 1)},
    "expired": {"expires": date(2026, 2, 28)},
    "label not looked at": {"label": "unknown"},
    "label unreadable": {"label": "unreadable"},
    "no age": {"acquired": None},
    "over age": {"acquired": date(2001, 1, 1)},
    "without points": {"points_usable": 0},
}
"""What may become known of a piece, and what may be lost of what was."""
FEWER = drawn.some(60)


def _one_apart(cache: Cache, part: str, facts: dict[str, Any]) -> Cache:
    """The cache with one piece of a line told apart, with these facts on top of sound ones."""

    def line(stock: Stock) -> Stock:
        if stock.part != part or not stock.in_service:
            return stock
        item = Item(serial="apart", part=part, rig=stock.rig, **SOUND_PIECE | facts)
        return stock.changed(items=(*stock.items, item))

    return cache.changed(stock=tuple(line(stock) for stock in cache.stock))


def _counts(cache: Cache, one: drawn.Drawn, ask: Ask) -> tuple[int, ...]:
    """Usable pieces of every part, those with points enough, and every step of a tally."""
    muster = Muster(cache, one.book, TODAY)
    steps = tally(muster, ask, "drawn")
    usable = muster.usable
    return (
        *usable.counts.values(), *(n for _, n in sorted(usable.pointed.items())),
        *(steps.count(step) or 0 for step in STEPS),
    )  # fmt: skip


@FEWER
@given(drawn.caches(), st.data(), st.sampled_from(sorted(WORSE)), st.sampled_from(["", *sorted(WORSE)]))
def test_what_is_worse_of_a_piece_makes_nothing_more(
    one: drawn.Drawn, data: st.DataObject, how: str, already: str
) -> None:
    """Whatever is wrong with a piece already, and whatever is found besides, no count of any kind rises."""
    ask, part = data.draw(asks(one)), data.draw(st.sampled_from(sorted(one.counts)))
    before = WORSE[already] if already else {}
    after = before | {key: value for key, value in WORSE[how].items() if key not in before}

    less, more = (_counts(_one_apart(one.cache, part, facts), one, ask) for facts in (after, before))
    assert all(a <= b for a, b in zip(less, more, strict=True))


@FEWER
@given(drawn.caches(), st.data(), st.sampled_from(["inspected", "label", "made", "count"]))
def test_what_is_less_known_of_a_line_makes_nothing_more(one: drawn.Drawn, data: st.DataObject, what: str) -> None:
    """A line that says less of its pieces, or counts one fewer, raises no count."""
    ask, part = data.draw(asks(one)), data.draw(st.sampled_from(sorted(one.counts)))

    def line(stock: Stock) -> Stock:
        if stock.part != part or (what == "count" and not stock.in_service):
            return stock
        return stock.changed(**{what: (stock.count or 0) - 1 if what == "count" else None})

    worse = one.cache.changed(stock=tuple(line(stock) for stock in one.cache.stock))
    less, more = (_counts(cache, one, ask) for cache in (worse, one.cache))
    assert all(a <= b for a, b in zip(less, more, strict=True))


@drawn.some(25)
@given(st.lists(st.sampled_from(sorted(WORSE)), max_size=4), st.sampled_from(["body", "base", "strap"]))
@example(["overdue", "cracked"], "body")
def test_every_verb_counts_the_same_pieces(wrong: list[str], part: str) -> None:
    """``check``, ``reach`` and ``audit`` give one tally from one book, and say the same of every piece that is out."""
    facts = [WORSE[how] for how in wrong if part == "base" or "points_usable" not in WORSE[how]]
    items = [{"serial": f"X-{n}", **fact} for n, fact in enumerate(facts)]
    cache = tidy(counts={part: 4 + len(items)}, items={part: items})
    suppose = api.WhatIf(on=date(2026, 4, 1))
    needs = needs_of([{"at": 50, "count": 2}])
    at = needs.scenes[0].needs[0].shortest
    checked = api.check(cache, read_rules(), needs=needs, suppose=suppose)
    reached = api.reach(cache, read_rules(), suppose=suppose, at=at)
    audited = api.audit(cache, read_rules(), needs=needs, suppose=suppose)

    assert reached.at is not None
    assert dict(checked.tallies[0].counts) == dict(reached.at.counts) == dict(audited.compared[0].today.counts)
    idle = [one for line in checked.parts for one in line.idle]
    told = {cost.cause.idle for cost in audited.costs if cost.cause.does == "out"}
    assert told == set(idle)
    assert all(line.usable == (line.on_book or 0) - sum(i.number for i in line.idle) for line in checked.parts)


def test_what_is_not_known_of_chain_is_nothing_to_a_place_of_straps() -> None:
    """Bodies and chain in odd words, a place that takes straps alone: not known, for the bodies."""
    odd = {part: [{"serial": f"{part} {n}", "condition": "wobbly"} for n in range(2)] for part in ("body", "chain")}
    cache = tidy(parts={"chain": {"kind": "chain", "wll": 5000}}, counts={"chain": 2}, items=odd)
    said = loaded(cache, contact_height=40, angle=60, vertical=2000, ties="straps")

    assert said.verdict == "not known"
    assert [link.link for link in said.links if link.state == "unknown"] == ["length", "body body 0, body body 1"]


def _by_both(cache: Cache) -> tuple[Tally, LoadResult]:
    """What ``check`` says of one strut with an upright load in its place, and what ``load`` does."""
    place: dict[str, Any] = {"vertical": 2000, "angle": 60, "contact": "edge", "soil": 10_000}
    place |= {"far_anchors": "structure", "anchor_distance": 60}
    length = reaching(40 * NM_PER_INCH, Fraction(60))
    asked = {"id": "n", "count": 1, "height": 40, "shortest": 46, "longest": 46}
    need = Need.model_validate(asked | place, context={"units": "us"}).changed(shortest=length, longest=length)
    needs = Needs(scenes=(Scene(id="s", needs=(need,)),))
    (checked,) = api.check(cache, read_rules(), needs=needs, suppose=api.WhatIf(on=date(2026, 4, 1))).tallies
    return checked, loaded(cache, contact_height=40, **place | {"dynamic_allowance": None, "pretension": None})


@drawn.some(12)
@given(st.lists(st.sampled_from(sorted(WORSE)), max_size=2), st.sampled_from(["body", "base", "head", "strap"]),
       st.integers(0, 2))  # fmt: skip
@example(["in odd words"], "body", 0)
@example(["no age", "label not looked at"], "strap", 0)
@example(["in odd words"], "body", 1)
@example(["cracked"], "body", 0)
def test_load_says_of_a_place_what_check_says_of_a_need_there(wrong: list[str], part: str, sound: int) -> None:
    """Met, not met, or not known for what is not known of pieces, by both."""
    facts = [WORSE[how] for how in wrong if part == "base" or "points_usable" not in WORSE[how]]
    items = [{"serial": f"X-{n}", **fact} for n, fact in enumerate(facts)]
    checked, said = _by_both(tidy(counts={part: sound + len(items)}, items={part: items}))

    assert said.verdict == checked.verdict


@pytest.mark.parametrize(("long", "verdict"), [(0, "not met"), (1, "not met"), (2, "met")])
def test_straps_that_are_long_enough_are_found_beside_short_ones(long: int, verdict: str) -> None:
    """Equal marks, some too short for the anchors: two long ones hold the base; of one and one the short one is named.

    The message is of the weakest tie of a way, not of the first.
    """
    short = {"belt": {"kind": "strap", "wll": 3333, "length": "6 ft"}}
    checked, said = _by_both(tidy(parts=short, counts={"strap": long, "belt": 2 - long % 2}))

    assert (checked.verdict, said.verdict) == (verdict, verdict)
    if verdict != "met":
        assert "belt: too short" in checked.links[-1].why
