"""Runs: parts of a stack that stay joined when it is taken apart, and what that saves.

A ready set is a stack of parts with a joint between each two neighbours.  On scene joints of it are broken; what
stays joined are *runs*.  A strut is put together from runs and loose parts, a joint made between each two.  So a
strut that keeps a run keeps its joints.  Every stack is built in the one order that is listed for it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from itertools import pairwise

Run = tuple[str, ...]
"""Neighbouring parts, ground to load, between each two the loose pin of their joint ("" for none).

The pins tell apart runs of the same parts that sit another way up: one of them cannot stand in for the other.
"""
Pinned = Sequence[tuple[str, int] | None]
"""The loose pins of the joints of a stack, ground to load."""
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


def stack_of(parts: Sequence[str], pins: Pinned) -> Run:
    """A whole stack as one run."""
    above = [(part, pin[0] if pin else "") for part, pin in zip(parts, pins, strict=False)]
    return (*(one for joint in above for one in joint), parts[-1])


@cache
def splits(stack: Run) -> tuple[Split, ...]:
    """Every way of taking a stack as runs, from whole to all apart, those with fewer joints between first."""
    places = len(stack) // 2
    found = []
    for mask in range(1 << places):
        at = tuple(i for i in range(places) if mask >> i & 1)
        ends = [0, *(i + 1 for i in at), places + 1]
        found.append(Split(tuple(stack[2 * a : 2 * b - 1] for a, b in pairwise(ends)), at))
    return tuple(sorted(found, key=lambda split: (split.joints, split.at)))


def runs_of(stack: Run) -> Iterator[Run]:
    """Every run of two or more parts in a stack."""
    for start in range(0, len(stack), 2):
        for end in range(start + 3, len(stack) + 1, 2):
            yield stack[start:end]


@dataclass(frozen=True)
class Opening:
    """What a ready set yields when some of its joints are broken: useful runs, and the loose pins set free."""

    split: Split
    yields: Supply
    pins: tuple[tuple[str, int], ...]


def openings(stack: Run, pins: Pinned, useful: frozenset[Run], counted: frozenset[str]) -> tuple[Opening, ...]:
    """The ways to open a ready set that yield more than any other with as few joints broken; whole first.

    ``pins`` are the loose pins of its joints, ground to load.  ``counted`` are the parts and pins that could run out:
    an opening that yields none of them, and spares no more joints than it breaks, is as well left alone.
    """
    found: list[Opening] = []
    for split in splits(stack):
        if not counted and 2 * split.joints >= len(stack) // 2:
            break
        yields = {run: n for run, n in split.counted.items() if run in useful}
        freed: dict[str, int] = {}
        for place in split.at if counted else ():
            pin = pins[place]
            if pin is not None and pin[0] in counted:
                freed[pin[0]] = freed.get(pin[0], 0) + pin[1]
        spared = sum(len(run) // 2 * n for run, n in yields.items())
        pays = spared > split.joints or freed or any(part in counted for run in yields for part in run[::2])
        if pays and not any(_as_good(other, yields, freed) for other in found):
            found.append(Opening(split, tuple(sorted(yields.items())), tuple(sorted(freed.items()))))
    return tuple(found)


def _as_good(one: Opening, yields: dict[Run, int], pins: dict[str, int]) -> bool:
    """Whether one yields all of this, with no more joints broken (those before it never have more)."""
    if len(one.yields) < len(yields) or len(one.pins) < len(pins):
        return False
    has, frees = dict(one.yields), dict(one.pins)
    return all(has.get(run, 0) >= n for run, n in yields.items()) and all(frees.get(p, 0) >= n for p, n in pins.items())
