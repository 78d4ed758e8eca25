"""Assemblies: a legal stack from ground to load, and the lengths it can be set to."""

from __future__ import annotations

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
    """One legal assembly in one legal order, part ids from ground to load."""

    ground: Annotated[str, UNTOLD]
    below: Annotated[tuple[str, ...], UNTOLD]
    body: str
    above: Annotated[tuple[str, ...], UNTOLD]
    load: Annotated[str, UNTOLD]
    spans: Annotated[tuple[Span, ...], "the lengths it can be set to, apart and rising"]
    extensions: int
    joints: int
    pins: Annotated[Pieces, "loose"]
    mass: Annotated[Kilograms | None, "with pins, without straps; None: that of some piece is unknown"]

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
    """The answer to "may these parts, in this order, be built?"."""

    parts: tuple[str, ...]
    legal: bool
    broken: tuple[Broken, ...]
    assembly: Annotated[Assembly | None, "there when the stack is legal"]
    short_of: Annotated[tuple[tuple[str, int, int], ...], keys("part wanted usable"), "too few are usable"]
    nearest: Annotated[Assembly | None, "the legal build of usable parts that changes the fewest; None: there is none"]
    changes: Annotated[int, "how many parts that changes"]
    notes: tuple[str, ...] = ()
