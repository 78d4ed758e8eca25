"""Assemblies: a legal stack from ground to load, and the lengths it can be set to."""

from collections import Counter
from collections.abc import Iterable
from typing import Annotated

from cache_check.frozen import dataclass
from cache_check.model.told import UNTOLD, Kilograms, Nm, Pieces, keys

Span = Annotated[tuple[Nm, Nm], keys("from to")]
"""Closed interval of lengths in nanometres, both ends included; equal ends are a single setting."""


def merged(spans: Iterable[Span]) -> tuple[Span, ...]:
    """The union of closed spans, apart and rising; spans that touch or overlap become one."""
    union: list[Span] = []
    for low, high in sorted(spans):
        if union and low <= union[-1][1]:
            union[-1] = (union[-1][0], max(union[-1][1], high))
        else:
            union.append((low, high))
    return tuple(union)


@dataclass(frozen=True, slots=True)
class Assembly:
    """One legal assembly in one legal order, part ids from ground to load.

    ``spans`` are the lengths it can be set to, apart and rising.  ``pins`` are loose pins by part id.
    ``mass`` (kg, with pins, without straps) is None where the mass of any piece is unknown.
    """

    ground: Annotated[str, UNTOLD]
    below: Annotated[tuple[str, ...], UNTOLD]
    body: str
    above: Annotated[tuple[str, ...], UNTOLD]
    load: Annotated[str, UNTOLD]
    spans: tuple[Span, ...]
    extensions: int
    joints: int
    pins: Pieces
    mass: Kilograms | None

    def __hash__(self) -> int:
        """By its pieces alone: these settle nearly all the rest, and fractions are slow to hash."""
        return hash((self.ground, self.below, self.body, self.above, self.load, self.pins))

    @property
    def parts(self) -> tuple[str, ...]:
        """All linear parts, ground to load."""
        return (self.ground, *self.below, self.body, *self.above, self.load)

    @property
    def pieces(self) -> Annotated[Counter[str], UNTOLD]:
        """Its parts and loose pins, and how many of each."""
        return Counter(self.parts) + Counter(dict(self.pins))

    @property
    def closed(self) -> Nm:
        """Shortest settable length, nm."""
        return self.spans[0][0]

    @property
    def open(self) -> Nm:
        """Longest settable length, nm."""
        return self.spans[-1][1]

    @property
    def identity(self) -> Annotated[tuple[str, str, str, tuple[str, ...]], UNTOLD]:
        """What makes two stacks the same assembly, whatever their order."""
        return (self.ground, self.load, self.body, tuple(sorted(self.below + self.above)))

    @property
    def order(self) -> Annotated[tuple[object, ...], UNTOLD]:
        """The fixed order of assemblies: fewest parts, shortest closed, shortest open, part ids, fewest pins, pins."""
        pins = sum(n for _, n in self.pins)
        return (len(self.below) + len(self.above), self.closed, self.open, self.parts, pins, self.pins)

    def covers(self, shortest: int, longest: int) -> bool:
        """Whether every length from ``shortest`` to ``longest`` can be set without rebuilding."""
        return any(low <= shortest and longest <= high for low, high in self.spans)


@dataclass(frozen=True)
class Broken:
    """A rule that a stack breaks: which, where, in words, and what would mend it."""

    rule: str
    title: str
    severity: str
    says: str
    source: str
    remedy: str


@dataclass(frozen=True)
class Legality:
    """The answer to "may these parts, in this order, be built?".

    ``assembly`` is there when the stack is legal; ``short_of`` names parts of which the cache has too few
    usable pieces, with how many are wanted and there.  ``nearest`` is the legal build from usable parts that
    changes the fewest parts (``changes`` of them), None when there is none.
    """

    parts: tuple[str, ...]
    legal: bool
    broken: tuple[Broken, ...]
    assembly: Assembly | None
    short_of: Annotated[tuple[tuple[str, int, int], ...], keys("part wanted usable")]
    nearest: Assembly | None
    changes: int
    notes: tuple[str, ...] = ()
