"""The verifier: it passes what was planned and refuses every way of tampering with it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from builders import SOUND_LOT, rescue_41
from laws import books

from cache_check.api.base import WhatIf, muster_of
from cache_check.model.assembly import Assembly
from cache_check.model.cache import Cache, Item, Stock
from cache_check.model.counting import Packing
from cache_check.model.family import Catalogue, Family
from cache_check.model.need import Need, Needs, Scene
from cache_check.model.part import Chain, End, Fitting, Hardware, Holes, Part, Point, Strap
from cache_check.planning.packing.choice import shown
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.verify import FalsePlanError, verify, verify_together
from cache_check.planning.scenes import ask_of
from cache_check.units import NEWTON_PER_LBF

INCH = 25_400_000
ASK = Ask(60 * INCH, 60 * INCH, 6000 * NEWTON_PER_LBF)


def _cache() -> Cache:
    """Rescue 41 with two chains more, of which each needs a binder, and one binder."""
    cache = rescue_41()
    parts = (Chain(id="P/chain", family="P", needs={"P/binder": 1}), Hardware(id="P/binder", family="P"))
    counts = {"P/chain": 2, "P/binder": 1}
    stock = tuple(Stock(part=part, rig="rescue-41", count=count, **SOUND_LOT) for part, count in counts.items())
    catalogue = cache.catalogue.model_copy(update={"parts": cache.catalogue.parts + parts})
    catalogue = type(catalogue)(families=catalogue.families, parts=catalogue.parts)
    return cache.model_copy(update={"catalogue": catalogue, "stock": cache.stock + stock})


@pytest.fixture(scope="module")
def muster() -> Muster:
    """A muster of Rescue 41 under the delivered rules and its family's."""
    cache = _cache()
    return Muster(cache, books.book(cache.settings), date(2026, 3, 1))


def test_what_was_planned_passes(muster: Muster) -> None:
    """The chosen packing of three rated struts is accepted."""
    packing = shown(muster, ASK, "rated")

    verify(muster, ASK, "rated", packing)

    assert (packing.count, packing.bound) == (3, 3)


def _each(change: Callable[[Assembly], Assembly]) -> Callable[[Packing], Packing]:
    def tamper(packing: Packing) -> Packing:
        (first, number), *rest = packing.assemblies
        return replace(packing, assemblies=((change(first), number), *rest))

    return tamper


TAMPERED: dict[str, Callable[[Packing], Packing]] = {
    "more struts than parts": lambda p: replace(
        p, count=p.count + 40, bound=p.bound + 40,
        assemblies=((p.assemblies[0][0], p.assemblies[0][1] + 40), *p.assemblies[1:]),
    ),
    "a count that is not the plan's": lambda p: replace(p, count=p.count + 1, bound=p.bound + 1),
    "more than is proven": lambda p: replace(p, bound=p.count - 1),
    "an illegal order": _each(lambda a: replace(a, ground=a.load, load=a.ground)),
    "too many extensions": _each(lambda a: replace(a, above=("P/extension-10",) * 3)),
    "a length it does not reach": _each(lambda a: replace(a, body="P/short-body", below=(), above=())),
    "no pins": _each(lambda a: replace(a, pins=())),
    "more pins than there are": _each(lambda a: replace(a, pins=(("P/joint-pin", 20),))),
    "a base without attachment points": _each(lambda a: replace(a, ground="P/flat-fitting")),
    "no straps": lambda p: replace(p, ties=()),
    "a strap short": lambda p: replace(p, ties=(("P/strap", 2 * p.count - 1),)),
    "more straps than there are": lambda p: replace(p, ties=(("P/strap", 2 * p.count + 2),)),
    "web and chain on one base": lambda p: replace(p, ties=(("P/strap", 2 * p.count - 1), ("P/chain", 1))),
    "chains without their binders": lambda p: replace(p, ties=(("P/strap", 2 * p.count - 2), ("P/chain", 2))),
}  # fmt: skip


SAYS = {
    "more struts than parts": "P/hinged-base are taken",
    "a count that is not the plan's": "4 struts are claimed",
    "more than is proven": "at most 2 proven",
    "an illegal order": "does not|serves|END|ROL|FIT",
    "too many extensions": "EXT-1",
    "a length it does not reach": "does not cover",
    "no pins": "are not those of its joints",
    "more pins than there are": "P/joint-pin are taken, 16 usable",
    "a base without attachment points": "are restrained, 0 have",
    "no straps": "0 straps or chains on bases that take at least 6",
    "a strap short": "5 straps or chains on bases that take at least 6",
    "more straps than there are": "8 P/strap are taken, 7 usable",
    "web and chain on one base": "by straps and chains together",
    "chains without their binders": "2 P/binder are taken, 1 usable",
}
"""What is said of each, so that no other fault of the plan hides that one is missed."""


@pytest.mark.parametrize("how", TAMPERED)
def test_a_tampered_plan_is_refused(muster: Muster, how: str) -> None:
    """Each way of tampering with a plan is found, and called by its name."""
    tampered = TAMPERED[how](shown(muster, ASK, "rated"))

    with pytest.raises(FalsePlanError, match=SAYS[how]):
        verify(muster, ASK, "rated", tampered)


def test_what_is_there_to_the_last_piece_passes(muster: Muster) -> None:
    """Every usable strap, and a chain with the one binder, may be taken; one more of either may not."""
    packing = shown(muster, ASK, "rated")
    ties = dict(packing.ties)
    have = {part: muster.usable.counts[part] for part in ("P/strap", "P/chain", "P/binder")}
    whole = replace(packing, ties=(("P/strap", have["P/strap"]), ("P/chain", have["P/binder"])))

    assert ties["P/strap"] < have["P/strap"]
    verify_together(muster, whole, [whole], [])
    for part, number in (("P/strap", have["P/strap"] + 1), ("P/chain", have["P/binder"] + 1)):
        over = replace(packing, ties=tuple((dict(whole.ties) | {part: number}).items()))
        with pytest.raises(FalsePlanError, match="are taken"):
            verify_together(muster, over, [over], [])


def test_parts_of_a_plan_are_the_plan(muster: Muster) -> None:
    """Parts that hold other struts, fewer ties, or together claim more than is proven are refused."""
    packing = shown(muster, ASK, "rated")

    verify_together(muster, packing, [packing], [packing])
    for says, whole, parts in (
        ("the parts of the plan are not the plan", packing, [packing, packing]),
        ("are not those of the plan", packing, [replace(packing, ties=())]),
        ("3 struts are claimed, at most 2 proven", replace(packing, bound=2), [packing]),
    ):
        with pytest.raises(FalsePlanError, match=says):
            verify_together(muster, whole, parts, [])


def test_a_strut_that_is_not_rated_is_refused(muster: Muster) -> None:
    """A plan for 6,000 lbf does not pass for 12,000 lbf, nor at four to one; it does for all that it is rated."""
    packing = shown(muster, ASK, "rated")
    rated = [muster.capacity.rated(one, ASK.shortest, ASK.longest, muster.factor(ASK)) for one, _ in packing.assemblies]

    verify(muster, replace(ASK, load=min(one for one in rated if one is not None)), "rated", packing)
    for ask in (replace(ASK, load=12_000 * NEWTON_PER_LBF), replace(ASK, factor=Fraction(4))):
        with pytest.raises(FalsePlanError, match="rated"):
            verify(muster, ask, "rated", packing)


def test_a_plan_for_another_length_is_refused(muster: Muster) -> None:
    """A plan for 60 in does not pass for 90 in."""
    packing = shown(muster, ASK, "rated")

    with pytest.raises(FalsePlanError, match="cover"):
        verify(muster, Ask(90 * INCH, 90 * INCH), "restrained", packing)


@pytest.fixture(scope="module")
def mixed() -> Muster:
    """Rescue 41 with heads and straps of a family Q, which asks three points and ties, and two bases with three.

    Of chains there are two with a binder each.  A third body locks in holes at 20, 30 and 40 in.
    """
    cache = _cache()
    three = tuple(Point(wll=5000 * NEWTON_PER_LBF) for _ in range(3))
    more: dict[str, tuple[Part, int]] = {
        "head": (
            Fitting(id="Q/head", family="Q", end=End(connector="P"), adds=2 * INCH, serves=frozenset({"head"})), 4
        ),
        "strap": (Strap(id="Q/strap", family="Q", needs={}), 6),
        "holes": (
            cache.catalogue.by_id["P/short-body"].model_copy(
                update={
                    "id": "P/holes", "closed": 20 * INCH, "open": 40 * INCH, "lock": "holes", "pull_apart": 45 * INCH,
                    "holes": Holes(pitch=10 * INCH),
                }
            ), 2,
        ),
    }  # fmt: skip
    parts = [
        part.model_copy(update={"points": three}) if part.id == "P/hinged-base" else part
        for part in cache.catalogue.parts
    ]
    parts += [part for part, _ in more.values()]
    stock = {line.part: line for line in cache.stock} | {
        part.id: Stock(part=part.id, rig="rescue-41", count=count, **SOUND_LOT) for part, count in more.values()
    }
    poorer = tuple(
        Item(
            serial=f"B{i}", part="P/hinged-base", rig="rescue-41", inspected=date(2026, 1, 10), label="legible",
            points_usable=2,
        )
        for i in range(3)
    )  # fmt: skip
    changes: dict[str, dict[str, Any]] = {
        "P/hinged-base": {"items": poorer},
        "P/strap": {"count": 12},
        "P/binder": {"count": 2},
    }
    for part, change in changes.items():
        stock[part] = stock[part].model_copy(update=change)
    catalogue = Catalogue(
        families=(*cache.catalogue.families, Family(id="Q", connectors={"Q": "P/joint-pin"})), parts=tuple(parts)
    )
    asked = (
        books.setting("FAM-1", on=False),
        *(books.setting(rule, family="Q", min=3) for rule in ("PTS-1", "STR-1")),
    )  # fmt: skip
    cache = cache.model_copy(update={"catalogue": catalogue, "stock": tuple(stock.values())})
    return Muster(cache, books.book((*cache.settings, *asked)), date(2026, 3, 1))


AT_30 = Ask(33 * INCH, 33 * INCH)
PLAIN, OTHER = ("P/hinged-base", "P/short-body", "P/edge-head"), ("P/hinged-base", "P/short-body", "Q/head")


def _planned(muster: Muster, struts: dict[tuple[str, ...], int], ties: dict[str, int]) -> Packing:
    """A plan of so many struts of these parts with these ties, claimed as it is."""
    of = {one.parts: one for one in muster.joined.assemblies()}
    count = sum(struts.values())
    return Packing(count, count, tuple((of[parts], n) for parts, n in struts.items()), tuple(ties.items()))


@pytest.mark.parametrize(
    ("struts", "ties", "says"),
    [
        # A strut of both families takes three points and three ties, as the stricter asks; two bases of five have it.
        ({PLAIN: 1, OTHER: 2}, {"P/strap": 8}, ""),
        ({OTHER: 2}, {"P/strap": 5}, "5 straps or chains on bases that take at least 6"),
        ({OTHER: 3}, {"P/strap": 9}, "3 P/hinged-base are restrained, 2 have 3 points"),
        ({PLAIN: 4, OTHER: 2}, {"P/strap": 12}, "6 P/hinged-base are restrained, 5 have 2 points"),
        ({PLAIN: 5, OTHER: 0}, {"P/strap": 10}, "5 P/short-body are taken, 4 usable"),
        # A strap of the stricter family asks three; beside one of the other it is not known which base it holds.
        ({PLAIN: 2}, {"Q/strap": 6}, ""),
        ({PLAIN: 2}, {"Q/strap": 5}, "5 straps or chains on bases that take at least 6"),
        ({PLAIN: 2}, {"P/strap": 2, "Q/strap": 2}, ""),
        # Of two struts one may stand on straps and one on chains, each with both ties alike.
        ({PLAIN: 2}, {"P/strap": 2, "P/chain": 2}, ""),
        ({PLAIN: 2}, {"P/strap": 3, "P/chain": 1}, "by straps and chains together"),
    ],
)
def test_the_strictest_family_of_a_strut_and_its_ties_is_asked(
    mixed: Muster, struts: dict[tuple[str, ...], int], ties: dict[str, int], says: str
) -> None:
    """Points and ties as the families ask, to the last piece."""
    packing = _planned(mixed, struts, ties)
    if not says:
        verify(mixed, AT_30, "restrained", packing)
        return
    with pytest.raises(FalsePlanError, match=says):
        verify(mixed, AT_30, "restrained", packing)


def test_a_family_that_asks_for_no_ties_lends_none_to_another(mixed: Muster) -> None:
    """Where P asks for none, a strut of P may stand untied, and one with a part of Q still takes its three."""
    book = books.book((*mixed.book.settings, books.setting("STR-1", family="P", on=False)))
    muster = Muster(mixed.cache, book, date(2026, 3, 1))

    verify(muster, AT_30, "restrained", _planned(muster, {PLAIN: 1, OTHER: 1}, {"P/strap": 3}))
    with pytest.raises(FalsePlanError, match="2 straps or chains on bases that take at least 3"):
        verify(muster, AT_30, "restrained", _planned(muster, {PLAIN: 1, OTHER: 1}, {"P/strap": 2}))


@pytest.mark.parametrize(
    ("body", "low", "high", "fits"),
    [
        # 26.5 to 39 in and 5 in of fittings, each end to the last nanometre.
        ("P/short-body", 31.5, 44, True), ("P/short-body", 31.5, 44 + 1e-7, False),
        ("P/short-body", 31.5 - 1e-7, 44, False),
        # A body that locks in holes only: at 25, 35 and 45 in with its fittings, nowhere between.
        ("P/holes", 35, 35, True), ("P/holes", 30, 30, False), ("P/holes", 25, 35, False),
    ],
)  # fmt: skip
def test_a_plan_covers_what_was_asked(mixed: Muster, body: str, low: float, high: float, fits: bool) -> None:
    """Whether a strut can be set to all of a range, by its body's own lengths."""
    packing = _planned(mixed, {("P/hinged-base", body, "P/edge-head"): 1}, {"P/strap": 2})
    ask = Ask(round(low * INCH), round(high * INCH))
    if fits:
        verify(mixed, ask, "restrained", packing)
    else:
        with pytest.raises(FalsePlanError, match="does not cover"):
            verify(mixed, ask, "restrained", packing)


def test_only_a_rated_step_with_a_load_asks_for_a_rating(muster: Muster) -> None:
    """A load beyond the chart is nothing to the restrained step, nor is no load to the rated one."""
    packing = shown(muster, ASK, "rated")

    verify(muster, replace(ASK, load=12_000 * NEWTON_PER_LBF), "restrained", packing)
    verify(muster, replace(ASK, load=None), "rated", packing)


def test_a_loaded_base_with_too_few_ties_is_refused() -> None:
    """By hand: 6,000 lbf at 45 deg is 4,500 lbf in each of two straps of 3,333; four hold it, and two do not."""
    need = Need(id="a", count=1, shortest=45 * INCH, longest=45 * INCH, load=ASK.load, angle=Fraction(45))
    needs = Needs(scenes=(Scene(id="s", needs=(need,)),))
    muster = muster_of(
        rescue_41(strap=4), books.book(rescue_41().settings), WhatIf(on=date(2026, 4, 1)), 30, needs=needs
    )
    packing = shown(muster, ask_of(need), "rated")
    ((strap, number),) = packing.ties

    verify(muster, ask_of(need), "rated", packing)

    assert (packing.count, number) == (1, 4)
    for left, says in ((2, "2 straps or chains on bases that push out what at least 4 hold"), (0, "no strap or chain")):
        with pytest.raises(FalsePlanError, match=says):
            verify(muster, ask_of(need), "rated", replace(packing, ties=((strap, left),) if left else ()))
