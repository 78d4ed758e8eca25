"""Runs: parts of a stack that stay joined when it is taken apart, and what that saves.

A ready set is a stack of parts with a joint between each two neighbours.  On scene joints of it are broken; what
stays joined are *runs*.  A strut is put together from runs and loose parts, a joint made between each two.  So a
strut that keeps a run keeps its joints.  Every stack is built in the one order that is listed for it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

Run = tuple[str, ...]
"""Neighbouring parts, ground to load."""
Supply = tuple[tuple[Run, int], ...]


@dataclass(frozen=True)
class Split:
    """One way of taking a stack as runs, ground to load: ``at`` are the joints between them, by place from 0."""

    runs: tuple[Run, ...]
    at: tuple[int, ...]

    @property
    def joints(self) -> int:
        """How many joints lie between its runs."""
        return len(self.at)

    def counted(self) -> Counter[Run]:
        """Its runs with how many of each."""
        return Counter(self.runs)


def splits(parts: Run) -> Iterator[Split]:
    """Every way of taking a stack as runs, from whole to all apart."""
    places = len(parts) - 1
    for mask in range(1 << places):
        at = tuple(i for i in range(places) if mask >> i & 1)
        ends = [0, *(i + 1 for i in at), len(parts)]
        yield Split(tuple(parts[a:b] for a, b in pairwise(ends)), at)


def runs_of(parts: Run) -> Iterator[Run]:
    """Every run of two or more parts in a stack."""
    for start in range(len(parts)):
        for end in range(start + 2, len(parts) + 1):
            yield parts[start:end]


@dataclass(frozen=True)
class Opening:
    """What a ready set yields when some of its joints are broken: useful runs, and the loose pins set free."""

    split: Split
    yields: Supply
    pins: tuple[tuple[str, int], ...]


def openings(parts: Run, pins: tuple[tuple[str, int] | None, ...], useful: frozenset[Run]) -> tuple[Opening, ...]:
    """The ways to open a ready set that yield more than any other with as few joints broken; whole first.

    ``pins`` are the loose pins of its joints, ground to load; empty where they need not be counted.
    """
    found: list[Opening] = []
    for split in sorted(splits(parts), key=lambda one: (one.joints, one.at)):
        yields = Counter(run for run in split.runs if run in useful)
        freed: Counter[str] = Counter()
        for place in split.at if pins else ():
            pin = pins[place]
            if pin is not None:
                freed[pin[0]] += pin[1]
        opening = Opening(split, tuple(sorted(yields.items())), tuple(sorted(freed.items())))
        if not any(_as_good(other, opening) for other in found):
            found.append(opening)
    return tuple(found)


def _as_good(one: Opening, other: Opening) -> bool:
    """Whether one yields all that the other does, with no more joints broken (those before it never have more)."""
    yields, pins = dict(one.yields), dict(one.pins)
    return all(yields.get(run, 0) >= n for run, n in other.yields) and all(pins.get(p, 0) >= n for p, n in other.pins)
