"""Figures and parts in words, rounded towards safety: closed up, open down, capacity down, demand up, weight up."""

import math
from collections.abc import Iterable
from fractions import Fraction
from functools import cached_property, partialmethod
from typing import Any, Self

from cache_check import units
from cache_check.errors import listed as listed
from cache_check.frozen import dataclass
from cache_check.model.assembly import Assembly, Span
from cache_check.model.counting import Binding, NeedAsked, Packing, Tally
from cache_check.model.result import Basis
from cache_check.report.page import NOT_ASKED, Rows, Table, table
from cache_check.units import Rounding, System
from cache_check.units import ratio as ratio

UNKNOWN = "unknown"
MANY_SPANS = 4


def percent(share: Fraction) -> str:
    """A margin, rounded down to a whole per cent; one that is under 0 as what is missing."""
    return f"{math.ceil(-share * 100)}% short" if share < 0 else f"{math.floor(share * 100)}%"


def counted(count: int, noun: str) -> str:
    """A count with its noun: "1 strut", "4 struts"."""
    return f"{count:,} {noun}" + ("" if count == 1 else "s")


@dataclass(frozen=True)
class Say:
    """Says things in one unit system, calling parts by the names that the answer gives them."""

    system: System
    names: tuple[tuple[str, str], ...]

    @classmethod
    def of(cls, result: Any, system: System = "us") -> Self:
        """Says the things of an answer by its names, in the units of what it rests on, else of ``system``."""
        basis: Basis | None = getattr(result, "basis", None)
        return cls(basis.units if basis else system, getattr(result, "names", ()))

    @cached_property
    def _called(self) -> dict[str, str]:
        return dict(self.names)

    def name(self, part: str) -> str:
        """The name of a part, its id where it has none."""
        return self._called.get(part, part)

    def all_names(self, parts: Iterable[str]) -> tuple[str, ...]:
        """The names of several parts."""
        return tuple(self.name(part) for part in parts)

    @property
    def length_unit(self) -> str:
        """The unit of lengths."""
        return units.shown_unit("length", self.system)

    def heads(self, heads: str) -> str:
        """Heads of a table with units where {length}, {force} and {mass} stand."""
        return heads.format(length=self.length_unit, force=self.force_unit, mass=units.shown_unit("mass", self.system))

    def table(self, heads: str, rows: Rows, none: str = "None.") -> Table:
        """A table in these units."""
        return table(self.heads(heads), rows, none)

    def length(self, nm: int, rounding: Rounding, *, unit: bool = True) -> str:
        """A length with its unit; without it (``bare_length``) for columns that name it."""
        return units.show(nm, "length", self.system, rounding, unit=unit)

    bare_length = partialmethod(length, unit=False)

    def shown_length(self, nm: int, rounding: Rounding) -> Fraction:
        """The number that is shown for a length."""
        return units.in_shown_unit(nm, "length", self.system, rounding)

    def asked(self, shortest: int, longest: int, contact: str | None = None) -> str:
        """A length or range as it was put, without its unit; before it what the head is against."""
        ends = [units.as_asked(nm, self.system, unit=False) for nm in dict.fromkeys((shortest, longest))]
        return f"{f'on {contact}, ' if contact else ''}{' to '.join(ends)}"

    @property
    def force_unit(self) -> str:
        """The unit of forces."""
        return units.shown_unit("force", self.system)

    def force(self, newtons: Fraction | None, rounding: Rounding, *, unit: bool = True) -> str:
        """A force; "unknown" where it is."""
        return UNKNOWN if newtons is None else units.show(newtons, "force", self.system, rounding, unit=unit)

    up, down = partialmethod(force, rounding="up"), partialmethod(force, rounding="down")
    """A demand, rounded up; a capacity, rounded down; and each without its unit."""
    bare_up = partialmethod(force, rounding="up", unit=False)
    bare_down = partialmethod(force, rounding="down", unit=False)

    def size(self, nm: int) -> str:
        """The size of a chain as it is sold: sixteenths of an inch, or millimetres."""
        return f"{Fraction(nm, units.NM_PER_INCH)} in" if self.system == "us" else self.length(nm, "up")

    def at(self, factor: Fraction | None) -> str:
        """A design factor as an addition: " at 2:1"."""
        return "" if factor is None else f" at {ratio(factor)}"

    def angle(self, degrees: Fraction) -> str:
        """An angle, to the nearest tenth."""
        return units.show(degrees, "angle", self.system, "nearest")

    def pressure(self, pascal: Fraction, rounding: Rounding) -> str:
        """A pressure."""
        return units.show(pascal, "pressure", self.system, rounding)

    def load_asked(self, one: Tally | NeedAsked, factor: Fraction | None) -> str:
        """The load of a need, along the strut unless it is upright, with the angle it states and its design factor."""
        if one.load is None:
            return NOT_ASKED
        said = self.bare_up(one.load) if one.vertical is None else f"{self.bare_up(one.vertical)} upright"
        steep = "" if one.angle_deg is None else f", {float(one.angle_deg):g} deg"
        return f"{said}{steep}{self.at(factor)}"

    def reachable(self, spans: Iterable[Span]) -> str:
        """Settable lengths, none longer than it is; many single settings are counted."""
        spans = tuple(spans)
        if len(spans) > MANY_SPANS and all(low == high for low, high in spans):
            first, last = self.bare_length(spans[0][0], "up"), self.length(spans[-1][1], "down")
            return f"{len(spans)} settings from {first} to {last}, nothing between them"
        said = [text for span in spans if (text := self._span(*span))]
        return f"{'; '.join(said)} {self.length_unit}" if said else "none"

    def _span(self, low: int, high: int) -> str:
        if low == high:
            return f"at {self.bare_length(low, 'nearest')}"
        if self.shown_length(low, "up") > self.shown_length(high, "down"):
            return ""
        return f"{self.bare_length(low, 'up')} to {self.bare_length(high, 'down')}"

    def blind(self, spot: Span) -> str:
        """A blind spot, its ends being reached; widened by rounding if at all."""
        return f"over {self.bare_length(spot[0], 'down')} to under {self.length(spot[1], 'up')}"

    def stack(self, parts: Iterable[str]) -> str:
        """Parts from ground to load."""
        return " + ".join(self.all_names(parts))

    def ends(self, assembly: Assembly) -> str:
        """Closed to open."""
        if assembly.closed == assembly.open:
            return f"at {self.length(assembly.closed, 'nearest')} only"
        settings = len(assembly.spans)
        apart = f" in {settings} settings" if settings > 1 else ""
        return f"{self.bare_length(assembly.closed, 'up')} to {self.length(assembly.open, 'down')}{apart}"

    def pieces(self, counts: Iterable[tuple[str, int]]) -> str:
        """Pieces by part: "2 x strap, 1 x binder"."""
        return ", ".join(f"{count} x {self.name(part)}" for part, count in counts) or "none"

    def way(self, packing: Packing) -> str:
        """One way to build a packing, all of it at once: each kind of assembly, closed to open, then its ties."""
        said = [f"{number} x {self.stack(one.parts)} ({self.ends(one)})" for one, number in packing.assemblies]
        held = f"; held by {self.pieces(packing.ties)}" if packing.ties else ""
        return f"{', and '.join(said)}{held}" if said else ""

    def weight(self, kilograms: Fraction | None, rounding: Rounding = "up", *, unit: bool = True) -> str:
        """A weight with its unit, without it as ``bare_mass``; "unknown" where it is."""
        return UNKNOWN if kilograms is None else units.show(kilograms, "mass", self.system, rounding, unit=unit)

    bare_mass = partialmethod(weight, unit=False)

    def wants(self, binding: Binding, most: int | None = None) -> str:
        """What the next strut wants; of more than ``most`` choices the first two, and how many others there are."""
        if binding.untold:
            return f"what binds: {binding.untold}"
        more = binding.more(self._called)
        if most is not None and len(more) > most:
            more = (*more[:2], f"{len(more) - 2} other pairs")
        return f"the next wants {', or '.join(more)}" if more else "no single part and no pair allows the next"


def proven(packing: Packing) -> str:
    """The count of a packing, and how far it is proven."""
    return str(packing.count) if packing.proven else f"{packing.count} found, at most {packing.bound} (not proven)"
