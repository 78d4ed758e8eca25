"""The assemblies of a large store as tables of numbers, block by block, without listing one of them.

Within a block every stack stands between every base, body and head.  What an assembly adds to its body is a
stack's length and what its two fittings add; fittings that add alike are one *class*, of which only the cheapest
pair matters.  So a block is the distinct lengths that stacks and classes make (*lengths* here), each with the
*entries* (a stack with a class) that make it; millions of assemblies are some ten thousand entries.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from cache_check.frozen import dataclass
from cache_check.joining.assemblies import Block, Joinery, Stack
from cache_check.joining.groups import Group, ends
from cache_check.joining.seats import added_length
from cache_check.model.part import Part
from cache_check.planning.packing.rows import Rows

Numbers = NDArray[np.int64]
NEVER = 1 << 50
"""The price of what cannot be had: dearer than any strut, and small enough to be added up many times."""


@dataclass(frozen=True)
class Pairs:
    """The pairs of a base group and a head group, those that add alike together.

    ``ground`` and ``load`` are rows, class by class; ``starts`` is where each class begins, ``adds`` (nm) what it adds.
    """

    parts: tuple[tuple[Part, Part], ...]
    ground: Numbers
    load: Numbers
    starts: Numbers
    adds: Numbers


@dataclass(frozen=True)
class Table:
    """One block in numbers.

    ``lengths`` (nm) rise and differ.  Entries are ordered by length: ``stack`` and ``pair`` index the block's stacks
    and classes, ``starts`` is where each length begins.  ``pieces`` are the rows of each stack's pieces.
    """

    block: Block
    pairs: Pairs
    extensions: int
    lengths: Numbers
    stack: Numbers
    pair: Numbers
    starts: Numbers
    pieces: Numbers
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
        self.joined = joined
        self.rows = rows
        self._pairs: dict[tuple[int, int], Pairs] = {}
        self._pieces: dict[int, Numbers] = {}
        self.tables = tuple(self._table(block) for block in joined.blocks)

    def _table(self, block: Block) -> Table:
        pairs = self._pairs_of(block.ground, block.load)
        stacks = np.asarray([stack.length for stack in block.stacks], dtype=np.int64)
        made = (stacks[:, None] + pairs.adds[None, :]).reshape(-1)
        order = np.argsort(made, kind="stable")
        lengths, starts = np.unique(made[order], return_index=True)
        groups = self.joined.groups.pieces
        return Table(
            block=block,
            pairs=pairs,
            extensions=sum(n for n, of in zip(block.shape.vector, groups, strict=True)
                           if of.parts[0].kind == "extension"),
            lengths=lengths,
            stack=order // max(1, len(pairs.adds)),
            pair=order % max(1, len(pairs.adds)),
            starts=starts,
            pieces=self._pieces_of(block.stacks),
            bodies=tuple(part.id for part in block.body.parts),
            pins=tuple((self.rows.row[pin], number) for pin, number in block.shape.pins),
        )  # fmt: skip

    def _pairs_of(self, ground: Group, load: Group) -> Pairs:
        key = (id(ground), id(load))
        if key not in self._pairs:
            every = sorted(ends(ground, load), key=lambda pair: added_length(pair[0]) + added_length(pair[1]))
            made = np.asarray([added_length(g) + added_length(h) for g, h in every], dtype=np.int64)
            adds, starts = np.unique(made, return_index=True)
            self._pairs[key] = Pairs(
                tuple(every), self._rows(g for g, _ in every), self._rows(h for _, h in every), starts, adds
            )
        return self._pairs[key]

    def _pieces_of(self, stacks: tuple[Stack, ...]) -> Numbers:
        """The same tuple of stacks serves many blocks."""
        if id(stacks) not in self._pieces:
            rows = [[self.rows.row[piece.id] for piece in stack.pieces] for stack in stacks]
            self._pieces[id(stacks)] = np.asarray(rows, dtype=np.int64).reshape(len(stacks), -1)
        return self._pieces[id(stacks)]

    def _rows(self, parts: Any) -> Numbers:
        return np.asarray([self.rows.row[part.id] for part in parts], dtype=np.int64)
