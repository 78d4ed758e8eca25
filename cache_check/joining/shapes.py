"""Shapes: the legal stacks of groups between a base, a body and a head, whatever the parts in them.

Runs of pieces are grown inward from a fitting, base or head alike; two runs and a body make a shape.
"""

from collections import Counter
from dataclasses import replace
from functools import cache, cached_property
from operator import add

from cache_check.frozen import dataclass
from cache_check.joining.groups import Group, Groups, Vector, too_many
from cache_check.joining.joints import Pins, total
from cache_check.joining.seats import PLACES, Place, Seat

_MOST_RUNS = 20_000


@dataclass(frozen=True)
class Shape:
    """A legal shape: piece groups below and above the body (ground to load), and the loose pins it takes."""

    vector: Vector
    below: tuple[int, ...]
    above: tuple[int, ...]
    pins: Pins
    families: frozenset[str]
    # Of shapes that join the same pieces with other pins, none of them fewer in all, all but that of the fewest.
    again: bool = False


@dataclass(frozen=True)
class _Run:
    """A run of pieces from a fitting inward: the seats, that of the fitting first, and a pin for each joint."""

    vector: Vector
    groups: tuple[int, ...]
    seats: tuple[Seat, ...]
    pins: Counter[str]


class Shapes:
    """Every legal shape between a base group, a body group and a head group; each worked out once."""

    def __init__(self, groups: Groups) -> None:
        self._groups, self._rules, self._pieces = groups, groups.joints, groups.pieces
        self.between, self._reaching = cache(self._between), cache(self._runs_to)
        self._joints: dict[tuple[int, int], tuple[bool, str]] = {}

    @cached_property
    def _piece_seats(self) -> dict[Place, list[tuple[int, Seat]]]:
        return {
            place: [(i, seat) for i, group in enumerate(self._pieces) for seat in group.seats(place, self._rules)]
            for place in PLACES
        }

    def _runs(self, fitting: Seat) -> list[_Run]:
        """Every run of pieces that can stand on a fitting, shortest first."""
        # Of runs with one vector, one innermost seat and one innermost extension the first stands for all that take no
        # fewer of some pin: what may come further in depends on nothing else.
        place: Place = "below" if fitting.place == "ground" else "above"
        runs = [_Run((0,) * len(self._pieces), (), (fitting,), Counter())]
        seen: dict[tuple[int, bool, int, Vector], list[Counter[str]]] = {}
        for run in runs:
            for i, seat in self._piece_seats[place]:
                if not self._meeting(run.seats[-1], seat)[0]:
                    continue
                vector = tuple(n + (i == j) for j, n in enumerate(run.vector))
                families = self._groups.families(vector) | {fitting.part.family}
                if not self._groups.may_hold(vector, families):
                    continue
                key, pins = (i, seat.turned, self._innermost((*run.groups, i)), vector), self._with_pin(run, seat)
                if any(other <= pins for other in seen.get(key, ())):
                    continue
                passed = tuple(before.part for before in run.seats[1:])
                if self._rules.reads and not self._rules.may_follow(passed, seat.part, families):
                    continue
                seen.setdefault(key, []).append(pins)
                if len(runs) >= _MOST_RUNS:
                    raise too_many(f"{len(self._pieces):,} groups of extensions and adapters")
                runs.append(_Run(vector, (*run.groups, i), (*run.seats, seat), pins))
        return runs

    def _innermost(self, groups: tuple[int, ...]) -> int:
        """The innermost group of extensions of a run; -1 for none, or where no rule asks for an order."""
        asked = reversed(groups) if self._rules.reads else ()
        return next((i for i in asked if self._pieces[i].parts[0].kind == "extension"), -1)

    def _with_pin(self, run: _Run, inner: Seat) -> Counter[str]:
        pin = self._meeting(run.seats[-1], inner)[1]
        return run.pins + Counter((pin,)) if pin else run.pins

    def _meeting(self, outer: Seat, inner: Seat) -> tuple[bool, str]:
        """Whether two seats, from a fitting inward, may join, and the pin of their joint ("" for none); asked once."""
        # The seats are those kept by this object, so that their identity tells them.
        if (key := (id(outer), id(inner))) not in self._joints:
            joint = (outer, inner) if outer.place in ("ground", "below") else (inner, outer)
            self._joints[key] = (self._rules.may_join(*joint), self._rules.pin(*joint))
        return self._joints[key]

    @cached_property
    def _inward(self) -> dict[Place, list[list[_Run]]]:
        ends: dict[Place, tuple[Group, ...]] = {"ground": self._groups.bases, "load": self._groups.heads}
        return {
            place: [[run for seat in group.seats(place, self._rules) for run in self._runs(seat)] for group in groups]
            for place, groups in ends.items()
        }

    def _between(self, base: int, body: int, head: int) -> tuple[Shape, ...]:
        """The shapes between three groups, in order: of each vector the fewest pins, then fewest below the body."""
        # A vector comes again only with pins of which some other shape of it takes more.
        every: list[Shape] = []
        for shapes in self._worked_out(base, body, head).values():
            shapes.sort(key=lambda shape: (sum(n for _, n in shape.pins), len(shape.below), shape.pins))
            every += [shapes[0], *(replace(shape, again=True) for shape in shapes[1:])]
        every.sort(key=lambda shape: (sum(shape.vector), shape.again, shape.below, shape.above, shape.pins))
        return tuple(every)

    def _worked_out(self, base: int, body: int, head: int) -> dict[Vector, list[Shape]]:
        """The shapes of each vector that no other of it makes needless."""
        found, groups = dict[Vector, list[Shape]](), self._groups
        ends = frozenset({groups.bases[base].family, groups.bodies[body].family, groups.heads[head].family})
        for way, seat in enumerate(self._body_seats[body]):
            uppers = self._reaching("load", head, body, way)
            for lower in self._reaching("ground", base, body, way):
                for upper in uppers:
                    vector = tuple(map(add, lower.vector, upper.vector))
                    kept = found.get(vector, [])
                    if kept and not self._pins_differ and len(kept[0].below) <= len(lower.groups):
                        continue
                    if not groups.may_hold(vector, families := ends | groups.families(vector)):
                        continue
                    pins = self._with_pin(lower, seat) + self._with_pin(upper, seat)
                    taken = total(pins.elements(), self._rules.pins_each(families))
                    shape = Shape(vector, lower.groups, upper.groups[::-1], taken, families)
                    if self._worth(shape, kept) and self._may_stand((*lower.seats, seat, *upper.seats[::-1]), families):
                        found[vector] = [other for other in kept if not _spares(shape, other)] + [shape]
        return found

    @cached_property
    def _pins_differ(self) -> bool:
        """Whether the same parts could be joined with other pins: only where unlike ends may meet."""
        # Else each joint joins two ends of one name, and a stack's ends are those of its parts however they sit.
        # Unlike ends meet where a family lists them as mates, or where no rule stops them.
        mating = [kind for kind in self._rules.stopping if kind.rule.kind == "ends_mate"]
        return any(
            family.mates or not any(kind.is_on((family.id,)) for kind in mating)
            for family in self._rules.catalogue.families
        )

    def _worth(self, shape: Shape, kept: list[Shape]) -> bool:
        return all(self._groups.counts.get(pin, 0) >= n for pin, n in shape.pins) and not any(
            _spares(other, shape) and (other.pins != shape.pins or len(other.below) <= len(shape.below))
            for other in kept
        )

    @cached_property
    def _body_seats(self) -> list[tuple[Seat, ...]]:
        return [group.seats("body", self._rules) for group in self._groups.bodies]

    def _runs_to(self, place: Place, fitting: int, body: int, way: int) -> list[_Run]:
        seat = self._body_seats[body][way]
        return [run for run in self._inward[place][fitting] if self._meeting(run.seats[-1], seat)[0]]

    def _may_stand(self, stack: tuple[Seat, ...], families: frozenset[str]) -> bool:
        """Whether the rules that a mixed stack meets allow it; one of a single family has met all of its own."""
        return len(families) < 2 or not self._groups.outspoken or self._rules.may_stand(stack, families)


def _spares(one: Shape, other: Shape) -> bool:
    return Counter(dict(one.pins)) <= Counter(dict(other.pins))
