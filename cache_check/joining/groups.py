"""Groups: parts that the joint rules cannot tell apart, and the shapes of stack that groups may form.

The joints of a stack depend only on its groups, so legality is settled once per shape, not once per
assembly.  Lengths, stock and the parts themselves come in afterwards (``assemblies.py``).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from operator import add, mul
from typing import NamedTuple

from cache_check.joining.joints import Joints
from cache_check.joining.kind import Kind
from cache_check.joining.seats import PLACES, Place, Seat, families_of, seats
from cache_check.model.part import Body, Fitting, Part, TwoEnded

Vector = tuple[int, ...]
"""How many pieces of each piece group a stack has."""


@dataclass(frozen=True)
class Group:
    """Parts alike to the joint rules, in a fixed order, with their usable counts."""

    parts: tuple[Part, ...]
    counts: tuple[int, ...]

    @property
    def family(self) -> str:
        """The family of all its parts."""
        return self.parts[0].family

    @property
    def pieces(self) -> int:
        """Usable pieces in all."""
        return sum(self.counts)

    def seats(self, place: Place, joints: Joints) -> tuple[Seat, ...]:
        """The ways any of its parts may sit in a place under the rules."""
        return tuple(seat for seat in seats(self.parts[0], place) if joints.may_sit(seat))


@dataclass(frozen=True)
class Side:
    """A legal run of pieces on one side of the body, from the fitting inward: group numbers, and its pins."""

    groups: tuple[int, ...]
    pins: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class Shape:
    """A legal shape: piece groups below and above the body (ground to load), and the loose pins it takes."""

    vector: Vector
    below: tuple[int, ...]
    above: tuple[int, ...]
    pins: tuple[tuple[str, int], ...]
    families: frozenset[str]


def sort_key(part: Part) -> tuple[int, int, str]:
    """The fixed order of parts: shorter first, then by id; free of the order of the files."""
    if isinstance(part, Body):
        return (part.closed, part.open, part.id)
    if isinstance(part, Fitting):
        return (part.adds, 0, part.id)
    return (getattr(part, "length", 0) or 0, 0, part.id)


class Limit(NamedTuple):
    """A bound on a sum over the pieces of a stack: what a piece adds, and the most that is allowed."""

    kind: Kind
    most: int


@dataclass(frozen=True)
class _Run:
    """A run of pieces from a fitting inward: the innermost seat, and what has been passed."""

    seat: Seat
    vector: Vector
    groups: tuple[int, ...]
    pins: tuple[tuple[str, int], ...]


class Groups:
    """The parts of a stock in groups, and every legal shape between a base group, a body group and a head group."""

    def __init__(self, joints: Joints, counts: dict[str, int]) -> None:
        self.joints = joints
        self.counts = counts
        parts = sorted((p for p in joints.catalogue.parts if counts.get(p.id, 0) > 0), key=sort_key)
        self.pieces = self._grouped(parts, ("extension", "adapter"))
        self.bodies = self._grouped(parts, ("body",))
        self.fittings = self._grouped(parts, ("fitting",))
        self._met: dict[tuple[Place, int, int, int], list[_Run]] = {}
        self._joined: dict[tuple[int, int], bool] = {}
        self._families: dict[Vector, frozenset[str]] = {}
        self._limits: dict[frozenset[str], tuple[Limit, ...]] = {}
        self._least: dict[Kind, tuple[int, ...]] = {
            kind: tuple(min(kind.measure(p) for p in group.parts) for group in self.pieces) for kind in joints.stopping
        }

    def _grouped(self, parts: list[Part], kinds: tuple[str, ...]) -> tuple[Group, ...]:
        found: dict[object, list[Part]] = {}
        for part in parts:
            if part.kind in kinds:
                found.setdefault(self._signature(part), []).append(part)
        return tuple(Group(tuple(same), tuple(self.counts[p.id] for p in same)) for same in found.values())

    def _signature(self, part: Part) -> object:
        ends: tuple[object, ...] = ()
        if isinstance(part, Fitting):
            ends = (part.end,)
        elif isinstance(part, TwoEnded):
            ends = (part.lower, part.upper, part.either_way_up and part.lower != part.upper)
        sits = tuple(seat.turned for place in PLACES for seat in seats(part, place) if self.joints.may_sit(seat))
        places = tuple(place for place in PLACES if any(map(self.joints.may_sit, seats(part, place))))
        return (part.kind, part.family, *ends, sits, places, *(getattr(part, f, None) for f in self.joints.reads))

    def limits(self, families: frozenset[str]) -> tuple[Limit, ...]:
        """The bounded sums in force for a stack of these families."""
        if families not in self._limits:
            self._limits[families] = tuple(
                Limit(kind, most)
                for kind in self.joints.stopping
                if kind.is_on(families) and (most := kind.limit(families)) is not None
            )
        return self._limits[families]

    def families(self, vector: Vector) -> frozenset[str]:
        """The families of the pieces of a vector, adapters left out."""
        if vector not in self._families:
            used = (group.parts[0] for n, group in zip(vector, self.pieces, strict=True) if n)
            self._families[vector] = families_of(tuple(used))
        return self._families[vector]

    def may_hold(self, vector: Vector, families: frozenset[str]) -> bool:
        """Whether a vector's smallest parts stay within the limits and its groups have the pieces."""
        if any(n > group.pieces for n, group in zip(vector, self.pieces, strict=True)):
            return False
        return all(sum(map(mul, vector, self._least[kind])) <= most for kind, most in self.limits(families))

    @cached_property
    def _piece_seats(self) -> dict[Place, list[tuple[int, Seat]]]:
        places: tuple[Place, ...] = ("below", "above")
        return {
            place: [(i, seat) for i, group in enumerate(self.pieces) for seat in group.seats(place, self.joints)]
            for place in places
        }

    def _joint(self, outer: Seat, inner: Seat) -> tuple[Seat, Seat]:
        """Two seats in the order lower, upper, given from the fitting inward."""
        return (outer, inner) if outer.place in ("ground", "below") else (inner, outer)

    def _runs(self, fitting: Seat) -> list[_Run]:
        """Every run of pieces that can stand on a fitting, shortest first; one run for each end and vector."""
        place: Place = "below" if fitting.place == "ground" else "above"
        runs = [_Run(fitting, (0,) * len(self.pieces), (), ())]
        seen: set[tuple[int, bool, Vector]] = set()
        for run in runs:
            for i, seat in self._piece_seats[place]:
                vector = tuple(n + (i == j) for j, n in enumerate(run.vector))
                key = (i, seat.turned, vector)
                if key in seen or not self._meet(run.seat, seat):
                    continue
                if not self.may_hold(vector, self.families(vector) | {fitting.part.family}):
                    continue
                seen.add(key)
                runs.append(_Run(seat, vector, (*run.groups, i), self._with_pin(run.pins, run.seat, seat)))
        return runs

    def _with_pin(self, pins: tuple[tuple[str, int], ...], outer: Seat, inner: Seat) -> tuple[tuple[str, int], ...]:
        pin = self.joints.pin(*self._joint(outer, inner))
        return (*pins, pin) if pin else pins

    @cached_property
    def _inward(self) -> dict[Place, list[list[_Run]]]:
        """For both ends, for each fitting group (in order), the runs that stand on it."""
        places: tuple[Place, ...] = ("ground", "load")
        return {
            place: [
                [run for seat in group.seats(place, self.joints) for run in self._runs(seat)] for group in self.fittings
            ]
            for place in places
        }

    def shapes(self, ground: int, body: int, load: int) -> tuple[Shape, ...]:
        """The legal shapes between three groups, one for each vector, fewest pieces below the body, in order."""
        found: dict[Vector, Shape] = {}
        ends = frozenset({self.fittings[ground].family, self.bodies[body].family, self.fittings[load].family})
        for seat, lowers, uppers in self._ways_in(ground, body, load):
            for lower in lowers:
                for upper in uppers:
                    vector = tuple(map(add, lower.vector, upper.vector))
                    kept = found.get(vector)
                    if kept is not None and len(kept.below) <= len(lower.groups):
                        continue
                    families = ends | self.families(vector)
                    if not self.may_hold(vector, families):
                        continue
                    shape = self._shape(lower, seat, upper, families)
                    if all(self.counts.get(pin, 0) >= n for pin, n in shape.pins):
                        found[vector] = shape
        return tuple(sorted(found.values(), key=lambda shape: (sum(shape.vector), shape.below, shape.above)))

    def _ways_in(self, ground: int, body: int, load: int) -> Iterator[tuple[Seat, list[_Run], list[_Run]]]:
        """For each way up of a body group, the runs that reach it from below and from above."""
        for way, seat in enumerate(self._body_seats[body]):
            yield seat, self._reaching("ground", ground, body, way), self._reaching("load", load, body, way)

    @cached_property
    def _body_seats(self) -> list[tuple[Seat, ...]]:
        return [group.seats("body", self.joints) for group in self.bodies]

    def _reaching(self, place: Place, fitting: int, body: int, way: int) -> list[_Run]:
        key = (place, fitting, body, way)
        if key not in self._met:
            seat = self._body_seats[body][way]
            runs = self._inward[place][fitting]
            self._met[key] = [run for run in runs if self._meet(run.seat, seat)]
        return self._met[key]

    def _meet(self, outer: Seat, inner: Seat) -> bool:
        """Whether two seats may join; asked once for each two (the seats live as long as this object)."""
        key = (id(outer), id(inner))
        if key not in self._joined:
            self._joined[key] = self.joints.may_join(*self._joint(outer, inner))
        return self._joined[key]

    def _shape(self, lower: _Run, seat: Seat, upper: _Run, families: frozenset[str]) -> Shape:
        pins: Counter[str] = Counter()
        for pin, number in self._with_pin(lower.pins, lower.seat, seat) + self._with_pin(upper.pins, upper.seat, seat):
            pins[pin] += number
        vector = tuple(map(add, lower.vector, upper.vector))
        return Shape(vector, lower.groups, upper.groups[::-1], tuple(sorted(pins.items())), families)
