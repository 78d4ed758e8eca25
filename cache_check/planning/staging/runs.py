"""Runs: parts of a stack that stay joined when it is taken apart, and what that saves.

A ready set is a stack of parts with a joint between each two neighbours.  On scene joints of it are broken; what
stays joined are *runs*.  A strut is put together from runs and loose parts, a joint made between each two.  So a
strut that keeps a run keeps its joints.  Every stack is built in the one order that is listed for it.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from functools import cache, cached_property
from itertools import chain, pairwise
from typing import Any

from cache_check.frozen import dataclass
from cache_check.model.assembly import Assembly
from cache_check.planning.packing.muster import Muster

Run = tuple[str, ...]
"""Neighbouring parts, ground to load, between each two how they are joined: the pins of it, and which sits turned over.

That tells apart runs of the same parts, of which one cannot stand in for the other.
"""
Pinned = Sequence[tuple[str, int] | None]  # the loose pins of the joints of a stack, ground to load


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


def as_it_sits(muster: Muster, assembly: Assembly) -> tuple[Pinned, Run]:
    """The loose pins of the joints of an assembly, and the whole of it as one run."""
    parts = [muster.cache.catalogue.by_id[part] for part in assembly.parts]
    pins, turned = muster.joined.joints.sitting(parts, assembly.pins)
    return pins, stack_of(assembly.parts, pins, turned)


def stack_of(parts: Sequence[str], pins: Pinned, turned: Sequence[bool] = ()) -> Run:
    """A whole stack as one run; ``turned`` are its parts that sit the other way up (none if not said)."""
    joints = [f"{pin[1]} {pin[0]}" if pin else "" for pin in pins]
    if any(turned):
        joints = [f"{how} {two}" if any(two) else how for how, two in zip(joints, pairwise(turned), strict=True)]
    return _laced(parts, joints)


def _laced(parts: Sequence[str], joints: Sequence[str]) -> Run:
    return (*chain.from_iterable(zip(parts, joints, strict=False)), parts[-1])


def split_at(stack: Run, at: Sequence[int]) -> Split:
    """A stack taken as runs that part at these joints, rising."""
    ends = [0, *(joint + 1 for joint in at), len(stack) // 2 + 1]
    return Split(tuple([stack[2 * a : 2 * b - 1] for a, b in pairwise(ends)]), tuple(at))


@cache
def splits(stack: Run) -> tuple[Split, ...]:
    """Every way of taking a stack as runs, from whole to all apart, those with fewer joints between first."""
    places = len(stack) // 2
    at = [[i for i in range(places) if mask >> i & 1] for mask in range(1 << places)]
    return tuple(sorted((split_at(stack, one) for one in at), key=lambda split: (split.joints, split.at)))


@dataclass(frozen=True)
class Opening:
    """What a ready set yields when some of its joints are broken: runs, and the loose pins set free."""

    split: Split
    yields: tuple[tuple[int, int], ...]  # by kind of run, as ``openings`` was asked
    pins: tuple[tuple[str, int], ...]


Shape = tuple[tuple[int, bool] | None, ...]
"""For each run of a stack, single parts too: the first that is like it, and whether it holds what is counted."""


def openings(
    stack: Run, runs: Sequence[int], pins: Pinned, kinds: Mapping[int, int], counted: frozenset[str]
) -> tuple[Opening, ...]:
    """The ways to open a ready set that yield more than any other with as few joints broken; whole first.

    ``runs`` are the numbers of ``every_run`` of its stack, ``pins`` the loose pins of its joints, ground to load.
    ``kinds`` tells runs of use by their kind: runs of one kind stand in for each other.  ``counted`` are the parts and
    pins that could run out: an opening that yields none of them, free or in a run, and spares no more joints than it
    breaks, is left out.
    """
    first: dict[int, int] = {}
    shape: Shape = tuple(
        [None if kind is None else (first.setdefault(kind, i), False) for i, kind in enumerate(map(kinds.get, runs))]
    )
    if counted:
        plain = _laced(stack[::2], [pin[0] if pin else "" for pin in pins])
        each = zip(shape, every_run(plain), strict=True)
        shape = tuple(one and (one[0], not counted.isdisjoint(run)) for one, run in each)
    elif not any(shape):
        return ()
    ways = _ways(len(stack) // 2, shape, tuple([pin if pin and pin[0] in counted else None for pin in pins]))
    listed = splits(stack) if ways else ()
    return tuple(
        [
            Opening(listed[place], tuple(sorted([(kinds[runs[i]], n) for i, n in yields])), freed)
            for place, yields, freed in ways
        ]
    )


def every_run(stack: Run) -> list[Run]:
    """Every run of a stack, single parts too."""
    parts = len(stack) // 2 + 1
    return [stack[2 * a : 2 * b - 1] for a in range(parts) for b in range(a + 1, parts + 1)]


@cache
def parted(joints: int) -> tuple[tuple[tuple[int, ...], tuple[int, ...]], ...]:
    """``splits`` of any stack of so many joints: where it is parted, and the places of its runs in ``every_run``."""
    spans = {(a, b): n for n, (a, b) in enumerate((a, b) for a in range(joints + 1) for b in range(a + 1, joints + 2))}
    stack = tuple(map(str, range(2 * joints + 1)))
    ends = [[0, *(i + 1 for i in split.at), joints + 1] for split in splits(stack)]
    return tuple(
        (split.at, tuple(spans[pair] for pair in pairwise(own))) for split, own in zip(splits(stack), ends, strict=True)
    )


@cache
def longer(joints: int) -> tuple[tuple[int, tuple[int, ...]], ...]:
    """``splits`` of such a stack: the joints between, and the places in ``every_run`` of runs of two or more parts."""
    sizes = [b - a for a in range(joints + 1) for b in range(a + 1, joints + 2)]
    return tuple((len(at), tuple(one for one in own if sizes[one] > 1)) for at, own in parted(joints))


@cache
def alone(joints: int) -> tuple[tuple[tuple[int, ...], tuple[int, ...]], ...]:
    """``splits`` of such a stack: the joints it is parted at, and the parts that are runs by themselves."""
    parts = range(joints + 1)
    return tuple((at, tuple(i for i in parts if {i - 1, i} <= {-1, *at, joints})) for at, _ in parted(joints))


@cache
def _ways(
    joints: int, shape: Shape, pins: tuple[tuple[str, int] | None, ...]
) -> tuple[tuple[int, tuple[tuple[int, int], ...], tuple[tuple[str, int], ...]], ...]:
    """``openings`` of every stack of one shape: (place among its splits, what it yields, the pins it frees)."""
    found: list[tuple[int, dict[int, int], dict[str, int]]] = []
    sizes = [b - a - 1 for a in range(joints + 1) for b in range(a + 1, joints + 2)]
    counting = any(pins) or any(run is not None and run[1] for run in shape)
    for place, (at, runs) in enumerate(parted(joints)):
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
