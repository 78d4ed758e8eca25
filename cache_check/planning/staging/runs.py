"""Runs: parts of a stack that stay joined when it is taken apart, and what that saves.

A ready set is a stack of parts with a joint between each two neighbours.  On scene joints of it are broken; what
stays joined are *runs*.  A strut is put together from runs and loose parts, a joint made between each two.  So a
strut that keeps a run keeps its joints.  Every stack is built in the one order that is listed for it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, cached_property
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

    @cached_property
    def counted(self) -> dict[Run, int]:
        """Its runs with how many of each."""
        return dict(Counter(self.runs))


@cache
def splits(parts: Run) -> tuple[Split, ...]:
    """Every way of taking a stack as runs, from whole to all apart, those with fewer joints between first."""
    places = len(parts) - 1
    found = []
    for mask in range(1 << places):
        at = tuple(i for i in range(places) if mask >> i & 1)
        ends = [0, *(i + 1 for i in at), len(parts)]
        found.append(Split(tuple(parts[a:b] for a, b in pairwise(ends)), at))
    return tuple(sorted(found, key=lambda split: (split.joints, split.at)))


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
    for split in splits(parts):
        yields = {run: n for run, n in split.counted.items() if run in useful}
        freed: dict[str, int] = {}
        for place in split.at if pins else ():
            pin = pins[place]
            if pin is not None:
                freed[pin[0]] = freed.get(pin[0], 0) + pin[1]
        if not any(_as_good(other, yields, freed) for other in found):
            found.append(Opening(split, tuple(sorted(yields.items())), tuple(sorted(freed.items()))))
    return tuple(found)


def _as_good(one: Opening, yields: dict[Run, int], pins: dict[str, int]) -> bool:
    """Whether one yields all of this, with no more joints broken (those before it never have more)."""
    if len(one.yields) < len(yields) or len(one.pins) < len(pins):
        return False
    has, frees = dict(one.yields), dict(one.pins)
    return all(has.get(run, 0) >= n for run, n in yields.items()) and all(frees.get(p, 0) >= n for p, n in pins.items())
