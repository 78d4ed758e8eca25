"""What runs of parts cost and are worth in a scene, at any prices of the rows of its relaxation.

A run that no row prices costs as much as making it of shorter ones; so the price of a strut, and the worth of a set,
is found by parting runs in two, shorter ones first, for all runs at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import combinations
from typing import cast

import numpy as np

from cache_check.frozen import dataclass
from cache_check.planning.solving.tables import Array
from cache_check.planning.staging.runs import Pinned, Run
from cache_check.planning.staging.staging import Name, Stager

Names = Mapping[Name, float]


class Runs:
    """Every run of some stacks by number, shorter ones first; for each length all ways to part its runs in two."""

    def __init__(self, stacks: Mapping[Run, Pinned]) -> None:
        found: dict[Run, Pinned] = {}
        for stack, pins in stacks.items():
            parts = len(stack) // 2 + 1
            for a in range(parts):
                for b in range(a + 1, parts + 1):
                    found.setdefault(stack[2 * a : 2 * b - 1], pins[a : b - 1])
        self.number = {run: i for i, run in enumerate(sorted(found, key=len))}
        self.pins = {name: i for i, name in enumerate(dict.fromkeys(p[0] for own in found.values() for p in own if p))}
        self.joints = np.asarray([len(run) // 2 for run in self.number])
        self.levels = [self._level(found, size) for size in sorted({len(run) for run in found} - {1})]

    def _level(self, found: Mapping[Run, Pinned], size: int) -> tuple[Array, Array, Array, Array, Array]:
        """Of the runs of one size: number, both sides of each parting, the kind of its pin (-1: none) and how many."""
        own = [(run, pins) for run, pins in found.items() if len(run) == size]
        at, places = self.number, range(1, size, 2)
        return (
            np.asarray([at[run] for run, _ in own]),
            np.asarray([[at[run[:i]] for i in places] for run, _ in own]),
            np.asarray([[at[run[i + 1 :]] for i in places] for run, _ in own]),
            np.asarray([[self.pins[pin[0]] if pin else -1 for pin in pins] for _, pins in own]),
            np.asarray([[pin[1] if pin else 0 for pin in pins] for _, pins in own]),
        )

    def within(self, stack: Run) -> list[int]:
        """The numbers of the runs of two or more parts in a stack."""
        ends = range(len(stack) // 2 + 2)
        return [self.number[stack[2 * a : 2 * b - 1]] for b in ends for a in range(b - 1)]


@dataclass(frozen=True)
class Worth:
    """What runs cost in one scene, by number, and what each strut is paid and would add.

    ``singles`` are the prices of single parts in struts whose base is not held, ``points`` what a single base costs
    more in the others; ``price`` is of a run that is useful, ``pins`` of pins.  ``own`` is what a strut is paid,
    ``adds`` what it would add at the highest prices of runs.
    """

    singles: Array
    points: Array
    pins: Array
    price: Array
    own: Array
    adds: Array


class Worths:
    """What is asked of prices in one scene, by strut."""

    def __init__(self, stager: Stager, runs: Runs, s: int) -> None:
        answering = stager.answering[s]
        self.s, self.weight, self.runs = s, stager.scenes[s].weight, runs
        self.wanted = len(stager.by_need[s])
        struts = answering.struts
        self.needs = np.asarray([one.need for one in struts], dtype=int)
        self.stacks = np.asarray([runs.number[one.stack] for one in struts], dtype=int)
        held = {n for n, _ in answering.holds}
        self.held = np.asarray([one.need in held for one in struts], dtype=bool)
        self.useful = np.zeros(len(runs.number), dtype=bool)
        pairs = [(run, i) for i, one in enumerate(struts) for run in runs.within(one.stack)]
        pairs.sort()
        self._run, self._strut = (np.asarray([pair[n] for pair in pairs], dtype=int) for n in (0, 1))
        self.useful[self._run] = True
        self.keys: dict[tuple[object, ...], int] = {}
        terms = [
            (i, self.keys.setdefault(key, len(self.keys)), number)
            for i, one in enumerate(struts)
            for key, number in (
                (("served", one.need), 1),
                (("held", one.need, one.base), 1),
                *((("in struts", part), number) for part, number in one.takes),
            )
        ]
        self._terms = np.asarray(terms, dtype=int).reshape(-1, 3)

    def prices(self, names: Names, pointed: Iterable[str]) -> Worth:
        """What all is worth at prices of the rows."""
        singles, points, pins = self._singles(names, pointed)
        priced = np.full(len(singles), np.inf)
        for key, price in names.items():
            if key[0] == "run":
                priced[self.runs.number[cast("Run", key[1])]] = -price
        prices = np.asarray([names.get(key, 0.0) for key in self.keys])
        strut, row, number = self._terms.T
        own = np.bincount(strut, weights=prices[row] * number, minlength=len(self.needs)) if len(strut) else prices
        highest = self._cost(singles + points, priced, pins)
        free = self._cost(singles, highest, pins) if points.any() else highest
        adds = np.where(self.held, highest[self.stacks], free[self.stacks]) - own
        return self._paid(singles, points, pins, highest, own, adds, range(self.wanted))

    def _paid(
        self, singles: Array, points: Array, pins: Array, highest: Array, own: Array, adds: Array, needs: Iterable[int]
    ) -> Worth:
        """Prices at which a strut of each of these needs adds nothing at the highest prices of runs: so it is paid.

        What the others add is taken off the prices of their runs, in shares by their joints, so that none is paid more
        than it costs.
        """
        off = np.where(np.isin(np.arange(self.wanted), list(needs)), self.least(adds), 0.0)[self.needs]
        price = self._lowered(highest, np.maximum(0.0, adds - off))
        return Worth(singles, points, pins, price, own + off, adds)

    def at_first(self) -> Iterator[tuple[Worth, list[float]]]:
        """Prices at which only some needs are paid for, as much as their struts cost loose; with what each is paid."""
        nothing, pins = np.zeros(len(self.runs.number)), np.zeros(len(self.runs.pins) + 1)
        highest = self._cost(nothing, np.full(len(nothing), np.inf), pins)
        adds, own = highest[self.stacks], np.zeros(len(self.needs))
        for size in range(self.wanted + 1):
            for needs in combinations(range(self.wanted), size):
                worth = self._paid(nothing, nothing, pins, highest, own, adds, needs)
                yield worth, [float(off) * (n in needs) for n, off in enumerate(self.least(adds))]

    def least(self, adds: Array) -> Array:
        """By need, the least that any of its struts would add."""
        off = np.zeros(self.wanted)
        for n in range(self.wanted):
            mine = adds[self.needs == n]
            off[n] = mine.min() if len(mine) else 0.0
        return off

    def _singles(self, names: Names, pointed: Iterable[str]) -> tuple[Array, Array, Array]:
        number = self.runs.number
        singles, points = np.zeros((2, len(number)))
        pins = np.zeros(len(self.runs.pins) + 1)
        for key, price in names.items():
            name = str(key[-1])
            if key[0] == "loose" and (name,) in number:
                singles[number[name,]] = -price
            elif key[0] == "pins" and name in self.runs.pins:
                pins[self.runs.pins[name]] = -price
        for base in pointed:
            if (base,) in number:
                points[number[base,]] = -names.get(("points", base), 0.0)
        return singles, points, pins

    def _cost(self, singles: Array, priced: Array, pins: Array) -> Array:
        """The highest prices of runs: none costs more than making it of others."""
        cost = singles.copy()
        for at, left, right, kind, number in self.runs.levels:
            made = (cost[left] + cost[right] + self.weight + pins[kind] * number).min(axis=1)
            cost[at] = np.where(self.useful[at], np.minimum(made, priced[at]), np.inf)
        return cost

    def _lowered(self, highest: Array, spare: Array) -> Array:
        price = np.where(self.useful, highest, 0.0)
        if len(self._run):
            each = (spare / np.maximum(1, self.runs.joints[self.stacks]))[self._strut]
            at, first = np.unique(self._run, return_index=True)
            price[at] = np.maximum(0.0, price[at] - np.minimum.reduceat(each, first) * self.runs.joints[at])
        return price

    def brings(self, own: Worth) -> Array:
        """The most that each run brings, parted or not."""
        worth = own.singles + own.points
        for at, left, right, kind, number in self.runs.levels:
            parted = (worth[left] + worth[right] - self.weight + own.pins[kind] * number).max(axis=1)
            worth[at] = np.maximum(own.price[at], np.maximum(parted, 0.0))
        return worth

    def cheapest_with(self, run: int) -> int | None:
        """The strut of fewest joints of those that have a run; None where none has."""
        first, last = np.searchsorted(self._run, [run, run + 1])
        there = self._strut[first:last]
        return int(there[self.runs.joints[self.stacks[there]].argmin()]) if len(there) else None
