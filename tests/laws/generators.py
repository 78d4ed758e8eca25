"""Random caches from a seed, in three sizes; "tight" and "scarce" ones make the obvious bounds wrong.

All are plain: connectors without gender, one per family, so that naive second opinions can be told in a few
lines.  Two in three bodies are continuous, the others lock at holes.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from random import Random

from cache_check.model.family import Catalogue, Chart, ChartRow, Family
from cache_check.model.part import Adapter, Body, End, Extension, Fitting, Holes, Part, Pin, Point, Strap
from cache_check.model.rule import RuleBook
from cache_check.units import NEWTON_PER_LBF, NM_PER_INCH
from laws import books

INCH = NM_PER_INCH


@dataclass(frozen=True)
class Size:
    """How many types and pieces; ``most_extensions`` and ``most_length`` (in) are the rules in force."""

    bodies: int
    extensions: int
    fittings: int
    adapters: int
    families: int
    pieces: int
    most_extensions: int
    most_length: int


SMALL = Size(4, 3, 4, 0, 1, 50, 2, 36)
SMALL_MIXED = Size(4, 3, 4, 1, 2, 50, 2, 36)
MEDIUM = Size(12, 8, 12, 2, 3, 600, 3, 48)
LARGE = Size(40, 25, 40, 2, 3, 10_000, 4, 36)


@dataclass(frozen=True)
class Instance:
    """A cache to pack: what it is made of, how many usable pieces, and the rules in force."""

    name: str
    catalogue: Catalogue
    counts: dict[str, int]
    book: RuleBook


def small(seed: int, flavour: str = "") -> Instance:
    """About 50 linear pieces of 4 body, 3 extension and 4 fitting types; every other seed in 2 families."""
    return instance("small", SMALL if seed % 2 == 0 else SMALL_MIXED, seed, flavour)


def medium(seed: int, flavour: str = "") -> Instance:
    """About 600 linear pieces of 12 body, 8 extension and 12 fitting types in 3 families."""
    return instance("medium", MEDIUM, seed, flavour)


def large(seed: int, flavour: str = "") -> Instance:
    """About 10,000 linear pieces of 40 body, 25 extension and 40 fitting types, up to 4 extensions."""
    return instance("large", LARGE, seed, flavour)


def instance(name: str, size: Size, seed: int, flavour: str = "") -> Instance:
    """One random cache.

    Flavours: "" ordinary; "tight", where fittings and pins barely serve the bodies; "scarce", where
    extensions are few and of uneven worth.
    """
    draw = Random(f"{name} {flavour} {seed}")
    catalogue = _catalogue(draw, size)
    counts = _counts(draw, size, catalogue, flavour)
    settings = (books.setting("EXT-1", max=size.most_extensions), books.setting("EXT-2", max=size.most_length * INCH))
    return Instance(f"{name} {flavour} {seed}".replace("  ", " "), catalogue, counts, books.book(settings))


def _catalogue(draw: Random, size: Size) -> Catalogue:
    names = [chr(ord("F") + number) for number in range(size.families)]
    parts: list[Part] = [_body(draw, names[n % len(names)], n) for n in range(size.bodies)]
    parts += [_extension(draw, names[n % len(names)], n) for n in range(size.extensions)]
    roles = [["base"], ["head"], ["base"], ["head"], ["base", "head"]]
    for n in range(size.fittings):
        parts.append(_fitting(draw, names[n // 2 % len(names)], n, roles[n % len(roles)]))
    for n in range(size.adapters):
        one, two = draw.sample(names, 2)
        parts.append(
            Adapter(
                id=f"{one}/adapter {n}", family=one, lower=End(connector=one), upper=End(connector=two),
                either_way_up=draw.random() < 0.7, length=draw.randint(0, 4) * INCH, mass=Fraction(2),
            )
        )  # fmt: skip
    parts += [Pin(id=f"{name}/pin", family=name, mass=Fraction(1, 8)) for name in names]
    parts.append(Strap(id=f"{names[0]}/strap", family=names[0], wll=3333 * NEWTON_PER_LBF))
    families = tuple(
        Family(id=name, connectors={name: f"{name}/pin"}, charts=(_chart(draw, name, size),)) for name in names
    )
    return Catalogue(families=families, parts=tuple(parts))


def _body(draw: Random, family: str, number: int) -> Body:
    closed = draw.randint(40, 90)
    opened = closed + draw.randint(20, 50)
    holes = Holes(pitch=4 * INCH // 2, fine=draw.choice([0, INCH])) if number % 3 == 2 else None
    either = draw.random() < 0.3
    return Body(
        id=f"{family}/body {number}", family=family, lower=End(connector=family), upper=End(connector=family),
        closed=closed * INCH // 2, open=opened * INCH // 2, lock="holes" if holes else "collar", holes=holes,
        either_way_up=either, mass=Fraction(draw.randint(10, 24), 2),
    )  # fmt: skip


def _extension(draw: Random, family: str, number: int) -> Extension:
    return Extension(
        id=f"{family}/extension {number}", family=family, lower=End(connector=family), upper=End(connector=family),
        length=draw.randint(10, 48) * INCH // 2, mass=Fraction(draw.randint(4, 10), 2),
    )  # fmt: skip


def _fitting(draw: Random, family: str, number: int, serves: list[str]) -> Fitting:
    points = draw.choice([2, 2, 2, 4, 1]) if "base" in serves and "head" not in serves else draw.choice([0, 2])
    if number < 4 and "base" in serves:
        points = max(2, points)  # so that no small cache is without a base to restrain
    return Fitting(
        id=f"{family}/fitting {number}", family=family, end=End(connector=family),
        adds=draw.randint(2, 10) * INCH // 2, serves=frozenset(serves),
        points=(Point(wll=5000 * NEWTON_PER_LBF),) * points, mass=Fraction(draw.randint(2, 6), 2),
    )  # fmt: skip


def _chart(draw: Random, family: str, size: Size) -> Chart:
    load = draw.randint(20, 28)
    rows = []
    for number in range(10):
        length = 36 + 12 * number
        loads = [36000 * load * (10 - column) // (10 * length) for column in range(size.most_extensions + 1)]
        cells = tuple(
            value * NEWTON_PER_LBF if load > 2 * number + 2 * column else None for column, value in enumerate(loads)
        )
        rows.append(ChartRow(length=length * INCH, loads=cells))
    return Chart(id=f"{family}/chart", family=family, states="failure load", rows=tuple(rows))


def _counts(draw: Random, size: Size, catalogue: Catalogue, flavour: str) -> dict[str, int]:
    share = {"body": 0.25, "extension": 0.25, "adapter": 0.02, "fitting": 0.48}
    if flavour == "scarce":
        share = {"body": 0.3, "extension": 0.1, "adapter": 0.02, "fitting": 0.58}
    elif flavour == "tight":
        share = {"body": 0.31, "extension": 0.31, "adapter": 0.02, "fitting": 0.36}
    types = {kind: [part.id for part in catalogue.parts if part.kind == kind] for kind in share}
    counts = {part: n for kind, ids in types.items() for part, n in _dealt(draw, ids, round(size.pieces * share[kind]))}
    bodies = sum(counts[part] for part in types["body"])
    pins = {"tight": 2.6, "scarce": 4.0}.get(flavour, 3.5)
    straps = {"tight": 1.9}.get(flavour, 2.2)
    for part in catalogue.parts:
        if part.kind == "pin":
            own = sum(counts[i] for i in types["body"] if catalogue.by_id[i].family == part.family)
            counts[part.id] = round(own * pins) + 2
        elif part.kind == "strap":
            counts[part.id] = round(bodies * straps)
    return counts


def _dealt(draw: Random, ids: list[str], pieces: int) -> Iterable[tuple[str, int]]:
    """Pieces dealt over types unevenly, each at least one."""
    weights = [draw.uniform(0.3, 1.7) for _ in ids]
    total = sum(weights)
    return [(part, max(1, round(pieces * weight / total))) for part, weight in zip(ids, weights, strict=True)]
