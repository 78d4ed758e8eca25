"""Struts that mix families: what a family's own settings forbid holds for every strut that uses the family."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from laws import books

from cache_check.joining.assemblies import Joinery
from cache_check.joining.explain import explain
from cache_check.model.assembly import Assembly
from cache_check.model.family import CAPTIVE, Catalogue, Family
from cache_check.model.part import Adapter, Body, End, Extension, Fitting, Part, Pin
from cache_check.model.rule import Setting

INCH = 25_400_000


def _end(name: str) -> End:
    return End(connector=name)


def _catalogue(pin: str = CAPTIVE, changes: Mapping[str, dict[str, Any]] | None = None) -> Catalogue:
    parts: tuple[Part, ...] = (
        Fitting(id="P/base", family="P", end=_end("P"), adds=INCH, serves=frozenset({"base"})),
        Extension(id="P/extension", family="P", lower=_end("P"), upper=_end("P"), length=10 * INCH),
        Adapter(id="P/adapter", family="P", lower=_end("P"), upper=_end("Q"), length=2 * INCH),
        Extension(id="Q/extension", family="Q", lower=_end("Q"), upper=_end("Q"), length=12 * INCH),
        Body(id="Q/body", family="Q", lower=_end("Q"), upper=_end("Q"), closed=20 * INCH, open=30 * INCH,
             lock="collar", pull_apart=35 * INCH),
        Fitting(id="Q/head", family="Q", end=_end("Q"), adds=INCH, serves=frozenset({"head"})),
        Pin(id="P/pin", family="P", mass=Fraction(1)),
    )  # fmt: skip
    families = (Family(id="P", connectors={"P": pin}), Family(id="Q", connectors={"Q": pin}))
    changed = tuple(part.model_copy(update=(changes or {}).get(part.id, {})) for part in parts)
    return Catalogue(families=families, parts=changed)


def _list(*settings: Setting, pin: str = CAPTIVE, pins: int = 20) -> list[Assembly]:
    catalogue = _catalogue(pin)
    pieces = {part.id: 1 for part in catalogue.parts} | {"P/pin": pins}
    return list(Joinery(catalogue, pieces, books.book(settings)).assemblies())


def _middles(listed: list[Assembly]) -> set[tuple[str, ...]]:
    return {assembly.identity[3] for assembly in listed}


def test_by_hand() -> None:
    """Base P, body and head Q: the adapter is in each, either extension or both may be."""
    assert _middles(_list()) == {
        ("P/adapter",),
        ("P/adapter", "P/extension"),
        ("P/adapter", "Q/extension"),
        ("P/adapter", "P/extension", "Q/extension"),
    }


def test_the_stricter_of_two_families_governs_a_body() -> None:
    """What the sheet of P asks of locks and of insertion holds for a body of Q in a strut that uses P."""
    changes: list[dict[str, Any]] = [{"rule": "COL-1", "locks": ("holes",)}, {"rule": "OVL-1", "min": 6 * INCH}]
    for change in changes:
        rule = change.pop("rule")
        strict = books.setting(rule, family="P", **change)
        assert not _list(strict)
        catalogue = _catalogue()
        joined = Joinery(catalogue, {}, books.book([strict]))
        stack = [catalogue.by_id[part] for part in ("P/base", "P/adapter", "Q/body", "Q/head")]
        assert [broken.rule for broken in explain(stack, joined).broken] == [rule]
        assert _list(books.setting(rule, family="R", **change))


def test_what_a_family_forbids_holds_for_a_strut_of_three() -> None:
    """With a head of R, which any end may meet where families may mix, P's word on locks is asked as without it."""
    catalogue = _catalogue()
    head = Fitting(id="R/head", family="R", end=_end("Q"), adds=INCH, serves=frozenset({"head"}))
    catalogue = catalogue.changed(parts=(*catalogue.parts, head), families=(*catalogue.families, Family(id="R")))
    mixed = books.setting("FAM-1", on=False)
    strict = books.setting("COL-1", family="P", locks=("holes",))
    pieces = {part.id: 1 for part in catalogue.parts}

    loads = [{one.load for one in Joinery(catalogue, pieces, books.book(said)).assemblies()}
             for said in ([mixed], [mixed, strict])]  # fmt: skip
    assert loads == [{"Q/head", "R/head"}, set()]


def test_bodies_that_only_another_family_tells_apart_are_told_apart() -> None:
    """Two bodies alike but for what they keep inside when open: only one keeps what P asks in its struts."""
    catalogue = _catalogue()
    shallow = catalogue.by_id["Q/body"]
    deep = shallow.model_copy(update={"id": "Q/deep", "pull_apart": 36 * INCH})
    catalogue = catalogue.changed(parts=(*catalogue.parts, deep))
    asked = books.book([books.setting("OVL-1", family="P", min=6 * INCH)])
    joined = Joinery(catalogue, {part.id: 1 for part in catalogue.parts}, asked)

    assert {assembly.body for assembly in joined.assemblies()} == {"Q/deep"}
    assert joined.count() == 4


def test_a_body_is_turned_to_have_fewer_pieces_below_it() -> None:
    """One end of the body takes fittings only: upright the extension is below it, turned over above, as is listed."""
    plain, fitting = _end("P"), End(connector="P", takes=frozenset({"fitting"}))
    parts: tuple[Part, ...] = (
        Fitting(id="P/base", family="P", end=plain, adds=INCH, serves=frozenset({"base"})),
        Extension(id="P/extension", family="P", lower=plain, upper=plain, length=10 * INCH),
        Body(id="P/body", family="P", lower=plain, upper=fitting, closed=20 * INCH, open=30 * INCH, lock="collar",
             either_way_up=True),
        Fitting(id="P/head", family="P", end=plain, adds=INCH, serves=frozenset({"head"})),
    )  # fmt: skip
    catalogue = Catalogue(families=(Family(id="P", connectors={"P": CAPTIVE}),), parts=parts)
    joined = Joinery(catalogue, {part.id: 1 for part in parts}, books.book())

    assert [(one.below, one.above) for one in joined.assemblies()] == [((), ()), ((), ("P/extension",))]


def test_the_stricter_of_two_families_governs_pins() -> None:
    """Where P asks for two pins in a joint, the joints of Q in the same strut take two as well."""
    twice = books.setting("PIN-1", family="P", per_joint=2)

    assert {dict(assembly.pins)["P/pin"] for assembly in _list(twice, pin="P/pin", pins=20)} == {6, 8, 10}
    assert {dict(assembly.pins)["P/pin"] for assembly in _list(twice, pin="P/pin", pins=6)} == {6}


def test_a_rule_on_for_one_family_is_on() -> None:
    """Extensions are limited where one family of the strut limits them and the other does not."""
    settings = (books.setting("EXT-1", family="P", max=0), books.setting("EXT-1", family="Q", max=2))

    assert _middles(_list(*settings)) == {("P/adapter",)}


def test_a_rule_off_for_the_two_that_meet_is_on_for_their_strut() -> None:
    """Q lets anything stand on its body, P does not: in a strut that uses P an extension of Q on it is not legal."""
    off = books.setting("EXT-4", family="Q", on=False)
    catalogue = _catalogue(changes={"Q/body": {"upper": End(connector="Q", takes=frozenset({"fitting"}))}})
    joined = Joinery(catalogue, {part.id: 1 for part in catalogue.parts}, books.book([off]))
    stack = [catalogue.by_id[part] for part in ("P/base", "P/adapter", "Q/body", "Q/extension", "Q/head")]

    verdict = explain(stack, joined)
    assert [broken.rule for broken in verdict.broken] == ["EXT-4"]
    assert not verdict.legal
    assert not any("Q/extension" in one.above for one in joined.assemblies())


def test_fittings_that_meet_other_ends_stand_apart() -> None:
    """A head of P has no place on a body of Q, beside one of its own family that has."""
    extra = Fitting(id="Q/odd", family="Q", end=_end("P"), adds=INCH, serves=frozenset({"head"}))
    catalogue = _catalogue()
    catalogue = catalogue.changed(parts=(extra, *catalogue.parts))
    joined = Joinery(catalogue, {part.id: 1 for part in catalogue.parts}, books.book())

    assert {one.load for one in joined.assemblies()} == {"Q/head"}


def test_an_adapter_between_does_not_hide_the_order_of_extensions() -> None:
    """Raised to stop, EXT-3 compares extensions on one side of the body although an adapter parts them.

    The body takes a fitting only on its upper end.  From the ground stand P/extension 10 in, the adapter,
    Q/extension: legal with 12 in next to the body, illegal with 8 in.
    """
    order = books.setting("EXT-3", severity="stop")
    top = {"upper": End(connector="Q", takes=frozenset({"fitting"}))}

    def both(inches: int) -> int:
        catalogue = _catalogue(changes={"Q/body": top, "Q/extension": {"length": inches * INCH}})
        joined = Joinery(catalogue, {part.id: 1 for part in catalogue.parts}, books.book([order]))
        return sum(1 for assembly in joined.assemblies() if assembly.extensions == 2)

    assert (both(12), both(8)) == (1, 0)


def test_an_order_that_only_a_mixed_strut_asks_for_is_found() -> None:
    """P lets any extension stand next to the body, Q does not: of P's two orders the one that Q takes is listed.

    The first adapter stands only under the long extension, so that either the short one stands on the long one, or
    below both.
    """
    ends = {"base": "a", "one": "ab", "two": "aQ", "short": "aa", "long": "ba"}
    adds = {"one": 1, "two": 2, "short": 10, "long": 12}
    made = [(Adapter if name in ("one", "two") else Extension)(
        id=f"P/{name}", family="P", lower=_end(ends[name][0]), upper=_end(ends[name][1]), length=n * INCH
    ) for name, n in adds.items()]  # fmt: skip
    base = Fitting(id="P/base", family="P", end=_end("a"), adds=INCH, serves=frozenset({"base"}))
    of_q = [part for part in _catalogue().parts if part.id in ("Q/body", "Q/head")]
    catalogue = _catalogue().changed(parts=(base, *made, *of_q))
    order, off = books.setting("EXT-3", severity="stop"), books.setting("EXT-3", family="P", on=False)
    more = books.setting("ADP-1", max=2)
    joined = Joinery(catalogue, {part.id: 1 for part in catalogue.parts}, books.book([order, off, more]))

    assert [one.below for one in joined.assemblies() if one.extensions == 2] == [
        ("P/short", "P/one", "P/long", "P/two")
    ]


def test_no_pins_are_listed_where_a_joint_takes_none() -> None:
    """With no pins per joint an assembly takes no pins, not "0 pins"."""
    assert {assembly.pins for assembly in _list(books.setting("PIN-1", per_joint=0), pin="P/pin")} == {()}
