"""Ordinary rigs from a seed: what a rescue company carries, and the scenes it asks about.

A rig has one to three families of struts, some joined by an adapter; bodies that lock anywhere or at holes of
1.5 in; extensions, bases, heads, pins, straps, at times chain and binders; 60 to 150 pieces in all.  Some pieces
have serials, and a few of these are out: at repair, overdue or with a bad eye.  Sets lie built on half the rigs, in
compartments that most rigs state.  Four to twelve scenes want one to three kinds of strut each.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from random import Random
from typing import Any

from laws import books

from cache_check.joining.assemblies import Joinery
from cache_check.joining.stock import as_new
from cache_check.model.assembly import Assembly
from cache_check.model.cache import Cache, Compartment, Item, ReadySet, Stock
from cache_check.model.family import Catalogue, Chart, ChartRow, Family
from cache_check.model.need import Need, Needs, Scene
from cache_check.model.part import (
    Adapter,
    Body,
    Chain,
    End,
    Extension,
    Fitting,
    Footprint,
    Hardware,
    Holes,
    Part,
    Pin,
    Point,
    Strap,
)
from cache_check.model.purchase import Price, Prices
from cache_check.model.rule import RuleBook
from cache_check.units import KG_PER_LB, NEWTON_PER_LBF, NM_PER_INCH

INCH = NM_PER_INCH
TODAY = date(2026, 11, 25)


@dataclass(frozen=True)
class Ordinary:
    """One rig, the rules in force, its scenes, and a quote for every part."""

    name: str
    cache: Cache
    book: RuleBook
    needs: Needs
    prices: Prices

    @property
    def pieces(self) -> int:
        """Pieces on the book."""
        return sum(self.cache.counted.values())


def ordinary(seed: int) -> Ordinary:
    """The rig of a seed."""
    return _Maker(Random(f"ordinary {seed}")).made(f"ordinary {seed}")


class _Maker:
    """Draws one rig, part by part."""

    def __init__(self, draw: Random) -> None:
        self.draw = draw
        self.names = ["K", "L", "M"][: draw.choice([1, 1, 2, 2, 3])]
        self.parts: list[Part] = []
        self.counts: dict[str, int] = {}

    def made(self, name: str) -> Ordinary:
        """The rig with its scenes and a quote."""
        share = self.draw.choice([60, 80, 100, 120, 150]) // len(self.names)
        for family in self.names:
            self._family(family, share)
        for lower, upper in zip(self.names, self.names[1:], strict=False):
            self._add(
                Adapter(
                    id=f"{lower}/adapter-{upper}", family=lower, lower=End(connector=lower),
                    upper=End(connector=upper), either_way_up=True, length=self._inches(1, 4), mass=self._pounds(3, 7),
                ),
                self.draw.randint(1, 3),
            )  # fmt: skip
        catalogue = Catalogue(families=tuple(map(self._sheet, self.names)), parts=tuple(self.parts))
        book = books.book()
        legal = tuple(Joinery(catalogue, self.counts, book).assemblies())
        cache = Cache(
            id="rig", title=f"Rig {name}", units="us", book_date=TODAY, catalogue=catalogue, stock=self._stock(),
            compartments=self._compartments(), ready_sets=self._ready(legal), rigs=("rig",),
        )  # fmt: skip
        return Ordinary(name, cache, book, self._needs(legal), self._prices())

    def _inches(self, least: int, most: int) -> int:
        return self.draw.randint(2 * least, 2 * most) * INCH // 2

    def _pounds(self, least: int, most: int) -> Fraction:
        return Fraction(self.draw.randint(2 * least, 2 * most), 2) * KG_PER_LB

    def _add(self, part: Part, count: int) -> None:
        self.parts.append(part)
        self.counts[part.id] = count

    def _family(self, family: str, pieces: int) -> None:
        draw, end = self.draw, End(connector=family)
        each = max(1, pieces // 24)
        holes = draw.random() < 0.5
        for n in range(draw.randint(2, 3)):
            closed = self._inches(18 + 12 * n, 26 + 14 * n)
            lock: dict[str, Any] = (
                {"lock": "holes", "holes": Holes(pitch=3 * INCH // 2, fine=draw.choice([0, 0, 3 * INCH // 2]))}
                if holes
                else {"lock": "collar"}
            )
            opened = closed + draw.randint(8, 20) * 3 * INCH // 2
            fields = {"family": family, "lower": end, "upper": end, "either_way_up": draw.random() < 0.3}
            body = Body(
                id=f"{family}/body-{n}", closed=closed, open=opened, pull_apart=opened + 6 * INCH,
                mass=self._pounds(11 + 6 * n, 16 + 10 * n), **fields, **lock,
            )  # fmt: skip
            self._add(body, draw.randint(1, 2 * each))
        for n in range(draw.randint(2, 4)):
            extension = Extension(
                id=f"{family}/extension-{n}", family=family, lower=end, upper=end,
                length=draw.choice([6, 10, 12, 18, 24]) * INCH + n * INCH, mass=self._pounds(3 + 2 * n, 5 + 3 * n),
            )  # fmt: skip
            self._add(extension, draw.randint(1, 2 * each))
        self._fittings(family, each)
        self._add(Pin(id=f"{family}/pin", family=family, mass=KG_PER_LB / 4), draw.randint(6, 14) * each)
        strap = Strap(
            id=f"{family}/strap",
            family=family,
            wll=3333 * NEWTON_PER_LBF,
            length=27 * 12 * INCH,
            mass=self._pounds(2, 4),
        )
        self._add(strap, draw.randint(4, 9) * each)
        if draw.random() < 0.4:
            binder = Hardware(id=f"{family}/binder", family=family, wll=5400 * NEWTON_PER_LBF, mass=self._pounds(6, 9))
            chain = Chain(
                id=f"{family}/chain", family=family, grade=70, wll=6600 * NEWTON_PER_LBF, length=20 * 12 * INCH,
                needs={binder.id: 1}, mass=self._pounds(18, 24),
            )  # fmt: skip
            self._add(binder, draw.randint(1, 4))
            self._add(chain, draw.randint(1, 4))

    def _fittings(self, family: str, each: int) -> None:
        draw, end = self.draw, End(connector=family)
        serves = [["base"], ["head"], ["head"], ["base", "head"], ["head"], ["base"]]
        for n in range(draw.randint(3, 6)):
            side = draw.randint(6, 12) * INCH
            fitting = Fitting(
                id=f"{family}/fitting-{n}", family=family, end=end, adds=self._inches(1, 4), serves=serves[n],
                points=(Point(wll=6000 * NEWTON_PER_LBF),) * (2 if n in (0, 5) else draw.choice([0, 0, 2])),
                footprint=Footprint(length=side, width=side), mass=self._pounds(2, 7),
            )  # fmt: skip
            self._add(fitting, draw.randint(2, 2 * each + 2) if "base" in serves[n] else draw.randint(1, 2 * each))

    def _sheet(self, family: str) -> Family:
        load = self.draw.randint(36, 60)
        rows = tuple(
            ChartRow(
                length=(36 + 12 * n) * INCH,
                loads=tuple(
                    (load - 3 * n - 2 * column) * 1000 * NEWTON_PER_LBF if load - 3 * n - 2 * column > 3 else None
                    for column in range(4)
                ),
            )
            for n in range(12)
        )
        chart = Chart(id=f"{family}/chart", family=family, states="failure load", rows=rows)
        return Family(id=family, connectors={family: f"{family}/pin"}, charts=(chart,))

    def _stock(self) -> tuple[Stock, ...]:
        return tuple(
            as_new(part.id, "rig", self.counts[part.id], TODAY).changed(items=self._items(part)) for part in self.parts
        )

    def _items(self, part: Part) -> tuple[Item, ...]:
        """Serials for one part in three, one in six of these out of use."""
        if part.kind in ("pin", "hardware") or self.draw.random() < 0.65:
            return ()
        return tuple(self._item(part, n) for n in range(self.counts[part.id]))

    def _item(self, part: Part, number: int) -> Item:
        draw = self.draw
        looked = TODAY - timedelta(days=draw.randint(20, 300))
        fields: dict[str, Any] = {"inspected": looked, "label": "legible", "acquired": TODAY - timedelta(days=700)}
        if draw.random() < 0.16:
            fields |= draw.choice(
                [
                    {"status": "repair"},
                    {"status": "loaned"},
                    {"inspected": TODAY - timedelta(days=900)},
                    {"status": "missing"},
                ]
            )
        points = {"points_usable": 1} if part.kind == "fitting" and draw.random() < 0.1 else {}
        return Item(serial=f"{part.name} {number}", part=part.id, rig="rig", **(fields | points))

    def _compartments(self) -> tuple[Compartment, ...]:
        draw = self.draw
        return tuple(
            Compartment(
                id=f"locker {n}", rig="rig", length=draw.randint(44, 84) * INCH, clearance=INCH,
                width=draw.choice([None, 24 * INCH, 36 * INCH]), height=draw.choice([None, 14 * INCH]),
                carries=draw.choice([None, 300 * KG_PER_LB]), diagonal=draw.random() < 0.3,
            )
            for n in range(draw.choice([0, 1, 2, 2, 3]))
        )  # fmt: skip

    def _ready(self, legal: tuple[Assembly, ...]) -> tuple[ReadySet, ...]:
        if not legal or self.draw.random() < 0.5:
            return ()
        left, found = dict(self.counts), []
        for n in range(self.draw.randint(1, 4)):
            parts = self.draw.choice(legal).parts
            if all(left[part] >= parts.count(part) for part in parts):
                for part in parts:
                    left[part] -= 1
                found.append(ReadySet(id=f"set {n}", rig="rig", parts=parts))
        return tuple(found)

    def _needs(self, legal: tuple[Assembly, ...]) -> Needs:
        scenes = tuple(
            Scene(
                id=f"scene {s}",
                needs=tuple(self._need(n, legal) for n in range(self.draw.choice([1, 1, 2, 2, 3]))),
                weight=self.draw.choice([1, 1, 2, 3, 5]),
            )
            for s in range(self.draw.randint(4, 12))
        )
        return Needs(title="Scenes", scenes=scenes)

    def _need(self, number: int, legal: tuple[Assembly, ...]) -> Need:
        draw = self.draw
        low, high = draw.choice(draw.choice(legal).spans) if legal else (36 * INCH, 40 * INCH)
        at = draw.randint(-(-low // INCH), max(-(-low // INCH), high // INCH)) * INCH if draw.random() < 0.8 else low
        to = min(high, at + draw.choice([0, 0, 3, 6]) * INCH)
        return Need(
            id=f"need {number}", count=draw.choice([1, 2, 2, 3, 4]), shortest=at, longest=max(at, to),
            load=draw.choice([None, 2000, 4000, 6000]) and draw.randint(2, 9) * 1000 * NEWTON_PER_LBF,
            restrained=draw.random() < 0.8,
        )  # fmt: skip

    def _prices(self) -> Prices:
        base = {"body": 900, "extension": 260, "adapter": 300, "fitting": 190, "pin": 9, "strap": 48, "chain": 85}
        return Prices(
            title="Quote", currency="USD",
            prices=tuple(
                Price(
                    part=part.id, price=(base.get(part.kind, 70) + self.draw.randint(0, 90)) * 100,
                    pack=self.draw.choice([1, 1, 1, 4]) if part.kind in ("pin", "strap") else 1,
                )
                for part in self.parts
            ),
        )  # fmt: skip
