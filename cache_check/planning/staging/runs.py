"""Runs: parts of a stack that stay joined when it is taken apart, and what that saves.

A ready set is a stack of parts with a joint between each two neighbours.  On scene joints of it are broken; what
stays joined are *runs*.  A strut is put together from runs and loose parts, a joint made between each two.  So a
strut that keeps a run keeps its joints.  Every stack is built in the one order that is listed for it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from functools import cache, cached_property
from itertools import pairwise
from typing import Any

from cache_check.frozen import dataclass

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


def split_at(stack: Run, above: Sequence[int]) -> Split:
    """A stack taken as runs, of which those but the lowest begin at these parts, rising."""
    ends = [0, *above, len(stack) // 2 + 1]
    return Split(tuple([stack[2 * a : 2 * b - 1] for a, b in pairwise(ends)]), tuple([part - 1 for part in above]))


@cache
def splits(stack: Run) -> tuple[Split, ...]:
    """Every way of taking a stack as runs, from whole to all apart, those with fewer joints between first."""
    places = len(stack) // 2
    above = [[i + 1 for i in range(places) if mask >> i & 1] for mask in range(1 << places)]
    return tuple(sorted((split_at(stack, one) for one in above), key=lambda split: (split.joints, split.at)))


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


Shape = tuple[tuple[int, bool] | None, ...]
"""For each run of a stack, those of more parts too: the first that is like it, and whether it is of counted parts."""


def openings(stack: Run, pins: Pinned, useful: frozenset[Run], counted: frozenset[str]) -> tuple[Opening, ...]:
    """The ways to open a ready set that yield more than any other with as few joints broken; whole first.

    ``pins`` are the loose pins of its joints, ground to load.  ``counted`` are the parts and pins that could run out:
    an opening that yields none of them, and spares no more joints than it breaks, is as well left alone.
    """
    alike = _alike(stack)
    shape = tuple((first, any(part in counted for part in run[::2])) if run in useful else None for run, first in alike)
    ways = _ways(len(stack) // 2, shape, tuple(pin if pin and pin[0] in counted else None for pin in pins))
    listed = splits(stack)
    return tuple(
        Opening(listed[place], tuple(sorted((alike[first][0], n) for first, n in yields)), freed)
        for place, yields, freed in ways
    )


@cache
def _places(joints: int) -> tuple[tuple[tuple[int, ...], tuple[int, ...]], ...]:
    """``splits`` of any stack of so many joints: where it is parted, and the places of its runs in ``_alike``."""
    spans = {(a, b): n for n, (a, b) in enumerate((a, b) for a in range(joints + 1) for b in range(a + 1, joints + 2))}
    stack = tuple(map(str, range(2 * joints + 1)))
    ends = [[0, *(i + 1 for i in split.at), joints + 1] for split in splits(stack)]
    return tuple(
        (split.at, tuple(spans[pair] for pair in pairwise(own))) for split, own in zip(splits(stack), ends, strict=True)
    )


@cache
def _alike(stack: Run) -> tuple[tuple[Run, int], ...]:
    """Every run of a stack, single parts too, each with the place of the first that is like it."""
    parts = len(stack) // 2 + 1
    runs = [stack[2 * a : 2 * b - 1] for a in range(parts) for b in range(a + 1, parts + 1)]
    first: dict[Run, int] = {}
    return tuple((run, first.setdefault(run, n)) for n, run in enumerate(runs))


@cache
def _ways(
    joints: int, shape: Shape, pins: tuple[tuple[str, int] | None, ...]
) -> tuple[tuple[int, tuple[tuple[int, int], ...], tuple[tuple[str, int], ...]], ...]:
    """``openings`` of every stack of one shape: (place among its splits, what it yields, the pins it frees)."""
    found: list[tuple[int, dict[int, int], dict[str, int]]] = []
    sizes = [b - a - 1 for a in range(joints + 1) for b in range(a + 1, joints + 2)]
    counting = any(pins) or any(run is not None and run[1] for run in shape)
    for place, (at, runs) in enumerate(_places(joints)):
        if not counting and 2 * len(at) >= joints:
            break
        yields = dict(Counter(first for first, _ in filter(None, (shape[run] for run in runs))))
        freed: dict[str, int] = {}
        for pin in filter(None, (pins[i] for i in at)):
            freed[pin[0]] = freed.get(pin[0], 0) + pin[1]
        spared = sum(sizes[run] * n for run, n in yields.items())
        pays = spared > len(at) or freed or any(counts for _, counts in filter(None, (shape[run] for run in runs)))
        if pays and not any(_within(yields, had) and _within(freed, sets) for _, had, sets in found):
            found.append((place, yields, freed))
    return tuple((place, tuple(yields.items()), tuple(sorted(freed.items()))) for place, yields, freed in found)


def _within(less: Mapping[Any, int], more: Mapping[Any, int]) -> bool:
    """Whether one has no more of anything than another; those found first never have more joints broken."""
    return all(more.get(one, 0) >= n for one, n in less.items())
