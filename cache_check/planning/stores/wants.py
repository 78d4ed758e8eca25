"""What each need of a scene asks of a block: which bodies may serve it, and over which lengths of the rest."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import cache

import numpy as np
from numpy.typing import NDArray

from cache_check.frozen import dataclass
from cache_check.loads.capacity import lowest, of_strength
from cache_check.loads.chart import DesignFactor
from cache_check.model.counting import Step
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.stores.blocks import Blocks, Numbers, Table

Truths = NDArray[np.bool_]


@dataclass(frozen=True)
class Want:
    """So many struts for an ask on a step: ``held`` where bases must be, ``load`` (N) and ``factor`` where rated."""

    ask: Ask
    step: Step
    count: int
    held: bool
    load: Fraction | None
    factor: DesignFactor


def want_of(muster: Muster, ask: Ask, step: Step, count: int) -> Want:
    """An ask on a step, as ``Muster.mask`` reads it."""
    return Want(ask, step, count, muster.holds(ask, step), ask.load if step == "rated" else None, muster.factor(ask))


@dataclass(frozen=True)
class Windows:
    """Runs of lengths of blocks that serve wants, all of one kind (see ``Kind``), in the order of the wants.

    Each is (want, block, body row, first length, last length); the lengths are numbered through all blocks.
    """

    want: Numbers
    block: Numbers
    body: Numbers
    first: Numbers
    last: Numbers


@dataclass(frozen=True)
class Kind:
    """What wants must share for one table of prices to serve them: bases held or not, and parts too weak for them."""

    held: bool
    weak: frozenset[str]


class Asked:
    """The wants of a scene against the blocks of a store."""

    def __init__(self, muster: Muster, blocks: Blocks, wants: Sequence[Want]) -> None:
        self.muster = muster
        self.blocks = blocks
        self.wants = tuple(wants)
        self._charted: dict[tuple[object, ...], Fraction | None] = {}
        self._carrying: dict[tuple[object, ...], tuple[bool, ...]] = {}
        self._weak = cache(self._too_weak)
        kinds: dict[Kind, list[int]] = {}
        for n, want in enumerate(self.wants):
            kinds.setdefault(Kind(want.held, self._weak(want.load, want.factor)), []).append(n)
        self.windows = {kind: self._windows(numbers) for kind, numbers in kinds.items()}

    def _too_weak(self, load: Fraction | None, factor: DesignFactor) -> frozenset[str]:
        own = [(part.id, part.strength) for part in self.muster.cache.catalogue.parts if load is not None]
        rated = [(part, of_strength(strength, factor)) for part, strength in own if strength is not None]
        return frozenset(part for part, least in rated if load is not None and (least is None or least < load))

    def _windows(self, numbers: list[int]) -> Windows:
        wants = [self.wants[n] for n in numbers]
        shortest = np.asarray([want.ask.shortest for want in wants], dtype=np.int64)
        longest = np.asarray([want.ask.longest for want in wants], dtype=np.int64)
        found: list[tuple[Numbers, ...]] = []
        begins = 0
        for at, table in enumerate(self.blocks.tables):
            rows, closed, opened, body = self._settings(table)
            first = np.searchsorted(table.lengths, longest[:, None] - opened[None, :], side="left")
            last = np.searchsorted(table.lengths, shortest[:, None] - closed[None, :], side="right") - 1
            fits = (first <= last) & self._carries(table, wants)[:, body]
            which, setting = np.nonzero(fits)
            found.append((
                np.asarray(numbers, dtype=np.int64)[which], np.full(len(which), at), rows[setting],
                first[which, setting] + begins, last[which, setting] + begins,
            ))  # fmt: skip
            begins += len(table.lengths)
        joined = [np.concatenate(column).astype(np.int64) for column in zip(*found, strict=True)] if found else []
        if not joined:
            joined = [np.zeros(0, dtype=np.int64)] * 5
        order = np.argsort(joined[0], kind="stable")
        return Windows(*(column[order] for column in joined))

    def _settings(self, table: Table) -> tuple[Numbers, Numbers, Numbers, Numbers]:
        """Every setting of every body of a block: the body's row, its ends (nm), and which body it is."""
        spans = self.blocks.joined.settings
        row = self.blocks.rows.row
        every = [(row[body], low, high, i) for i, body in enumerate(table.bodies) for low, high in spans[body]]
        columns = np.asarray(every, dtype=np.int64).reshape(-1, 4)
        return columns[:, 0], columns[:, 1], columns[:, 2], columns[:, 3]

    def _carries(self, table: Table, wants: list[Want]) -> Truths:
        """For each want and body of a block, whether the charts rate it for the load; without a load all are."""
        return np.asarray([self._row_of(table, want) for want in wants], dtype=bool).reshape(len(wants), -1)

    def _row_of(self, table: Table, want: Want) -> tuple[bool, ...]:
        if want.load is None:
            return (True,) * len(table.bodies)
        touched = self.muster.ratings.rows(want.ask)
        key = (table.block.shape.families, table.extensions, table.bodies, touched, want.factor, want.load)
        if key not in self._carrying:
            self._carrying[key] = tuple(self._rated(table, body, want) for body in table.bodies)
        return self._carrying[key]

    def _rated(self, table: Table, body: str, want: Want) -> bool:
        key = (table.block.shape.families, body, table.extensions, self.muster.ratings.rows(want.ask), want.factor)
        if key not in self._charted:
            links = self.muster.capacity.charted(
                tuple(sorted(table.block.shape.families)), body, table.extensions, want.ask.shortest, want.ask.longest,
                want.factor,
            )  # fmt: skip
            self._charted[key] = lowest(tuple(links))
        load = self._charted[key]
        assert want.load is not None
        return load is not None and load >= want.load
