"""Drawn caches: small enough for the dumb oracle, odd enough to meet every kind of joint and limit.

Lengths are few whole inches, so that limits are often met exactly.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from fractions import Fraction
from math import prod
from typing import Any

from builders import SOUND_LOT, SOUND_PIECE
from hypothesis import HealthCheck, Phase, assume, settings
from hypothesis import strategies as st

from cache_check.model.cache import Cache, Item, Stock
from cache_check.model.family import CAPTIVE, Catalogue, Chart, ChartRow, Family, Mate
from cache_check.model.part import (
    Adapter,
    Body,
    Chain,
    End,
    Extension,
    Fitting,
    Hardware,
    Holes,
    Part,
    Pin,
    Point,
    Strap,
    Strength,
)
from cache_check.model.record import Record
from cache_check.model.rule import RuleBook, Setting
from cache_check.units import NEWTON_PER_LBF, NM_PER_INCH
from laws import books, oracles

# Shrinking a failing cache takes minutes, since the oracle is slow: ask for it when a failure is to be understood.
_SHRINK = (Phase.shrink,) if os.environ.get("LAWS_SHRINK") else ()


def some(count: int, **more: Any) -> settings:
    """Settings of a law: of ``count`` examples, as many per cent as the profile of ``tests/conftest.py`` says."""
    held: dict[str, Any] = {
        "phases": (Phase.explicit, Phase.generate, *_SHRINK),
        "derandomize": True,
        "deadline": None,
        "report_multiple_bugs": False,
        "suppress_health_check": [HealthCheck.too_slow, HealthCheck.data_too_large],
    }
    return settings(max_examples=max(4, count * settings().max_examples // 100), **held | more)


SETTINGS = some(80)
THOROUGH = settings().max_examples > 100
"""Whether ``LAWS=thorough`` asks for what takes long too."""


def bearable(rig: oracles.Rig) -> oracles.Rig:
    """The rig, unless it makes so many assemblies that trying all takes the oracle more than a moment."""
    assume(THOROUGH or len(rig.found) <= 60)
    return rig


FAMILIES = ("P", "Q")
INCH = NM_PER_INCH


def _short(value: Any) -> str:
    """A record by the fields that are not at their defaults."""
    if isinstance(value, tuple):
        return f"({', '.join(map(_short, value))})"
    if not isinstance(value, Record):
        return repr(value)
    fields = {name: getattr(value, name) for name in type(value).model_fields}
    default = {name: of.get_default(call_default_factory=True) for name, of in type(value).model_fields.items()}
    said = [f"{name}={_short(held)}" for name, held in fields.items() if held != default[name]]
    return f"{type(value).__name__}({', '.join(said)})"


@dataclass(frozen=True, repr=False)
class Drawn:
    """A drawn cache: catalogue, usable pieces by part id, rules, and fittings with damaged points.

    ``damaged`` are pieces of a fitting with no usable attachment point left.
    """

    catalogue: Catalogue
    counts: dict[str, int]
    book: RuleBook
    damaged: dict[str, int]

    def __repr__(self) -> str:
        """Only what differs from the defaults; hypothesis warns of long texts, and a warning is an error here."""
        parts = [
            f"{self.counts[part.id]} (damaged {self.damaged.get(part.id, 0)}) of {_short(part)}"
            for part in self.catalogue.parts
            if part.id in self.counts
        ]
        lines = [*map(_short, self.catalogue.families), *parts, *map(_short, self.book.settings)]
        return "\n  ".join(["Drawn(", *lines]) + "\n)"

    def _repr_pretty_(self, printer: Any, cycle: bool) -> None:
        """How hypothesis prints it."""
        printer.text(repr(self))

    @property
    def cache(self) -> Cache:
        """The same as a person would write it, damaged fittings by serial."""
        return Cache(
            id="drawn", title="Drawn", units="us", catalogue=self.catalogue, rigs=("drawn",),
            stock=tuple(
                Stock(
                    part=part, rig="drawn", count=count, **SOUND_LOT,
                    items=tuple(
                        Item(serial=f"{part} {number}", part=part, rig="drawn", points_usable=0, **SOUND_PIECE)
                        for number in range(self.damaged.get(part, 0))
                    ),
                )
                for part, count in self.counts.items()
            ),
        )  # fmt: skip

    @property
    def rig(self) -> oracles.Rig:
        """The oracle's view of it."""
        return oracles.Rig(self.catalogue, self.counts, self.book, self.damaged)


def inches(low: int, high: int) -> st.SearchStrategy[int]:
    """A length of whole inches, in nm."""
    return st.integers(low, high).map(lambda number: number * INCH)


def pounds(low: int, high: int) -> st.SearchStrategy[Fraction]:
    """A force of whole thousands of pounds-force, in N."""
    return st.integers(low, high).map(lambda number: number * 1000 * NEWTON_PER_LBF)


def seldom(times: int) -> st.SearchStrategy[bool]:
    """True once in so many times."""
    return st.integers(1, times).map(lambda number: number == times)


LIMIT = 5000 * NEWTON_PER_LBF
"""The working load limit of every point, strap, chain and piece of hardware."""
ODD = ("gender", "keys", "takes", "turned", "holes", "locks", "strengths", "mates", "scarce")
"""What may be odd about a cache.  Each drawn cache has a few of these, so that each is met at its fullest."""


@st.composite
def ends(draw: st.DrawFn, family: str, odd: frozenset[str], gender: str) -> End:
    """An end of a family, of the gender that fits where makers put it unless the cache is odd."""
    connector = family
    if "gender" in odd:
        other = "plug" if gender == "socket" else "socket"
        connector = f"{family}-tube {other if draw(seldom(5)) else gender}"
    if "keys" in odd and draw(seldom(3)):
        connector = f"{family}-key"
    kinds: list[Any] = ["body", "extension", "adapter", "fitting"]
    takes = None
    if "takes" in odd and draw(seldom(3)):
        takes = draw(st.frozensets(st.sampled_from(kinds), min_size=1, max_size=3))
    return End(connector=connector, takes=takes)


def strengths() -> st.SearchStrategy[Strength | None]:
    """Mostly none; else a failure load, or a rated load with or without its factor."""
    return st.one_of(
        st.none(),
        st.none(),
        st.none(),
        pounds(4, 24).map(lambda load: Strength(failure_load=load)),
        pounds(2, 12).map(lambda load: Strength(rated_load=load, factor=Fraction(2))),
        pounds(2, 12).map(lambda load: Strength(rated_load=load)),
    )


def _strength(odd: frozenset[str]) -> st.SearchStrategy[Strength | None]:
    return strengths() if "strengths" in odd else st.none()


def _turned(odd: frozenset[str]) -> st.SearchStrategy[bool]:
    return st.booleans() if "turned" in odd else st.just(False)


@st.composite
def bodies(draw: st.DrawFn, family: str, number: int, odd: frozenset[str]) -> Body:
    """A body: continuous or with holes, sometimes turned, locked wrongly, or short of insertion."""
    closed = draw(inches(8, 20))
    opened = closed + draw(inches(0, 12))
    locks = ["collar", "holes"] if "holes" in odd else ["collar"]
    lock = draw(st.sampled_from([*locks, "pin only", "unknown"] if "locks" in odd else locks))
    holes = None
    if lock == "holes":
        first = draw(st.one_of(st.none(), inches(closed // INCH, opened // INCH)))
        fine = draw(st.sampled_from([0, INCH // 2, INCH, 2 * INCH]))
        holes = Holes(pitch=draw(inches(1, 4)), first=first, fine=fine)
    pull_apart = opened + draw(inches(2, 8)) if "locks" in odd and draw(st.booleans()) else None
    return Body(
        id=f"{family}/body {number}", family=family, lower=draw(ends(family, odd, "socket")),
        upper=draw(ends(family, odd, "plug")), either_way_up=draw(_turned(odd)), closed=closed, open=opened,
        lock=lock, holes=holes, pull_apart=pull_apart, strength=draw(_strength(odd)), mass=draw(masses()),
    )  # fmt: skip


def masses() -> st.SearchStrategy[Fraction | None]:
    """Quarter kilograms; now and then unknown."""
    known = st.integers(1, 40).map(lambda quarters: Fraction(quarters, 4))
    return seldom(20).flatmap(lambda unknown: st.none() if unknown else known)


@st.composite
def extensions(draw: st.DrawFn, family: str, number: int, odd: frozenset[str]) -> Extension:
    """An extension, sometimes turned."""
    return Extension(
        id=f"{family}/extension {number}", family=family, lower=draw(ends(family, odd, "socket")),
        upper=draw(ends(family, odd, "plug")), either_way_up=draw(_turned(odd)), length=draw(inches(2, 8)),
        strength=draw(_strength(odd)), mass=draw(masses()),
    )  # fmt: skip


@st.composite
def fittings(draw: st.DrawFn, family: str, number: int, odd: frozenset[str]) -> Fitting:
    """A fitting: the first is a base, the second a head, more serve at the ground, at the load, or at either."""
    choices: list[set[Any]] = [{"base"}, {"head"}, {"base", "head"}]
    serves = choices[number] if number < 2 else draw(st.sampled_from([*choices, choices[2]]))
    gender = draw(st.sampled_from(["plug", "socket"])) if len(serves) == 2 else "plug" if "base" in serves else "socket"
    return Fitting(
        id=f"{family}/fitting {number}", family=family, end=draw(ends(family, odd, gender)),
        adds=draw(inches(0, 4)), serves=frozenset(serves),
        points=(Point(wll=LIMIT),) * draw(st.sampled_from([0, 1, 2, 2, 3])),
        strength=draw(_strength(odd)), mass=draw(masses()),
    )  # fmt: skip


@st.composite
def adapters(draw: st.DrawFn, families: tuple[str, ...], number: int, odd: frozenset[str]) -> Adapter:
    """An adapter, mostly from one family's connector to the other's; on paper it is of one of them."""
    one, two = draw(st.permutations(families))[:2] if len(families) > 1 else families * 2
    if draw(seldom(4)):
        two = one
    return Adapter(
        id=f"{one}/adapter {number}", family=one, lower=draw(ends(one, odd, "socket")),
        upper=draw(ends(two, odd, "plug")), either_way_up=draw(st.booleans()), length=draw(inches(0, 4)),
        mass=draw(masses()),
    )  # fmt: skip


@st.composite
def charts(draw: st.DrawFn, family: str) -> tuple[Chart, ...]:
    """Mostly one chart of a few rows, with blanks; it falls with length and with extensions unless a cell is odd."""
    lengths = sorted(draw(st.sets(inches(10, 48), max_size=4)))
    if not lengths:
        return ()
    top, fall = draw(pounds(4, 24)), draw(st.sampled_from([0, 1, 2]))
    columns = draw(st.lists(st.sampled_from([Fraction(1), Fraction(9, 10), Fraction(1, 2)]), min_size=1, max_size=3))
    loads = [
        [top * Fraction(lengths[0], length) ** fall * prod(columns[: n + 1]) for n in range(len(columns))]
        for length in lengths
    ]
    if draw(seldom(5)):
        row, odd = draw(st.sampled_from(loads)), draw(st.sampled_from([Fraction(10), Fraction(1, 10), Fraction(9, 8)]))
        row[draw(st.integers(0, len(row) - 1))] *= odd
    states = draw(st.sampled_from(["failure load", "rated load"]))
    factor = draw(st.sampled_from([None, Fraction(2), Fraction(4)])) if states == "rated load" else None
    rows = tuple(
        ChartRow(length=length, loads=tuple(None if draw(seldom(5)) else load for load in row))
        for length, row in zip(lengths, loads, strict=True)
    )
    return (Chart(id=f"{family}/chart", family=family, states=states, factor=factor, rows=rows),)


@st.composite
def family_records(draw: st.DrawFn, name: str, odd: frozenset[str]) -> Family:
    """A family: its connectors' pins, and in some caches a listed pair of unlike mates."""
    pins = st.sampled_from([f"{name}/pin", f"{name}/pin", CAPTIVE])
    found = {connector: draw(pins) for connector in (name, f"{name}-tube", f"{name}-key")}
    listed: tuple[Mate, ...] = ()
    if "mates" in odd:
        # Their joint may take another pin than either connector's own: then the way up of a part decides its pins.
        listed = (Mate(ends=(f"{name}-key", name), pin=draw(pins)),)
        if draw(st.booleans()):
            listed += (Mate(ends=(f"{name}-key", f"{name}-key"), pin=draw(pins)),)
    return Family(id=name, connectors=found, mates=listed, charts=draw(charts(name)))


def ties() -> tuple[Part, ...]:
    """The ties of every drawn cache: two straps, a chain that needs hooks and a binder, and these."""
    return (
        Strap(id="P/strap", family="P", wll=LIMIT),
        Strap(id="P/long strap", family="P", wll=LIMIT),
        Chain(id="P/chain", family="P", wll=LIMIT, needs={"P/hook": 2, "P/binder": 1}),
        Hardware(id="P/hook", family="P", wll=LIMIT),
        Hardware(id="P/binder", family="P", wll=LIMIT),
    )


@st.composite
def catalogues(draw: st.DrawFn, odd: frozenset[str], *, most_families: int = 2) -> Catalogue:
    """A catalogue of one or two families with every kind of part that is counted."""
    names = FAMILIES[: draw(st.integers(1, most_families))]
    parts: list[Part] = []
    for name in names:
        parts += [draw(bodies(name, n, odd)) for n in range(draw(st.integers(1, 2)))]
        parts += [draw(extensions(name, n, odd)) for n in range(draw(st.integers(0, 2)))]
        parts += [draw(fittings(name, n, odd)) for n in range(draw(st.integers(2, 3)))]
        parts.append(Pin(id=f"{name}/pin", family=name, mass=Fraction(1, 8)))
    adapting = st.sampled_from([0, 1, 1, 2]) if len(names) > 1 else seldom(5).map(int)
    parts += [draw(adapters(names, n, odd)) for n in range(draw(adapting))]
    families = tuple(draw(family_records(name, odd)) for name in names)
    return Catalogue(families=families, parts=(*draw(st.permutations(parts)), *ties()))


_MOST = {"body": 3, "extension": 2, "adapter": 2, "fitting": 4, "pin": 12, "strap": 5, "chain": 4, "hardware": 5}


@st.composite
def counts(draw: st.DrawFn, catalogue: Catalogue, odd: frozenset[str]) -> dict[str, int]:
    """Usable pieces: few of each; pins aplenty unless the cache is scarce of them."""
    found = {}
    for part in catalogue.parts:
        most = _MOST[part.kind]
        aplenty = part.kind == "pin" and "scarce" not in odd
        found[part.id] = most if aplenty else draw(st.integers(0 if draw(seldom(4)) else 1, most))
    return found


def _settings() -> st.SearchStrategy[Setting]:
    def on_off(*rules: str) -> st.SearchStrategy[Setting]:
        return st.builds(lambda rule: books.setting(rule, on=False), st.sampled_from(rules))

    def value(rule: str, family: str | None, **values: Any) -> Setting:
        return books.setting(rule, family=family, **values)

    where = st.sampled_from([None, None, "P", "Q"])
    few = st.integers(0, 3)
    return st.one_of(
        st.builds(lambda f, n: value("EXT-1", f, max=n), where, few),
        st.builds(lambda f, n: value("EXT-2", f, max=n), where, inches(2, 16)),
        st.builds(lambda f, n: value("ADP-1", f, max=n), where, st.integers(0, 2)),
        st.builds(lambda f, n: value("OVL-1", f, min=n), where, inches(2, 8)),
        st.builds(lambda f, n: value("PIN-1", f, per_joint=n), where, st.integers(0, 2)),
        st.builds(lambda f, n: value("PTS-1", f, min=n), where, few),
        st.builds(lambda f, n: value("STR-1", f, min=n), where, few),
        st.builds(
            lambda f, n: value("COL-1", f, locks=n), where, st.sampled_from([("collar",), ("holes", "pin only"), ()])
        ),
        st.just(books.setting("EXT-3", severity="stop")),
        on_off("EXT-1", "EXT-2", "EXT-4", "MAT-4", "FAM-1", "ADP-1", "COL-1", "OVL-1", "PIN-1"),
        on_off("PTS-1", "STR-1", "STR-4"),
    )


def rule_books() -> st.SearchStrategy[RuleBook]:
    """The delivered rules, half the time changed in up to three ways, for everyone or for one family."""
    number = st.sampled_from([0, 0, 1, 2, 3])
    return number.flatmap(lambda n: st.lists(_settings(), min_size=n, max_size=n)).map(books.book)


@st.composite
def caches(draw: st.DrawFn, *, most_families: int = 2, odd: frozenset[str] | None = None) -> Drawn:
    """A whole drawn cache that the oracle can bear, odd in a few ways, or in just those given."""
    book = draw(rule_books())
    odd = frozenset(draw(st.sets(st.sampled_from(ODD), max_size=3))) if odd is None else odd
    catalogue = draw(catalogues(odd, most_families=most_families))
    pieces = draw(counts(catalogue, odd))
    middles = [part.id for part in catalogue.parts if part.kind in ("extension", "adapter")]
    while sum(pieces[part] for part in middles) > 5:
        pieces[max(middles, key=lambda part: pieces[part])] -= 1
    damaged = {}
    for part in catalogue.parts:
        if part.kind == "fitting" and part.points and draw(seldom(4)):
            damaged[part.id] = draw(st.integers(0, pieces[part.id]))
    return Drawn(catalogue, pieces, book, damaged)


@st.composite
def lengths(draw: st.DrawFn, ends_nm: list[int]) -> tuple[int, int]:
    """A length or a range to cover, often with its ends exactly on ends of reaches."""
    at = st.sampled_from(ends_nm) if ends_nm else inches(10, 40)
    one, two = sorted((draw(at), draw(st.one_of(at, inches(10, 40)))))
    return draw(st.sampled_from([(one, one), (two, two), (one, two)]))


def turned_caches(*, most_families: int = 2) -> st.SearchStrategy[Drawn]:
    """Caches with few pins, where the way up that a part sits can decide which it takes."""
    return caches(most_families=most_families, odd=frozenset({"turned", "keys", "mates", "scarce"}))
