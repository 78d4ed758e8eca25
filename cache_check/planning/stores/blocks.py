"""The assemblies of a large store as tables of numbers, block by block, without listing one of them.

Within a block every stack stands between every base, body and head.  What an assembly adds to its body is a
stack's length and what its two fittings add; fittings that add alike are one *class*, of which only the cheapest
pair matters.  So a block is the distinct lengths that stacks and classes make (*lengths* here), each with the
*entries* (a stack with a class) that make it; millions of assemblies are some ten thousand entries.  What each need
of a scene asks of a block is which of its bodies may serve it, and over which lengths of the rest.
"""

from collections.abc import Sequence
from fractions import Fraction
from functools import cache
from math import inf
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cache_check.errors import grouped
from cache_check.frozen import dataclass
from cache_check.joining.assemblies import Block, Joinery, Stack
from cache_check.joining.groups import Group, ends
from cache_check.joining.seats import added_length
from cache_check.loads.capacity import lowest, of_strength
from cache_check.loads.chart import DesignFactor
from cache_check.model.counting import Step
from cache_check.model.part import Part
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.ratings import stands_at
from cache_check.planning.packing.rows import Rows

Numbers = NDArray[np.int64]
Truths = NDArray[np.bool_]
NEVER = 1 << 50  # the price of what cannot be had: dearer than any strut, and small enough to be added up many times


@dataclass(frozen=True)
class Pairs:
    """The pairs of a base group and a head group, those that add alike together."""

    parts: tuple[tuple[Part, Part], ...]
    ground: Numbers  # rows, as of the load, class by class
    load: Numbers
    starts: Numbers  # where each class begins
    adds: Numbers  # nm of each class


@dataclass(frozen=True)
class Table:
    """One block in numbers; its entries are ordered by length."""

    block: Block
    pairs: Pairs
    extensions: int
    lengths: Numbers  # nm; they rise and differ
    stack: Numbers  # of each entry, by its number among the block's
    pair: Numbers  # of each entry, by its class
    starts: Numbers  # where the entries of each length begin
    pieces: Numbers  # the rows of each stack's
    bodies: tuple[str, ...]
    pins: tuple[tuple[int, int], ...]

    def priced(self, prices: Numbers, classes: Numbers) -> Numbers:
        """The price of each entry, its body left out, when a class's cheapest pair costs so much."""
        stacks = prices[self.pieces].sum(axis=1)
        pins = sum(int(prices[row]) * number for row, number in self.pins)
        found: Numbers = stacks[self.stack] + classes[self.pair] + pins
        return found


class Blocks:
    """All blocks of a joinery in numbers, over the rows of its stock."""

    def __init__(self, joined: Joinery, rows: Rows) -> None:
        self.joined, self.rows = joined, rows
        self._pairs: dict[tuple[int, int], Pairs] = {}
        self._pieces: dict[int, Numbers] = {}
        self.tables = tuple(self._table(block) for block in joined.blocks)

    def _table(self, block: Block) -> Table:
        pairs = self._pairs_of(block.ground, block.load)
        stacks = np.asarray([stack.length for stack in block.stacks], dtype=np.int64)
        made = (stacks[:, None] + pairs.adds[None, :]).reshape(-1)
        order = np.argsort(made, kind="stable")
        lengths, starts = np.unique(made[order], return_index=True)
        vector = zip(block.shape.vector, self.joined.groups.pieces, strict=True)
        return Table(
            block=block, pairs=pairs, extensions=sum(n for n, of in vector if of.parts[0].kind == "extension"),
            lengths=lengths, stack=order // max(1, len(pairs.adds)), pair=order % max(1, len(pairs.adds)),
            starts=starts, pieces=self._pieces_of(block.stacks), bodies=tuple(part.id for part in block.body.parts),
            pins=tuple((self.rows.row[pin], number) for pin, number in block.shape.pins),
        )  # fmt: skip

    def _pairs_of(self, ground: Group, load: Group) -> Pairs:
        key = (id(ground), id(load))
        if key not in self._pairs:
            every = sorted(ends(ground, load), key=lambda pair: sum(map(added_length, pair)))
            made = np.asarray([sum(map(added_length, pair)) for pair in every], dtype=np.int64)
            adds, starts = np.unique(made, return_index=True)
            grounds, loads = (self._rows(pair[at] for pair in every) for at in (0, 1))
            self._pairs[key] = Pairs(tuple(every), grounds, loads, starts, adds)
        return self._pairs[key]

    def _pieces_of(self, stacks: tuple[Stack, ...]) -> Numbers:
        """The same tuple of stacks serves many blocks."""
        if id(stacks) not in self._pieces:
            rows = [[self.rows.row[piece.id] for piece in stack.pieces] for stack in stacks]
            self._pieces[id(stacks)] = np.asarray(rows, dtype=np.int64).reshape(len(stacks), -1)
        return self._pieces[id(stacks)]

    def _rows(self, parts: Any) -> Numbers:
        return np.asarray([self.rows.row[part.id] for part in parts], dtype=np.int64)


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
    """Runs of lengths of blocks that serve wants, all of one kind (see ``Kind``), in the order of the wants."""

    want: Numbers
    block: Numbers
    body: Numbers  # its row
    first: Numbers  # as the last a number: the lengths are numbered through all blocks
    last: Numbers


@dataclass(frozen=True)
class Kind:
    """What wants must share for one table of prices: bases held or not, by ties that are rated, and parts too weak."""

    held: bool
    rated: bool
    weak: frozenset[str]


class Asked:
    """The wants of a scene against the blocks of a store; ``hoped`` if all that nobody knows turned out well."""

    def __init__(self, muster: Muster, blocks: Blocks, wants: Sequence[Want], *, hoped: bool = False) -> None:
        self.muster, self.blocks, self.wants, self.hoped = muster, blocks, tuple(wants), hoped
        self._charted: dict[tuple[object, ...], Fraction | float | None] = {}
        self._carrying: dict[tuple[object, ...], tuple[bool, ...]] = {}
        self._weak = cache(self._too_weak)
        kinds = grouped((self._kind(want), n) for n, want in enumerate(self.wants))
        self.windows = {kind: self._windows(numbers) for kind, numbers in kinds.items()}

    def _kind(self, want: Want) -> Kind:
        told_apart = want.held and not self.hoped and not all(group.rated for group in self.blocks.rows.groups)
        return Kind(want.held, told_apart and want.load is not None, self._weak(want.load, want.factor))

    def _too_weak(self, load: Fraction | None, factor: DesignFactor) -> frozenset[str]:
        own = [(part.id, part.strength) for part in self.muster.cache.catalogue.parts if load is not None]
        rated = [(part, of_strength(strength, factor)) for part, strength in own if strength is not None]
        return frozenset(
            part for part, least in rated
            if load is not None and (not self.hoped if least is None else least < load)
        )  # fmt: skip

    def _windows(self, numbers: list[int]) -> Windows:
        wants = [self.wants[n] for n in numbers]
        shortest, longest = np.asarray([(one.ask.shortest, one.ask.longest) for one in wants], dtype=np.int64).T
        found, begins = [(np.zeros(0, dtype=np.int64),) * 5], 0
        for at, table in enumerate(self.blocks.tables):
            rows, closed, opened, body = self._settings(table)
            first = np.searchsorted(table.lengths, longest[:, None] - opened[None, :], side="left")
            last = np.searchsorted(table.lengths, shortest[:, None] - closed[None, :], side="right") - 1
            # For each want and body, whether the charts rate it for the load; without a load all are.
            carries = np.asarray([self._row_of(table, want) for want in wants], dtype=bool).reshape(len(wants), -1)
            which, setting = np.nonzero((first <= last) & carries[:, body])
            found.append((
                np.asarray(numbers, dtype=np.int64)[which], np.full(len(which), at), rows[setting],
                first[which, setting] + begins, last[which, setting] + begins,
            ))  # fmt: skip
            begins += len(table.lengths)
        joined = [np.concatenate(column).astype(np.int64) for column in zip(*found, strict=True)]
        order = np.argsort(joined[0], kind="stable")
        return Windows(*(column[order] for column in joined))

    def _settings(self, table: Table) -> tuple[Numbers, Numbers, Numbers, Numbers]:
        """Every setting of every body of a block: the body's row, its ends (nm), and which body it is."""
        spans, row = self.blocks.joined.settings, self.blocks.rows.row
        every = [(row[body], low, high, i) for i, body in enumerate(table.bodies) for low, high in spans[body]]
        rows, closed, opened, which = np.asarray(every, dtype=np.int64).reshape(-1, 4).T
        return rows, closed, opened, which

    def _row_of(self, table: Table, want: Want) -> tuple[bool, ...]:
        if want.load is None:
            return (True,) * len(table.bodies)
        in_doubt = not self.hoped and self.muster.doubts(want.ask)
        if in_doubt or not stands_at(self.muster.book, table.block.shape.families, want.ask.angle):
            return (False,) * len(table.bodies)
        touched = self.muster.ratings.rows(want.ask)
        key = (table.block.shape.families, table.extensions, table.bodies, touched, want.factor, want.load)
        if key not in self._carrying:
            self._carrying[key] = tuple(self._rated(table, body, want) for body in table.bodies)
        return self._carrying[key]

    def _rated(self, table: Table, body: str, want: Want) -> bool:
        key = (table.block.shape.families, body, table.extensions, self.muster.ratings.rows(want.ask), want.factor)
        if key not in self._charted:
            of = (tuple(sorted(table.block.shape.families)), body, table.extensions)
            links = self.muster.capacity.charted(*of, want.ask.shortest, want.ask.longest, want.factor)
            told = tuple(link for link in links if not (self.hoped and link.unknown))
            self._charted[key] = inf if links and not told else lowest(told)
        load = self._charted[key]
        assert want.load is not None
        return load is not None and load >= want.load
