"""Joints: which seats may meet under the rules in force, which rules forbid it, the pin a joint takes, their graph."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from itertools import chain, pairwise, product
from typing import TYPE_CHECKING

from cache_check.joining.kind import Kind, kinds_in_force
from cache_check.joining.kinds.stacks import PinPerJoint
from cache_check.joining.seats import PLACES, Place, Seat, families_of, places, seats
from cache_check.model.family import Catalogue
from cache_check.model.part import Part
from cache_check.model.rule import RuleBook

if TYPE_CHECKING:
    import networkx as nx

Kinds = tuple[Kind, ...]
Breaches = Iterator[tuple[Kind, str]]  # the rules that are broken, each with what it says
Pins = tuple[tuple[str, int], ...]  # loose pins by part id, with how many
Pinned = tuple[str, ...]  # the loose pin of each joint, ground to load; "" where it takes none
Turned = tuple[bool, ...]  # which parts sit the other way up, ground to load
Pinnings = tuple[tuple[Pinned, Turned], ...]
_Way = tuple[int, Pinned, Turned]  # with its faults

_FOLLOWS: dict[Place, tuple[Place, ...]] = {
    "ground": ("below", "body"), "below": ("below", "body"),
    "body": ("above", "load"), "above": ("above", "load"), "load": (),
}  # fmt: skip


class Joints:
    """The joint rules of a book at work on a catalogue."""

    def __init__(self, catalogue: Catalogue, book: RuleBook) -> None:
        self.catalogue, self.book = catalogue, book
        self.kinds: Kinds = kinds_in_force(book, catalogue)
        self.stopping = tuple(kind for kind in self.kinds if kind.stops)  # the kinds whose breach makes a stack illegal
        self.reads = tuple(dict.fromkeys(field for kind in self.stopping for field in kind.reads))
        """The fields, beyond kind, family and ends, that the stopping rules tell joints apart by."""
        self._ways: dict[tuple[str, ...], Pinnings] = {}  # by the ids of the parts of a stack
        self._pinning = next((kind for kind in self.kinds if isinstance(kind, PinPerJoint)), None)
        # How many pins a joint that takes loose ones has in a stack of these families.
        self.pins_each = cache(lambda families: self._pinning.number(families) if self._pinning else 0)

    def broken_seat(self, seat: Seat, kinds: Kinds, families: frozenset[str] | None = None) -> Breaches:
        """Every rule that a seat breaks, with what it says; in a stack of the part's own family unless given."""
        families = families_of((seat.part,)) if families is None else families
        return ((kind, says) for kind in kinds if (says := kind.seat(seat, families)) and kind.is_on(families))

    def broken_joint(self, lower: Seat, upper: Seat, kinds: Kinds, families: frozenset[str] | None = None) -> Breaches:
        """Every rule that a joint breaks, with what it says; in a stack of the two parts' families unless given."""
        families = families_of((lower.part, upper.part)) if families is None else families
        return ((kind, says) for kind in kinds if (says := kind.joint(lower, upper)) and kind.is_on(families))

    def broken_side(self, inward: Sequence[Part], kinds: Kinds, families: frozenset[str]) -> Breaches:
        """Every rule that the order of the pieces on one side breaks, the pieces given from the fitting inward."""
        for at, part in enumerate(inward):
            passed = tuple(inward[:at])
            yield from ((kind, says) for kind in kinds if (says := kind.inward(passed, part)) and kind.is_on(families))

    def may_sit(self, seat: Seat) -> bool:
        """Whether no stopping rule forbids the seat in a stack of the part's own family."""
        return next(self.broken_seat(seat, self.stopping), None) is None

    def may_join(self, lower: Seat, upper: Seat, families: frozenset[str] | None = None) -> bool:
        """Whether no stopping rule forbids the joint; in a stack of the two parts' families unless given."""
        return next(self.broken_joint(lower, upper, self.stopping, families), None) is None

    def may_follow(self, passed: tuple[Part, ...], part: Part, families: frozenset[str]) -> bool:
        """Whether no stopping rule forbids a piece next inward after those passed."""
        return not any(kind.inward(passed, part) and kind.is_on(families) for kind in self.stopping)

    def may_stand(self, stack: Sequence[Seat], families: frozenset[str]) -> bool:
        """Whether no stopping rule forbids any seat, joint or order of a whole stack of these families."""
        kinds = self.stopping
        broken = chain(
            (self.broken_seat(seat, kinds, families) for seat in stack),
            (self.broken_joint(*pair, kinds, families) for pair in pairwise(stack)),
            (self.broken_side(side, kinds, families) for side in sides(stack)),
        )
        return not any(next(one, None) for one in broken)

    def pin(self, lower: Seat, upper: Seat) -> str:
        """The loose pin that a joint takes; "" where it takes none."""
        return self._pinning.pin(lower, upper) if self._pinning else ""

    def ways_to_pin(self, parts: Sequence[Part]) -> Pinnings:
        """Every way to pin the joints of a stack or a part of one that is worth its pins, each with how the parts sit.

        Parts that may sit either way up can take other pins the other way.  A way is left out where another takes no
        more of any pin; the fewest pins come first.  Of an illegal stack, the ways with the fewest faults.
        """
        ids = tuple([part.id for part in parts])
        return self._ways.get(ids) or self._ways.setdefault(ids, self._ways_to_pin(parts))

    def _ways_to_pin(self, parts: Sequence[Part]) -> Pinnings:
        families = families_of(tuple(parts))
        sitting = [seats(part, place) for part, place in zip(parts, places(parts), strict=True)]
        reached: list[list[_Way]] = [[(self._faults(seat, families), (), (seat.turned,))] for seat in sitting[0]]
        for below, above in pairwise(sitting):
            reached = [
                _least(
                    (faults + more, (*pins, self.pin(lower, upper)), (*turned, upper.turned))
                    for lower, ways in zip(below, reached, strict=True)
                    for more in (self._faults(upper, families) + (not self.may_join(lower, upper, families)),)
                    for faults, pins, turned in ways
                )
                for upper in above
            ]
        found = _least(chain.from_iterable(reached))
        return tuple((pins, turned) for faults, pins, turned in found if faults == found[0][0])

    def _faults(self, seat: Seat, families: frozenset[str]) -> int:
        return sum(1 for _ in self.broken_seat(seat, self.stopping, families))

    def sitting(
        self, parts: Sequence[Part], pins: Pins | None = None
    ) -> tuple[tuple[tuple[str, int] | None, ...], Turned]:
        """The loose pins of each joint in the way that takes ``pins`` in all, else in the one that takes the fewest.

        And which parts then sit the other way up; as made where either way takes the same pins.
        """
        each = self.pins_each(families_of(tuple(parts)))
        ways = self.ways_to_pin(parts)
        way, turned = next((one for one in ways if total(one[0], each) == pins), ways[0])
        return tuple((pin, each) if pin and each else None for pin in way), turned


def sides(stack: Sequence[Seat]) -> tuple[tuple[Part, ...], tuple[Part, ...]]:
    """The pieces below the body and those above it, each from its fitting inward."""
    below = tuple(seat.part for seat in stack if seat.place == "below")
    return below, tuple(seat.part for seat in reversed(stack) if seat.place == "above")


def _least(ways: Iterable[_Way]) -> list[_Way]:
    """The ways, each with its faults, of which no other has no more faults nor of any pin; fewest faults, then pins."""
    kept: list[_Way] = []
    if len(every := list(ways)) == 1:
        return every
    for way in sorted(every, key=lambda way: (way[0], sum(map(bool, way[1])), sorted(way[1]), way[1])):
        taken = Counter(filter(None, way[1]))
        if not any(Counter(filter(None, other)) <= taken for _, other, _ in kept):
            kept.append(way)
    return kept


def total(pinned: Iterable[str], each: int) -> Pins:
    """The pins of joints that each have one in all, where a joint has so many."""
    return tuple(sorted((pin, n * each) for pin, n in Counter(filter(None, pinned)).items() if each))


def node(seat: Seat) -> str:
    """The name of a seat's node: place, part, and "turned" where it sits the other way up."""
    return f"{seat.place}: {seat.part.id}" + (" turned" if seat.turned else "")


def join_graph(catalogue: Catalogue, counts: dict[str, int], book: RuleBook) -> "nx.DiGraph[str]":
    """The joint graph of the parts of which there is at least one usable piece.

    Nodes carry part, kind, family, place, turned, pieces; edges carry rule (id), pin (part id or "") and pins.
    A legal assembly is a walk from a "ground" to a "load" node that the counting rules accept too; a node may be passed
    as often as it has pieces.  Data are plain text and numbers, so that every open graph format can hold them.
    """
    import networkx as nx

    joints = Joints(catalogue, book)
    graph: nx.DiGraph[str] = nx.DiGraph(rules=book.version)
    here = (part for part in catalogue.parts if counts.get(part.id, 0) > 0)
    found = [s for part in here for place in PLACES for s in seats(part, place) if joints.may_sit(s)]
    for seat, own in ((seat, seat.part) for seat in found):
        more = {"place": seat.place, "turned": seat.turned, "pieces": counts[own.id]}
        graph.add_node(node(seat), part=own.id, kind=own.kind, family=own.family, **more)
    for lower, upper in product(found, sorted(found, key=lambda seat: PLACES.index(seat.place))):
        if upper.place in _FOLLOWS[lower.place] and joints.may_join(lower, upper):
            pin = joints.pin(lower, upper)
            number = joints.pins_each(families_of((lower.part, upper.part))) if pin else 0
            # What allows it: the adapter rule at an adapter, else that ends mate.
            wanted = "adapter_count" if "adapter" in (lower.part.kind, upper.part.kind) else "ends_mate"
            rule = next((kind.rule.id for kind in joints.kinds if kind.rule.kind == wanted), "")
            graph.add_edge(node(lower), node(upper), rule=rule, pin=pin if number else "", pins=number)
    return graph
