"""Groups: parts that the joint rules cannot tell apart.

The joints of a stack depend only on its groups, so legality is settled once per shape of groups (``shapes.py``),
not once per assembly.  Lengths, stock and the parts themselves come in afterwards (``assemblies.py``).
"""

from collections import Counter
from collections.abc import Hashable, Iterable, Sequence
from functools import cache
from itertools import combinations, combinations_with_replacement, product
from math import comb
from operator import le, mul
from typing import NamedTuple

from cache_check.errors import NoPlanError, grouped
from cache_check.frozen import dataclass
from cache_check.joining.joints import Joints
from cache_check.joining.kind import SUMMED, Kind
from cache_check.joining.seats import PLACES, Place, Seat, added_length, families_of, seats
from cache_check.model.part import LINEAR, Body, Part, TwoEnded

Vector = tuple[int, ...]  # how many pieces of each piece group a stack has
MOST_STACKS = 300_000  # more stacks of pieces than this are not listed: time and memory grow with them
_TOGETHER = 3  # so many families together show all that more could: one may switch a rule on and another set its value


def too_many(what: str) -> NoPlanError:
    """The refusal of a stock of so many part types that its assemblies cannot even be counted."""
    return NoPlanError(f"limit reached: {what} make more stacks than are counted. Leave part types out of the file")


@dataclass(frozen=True)
class Group:
    """Parts alike to the joint rules, in a fixed order, with their usable counts."""

    parts: tuple[Part, ...]
    counts: tuple[int, ...]

    @property
    def family(self) -> str:
        """The family of all its parts."""
        return self.parts[0].family

    def seats(self, place: Place, joints: Joints) -> tuple[Seat, ...]:
        """The ways any of its parts may sit in a place under the rules."""
        return tuple(seat for seat in seats(self.parts[0], place) if joints.may_sit(seat))


def _order(part: Part) -> tuple[int, int, str]:
    """The fixed order of linear parts: shorter first, then by id; free of the order of the files."""
    closed, opened = (part.closed, part.open) if isinstance(part, Body) else (added_length(part),) * 2
    return (closed, opened, part.id)


def _ends(part: Part) -> object:
    assert isinstance(part, TwoEnded)
    return part.kind, part.family, part.lower, part.upper


class Limit(NamedTuple):
    """A bound on a sum over the pieces of a stack: what a piece adds, and the most that is allowed."""

    kind: Kind
    most: int


class Groups:
    """The parts of a stock in groups, and the sums that bound what they may form."""

    def __init__(self, joints: Joints, counts: dict[str, int]) -> None:
        self.joints, self.counts = joints, counts
        self.outspoken = sorted({said.family for said in joints.book.settings if said.family is not None})
        """The families with settings of their own: their presence in a stack may make it stricter."""
        linear = (p for p in joints.catalogue.parts if p.kind in LINEAR)
        parts = sorted((p for p in linear if counts.get(p.id, 0) > 0), key=_order)
        self.pieces = self._in_rank([(self._signature(p), p) for p in parts if p.kind in SUMMED])
        self.bodies = self._grouped((self._signature(p), p) for p in parts if p.kind == "body")
        self.bases = self._in_role(parts, "ground")
        self.heads = self._in_role(parts, "load")
        self._pieces: Vector = tuple(sum(group.counts) for group in self.pieces)
        # Vectors and families come again with each base, body and head.
        self.limits, self.families, self.may_hold = cache(self._limits), cache(self._families), cache(self._may_hold)
        self._least: dict[Kind, tuple[int, ...]] = {
            kind: tuple(min(kind.measure(p) for p in group.parts) for group in self.pieces) for kind in joints.stopping
        }

    def _grouped(self, keyed: Iterable[tuple[Hashable, Part]]) -> tuple[Group, ...]:
        return tuple(Group(tuple(same), tuple(self.counts[p.id] for p in same)) for same in grouped(keyed).values())

    def _in_rank(self, keyed: Sequence[tuple[tuple[object, ...], Part]]) -> tuple[Group, ...]:
        """Groups of pieces, by the shortest of their kind, family and ends that the catalogue has."""
        # A stack is listed in this order whatever the stock has: a set left built and a strut of it are the same stack.
        shortest: dict[object, tuple[int, int, str]] = {}
        for part in sorted((p for p in self.joints.catalogue.parts if p.kind in SUMMED), key=_order):
            shortest.setdefault(_ends(part), _order(part))
        signs = {part.id: sign for sign, part in keyed}
        return tuple(
            sorted(self._grouped(keyed), key=lambda g: (shortest[_ends(g.parts[0])], repr(signs[g.parts[0].id])))
        )

    def _in_role(self, parts: Sequence[Part], place: Place) -> tuple[Group, ...]:
        """The fittings that may stand at one end, grouped: one that serves at both ends is in a group of each."""
        sat = ((part, seat.top or seat.bottom, self.verdict(seat)) for part in parts for seat in seats(part, place))
        return self._grouped(((p.family, end, may, self._read(p)), p) for p, end, may in sat if may[0])

    def _signature(self, part: Part) -> tuple[object, ...]:
        assert isinstance(part, TwoEnded)
        turning = part.either_way_up and part.lower != part.upper
        sits = tuple((place, seat.turned, self.verdict(seat)) for place in PLACES for seat in seats(part, place))
        return (part.kind, part.family, part.lower, part.upper, turning, sits, self._read(part))

    def _read(self, part: Part) -> tuple[object, ...]:
        return tuple(getattr(part, field, None) for field in self.joints.reads)

    def verdict(self, seat: Seat) -> tuple[bool, ...]:
        """Whether a part may sit so: in a stack of its own family, then with each choice of the outspoken ones."""
        own = families_of((seat.part,))
        return tuple(
            next(self.joints.broken_seat(seat, self.joints.stopping, own.union(others)), None) is None
            for size in range(_TOGETHER + 1)
            for others in combinations(self.outspoken, size)
        )

    def _limits(self, families: frozenset[str]) -> tuple[Limit, ...]:
        on = ((kind, kind.limit(families)) for kind in self.joints.stopping if kind.is_on(families))
        return tuple(Limit(kind, most) for kind, most in on if most is not None)

    def _families(self, vector: Vector) -> frozenset[str]:
        return families_of(tuple(group.parts[0] for n, group in zip(vector, self.pieces, strict=True) if n))

    def _may_hold(self, vector: Vector, families: frozenset[str]) -> bool:
        """Whether a vector's smallest parts stay within the limits and its groups have the pieces."""
        return all(map(le, vector, self._pieces)) and all(
            sum(map(mul, vector, self._least[kind])) <= most for kind, most in self.limits(families)
        )

    def may_hold_one(self, vector: Vector, families: frozenset[str], group: int, part: Part) -> bool:
        """Whether a vector stays within the limits with a part as one of its pieces, and the smallest besides."""
        return all(
            sum(map(mul, vector, self._least[kind])) - self._least[kind][group] + kind.measure(part) <= most
            for kind, most in self.limits(families)
        )


def only_piece(ground: Group, load: Group) -> set[str]:
    """Fittings that stand in both end groups but have one piece only: they cannot be at both ends."""
    heads = {part.id for part in load.parts}
    return {part.id for part, n in zip(ground.parts, ground.counts, strict=True) if n < 2 and part.id in heads}


def ends(ground: Group, load: Group) -> list[tuple[Part, Part]]:
    """Each base with each head, as the stock holds both."""
    alone, pairs = only_piece(ground, load), product(ground.parts, load.parts)
    return [(base, head) for base, head in pairs if base.id != head.id or base.id not in alone]


def multisets(group: Group, n: int) -> list[tuple[Part, ...]]:
    """The multisets of n pieces of a group that its stock holds, longest piece first."""
    if n < 2:
        return [(part,) for part in reversed(group.parts)] if n else [()]
    if comb(len(group.parts) + n - 1, n) > MOST_STACKS:
        raise too_many(f"{len(group.parts):,} part types that join alike, {n} of them in one strut,")
    choices = combinations_with_replacement(reversed(group.parts), n)
    if min(group.counts) >= n:
        return list(choices)
    stock = dict(zip((part.id for part in group.parts), group.counts, strict=True))
    counted = ((pieces, Counter(part.id for part in pieces).items()) for pieces in choices)
    return [pieces for pieces, numbers in counted if all(number <= stock[part] for part, number in numbers)]
