"""Every assembly as rows of numbers."""

from __future__ import annotations

from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from cache_check.joining.assemblies import Arrays, Block, Joinery, Stack, added_length

Rows = NDArray[np.int64]


class _Numbers:
    """The parts and stacks of a joinery numbered, with their lengths in tables."""

    def __init__(self, joined: Joinery) -> None:
        groups = joined.groups
        self.fittings = tuple(part for group in groups.fittings for part in group.parts)
        self.bodies = tuple(part for group in groups.bodies for part in group.parts)
        self.fitting_of = _numbered(groups.fittings)
        self.body_of = _numbered(groups.bodies)
        self.adds = np.asarray([added_length(part) for part in self.fittings], dtype=np.int64)
        ends = [joined.settings[part.id] for part in self.bodies]
        self.closed = np.asarray([spans[0][0] for spans in ends], dtype=np.int64)
        self.open = np.asarray([spans[-1][1] for spans in ends], dtype=np.int64)
        self.stacks: list[Stack] = []
        self._runs: dict[int, tuple[int, int]] = {}

    def run(self, stacks: tuple[Stack, ...]) -> Rows:
        """The numbers of a shape's stacks; the same tuple of stacks is numbered once."""
        if id(stacks) not in self._runs:
            self._runs[id(stacks)] = (len(self.stacks), len(self.stacks) + len(stacks))
            self.stacks += stacks
        return np.arange(*self._runs[id(stacks)], dtype=np.int64)


def _numbered(groups: tuple[object, ...]) -> dict[int, Rows]:
    numbers: dict[int, Rows] = {}
    start = 0
    for group in groups:
        count = len(group.parts)  # type: ignore[attr-defined]  # a Group
        numbers[id(group)] = np.arange(start, start + count, dtype=np.int64)
        start += count
    return numbers


def arrays_of(joined: Joinery) -> Arrays:
    """See ``Joinery.arrays``."""
    numbers = _Numbers(joined)
    pieces = [
        _product(numbers, blocks)
        for _, blocks in groupby(joined.blocks, key=lambda b: (id(b.ground), id(b.body), id(b.load)))
    ]
    empty = np.zeros(0, dtype=np.int64)
    ground, body, stack, load = (
        (np.concatenate(column) for column in zip(*pieces, strict=True)) if pieces else (empty,) * 4
    )
    length = np.asarray([stack.length for stack in numbers.stacks], dtype=np.int64)
    more = numbers.adds[ground] + numbers.adds[load] + length[stack]
    return Arrays(
        fittings=numbers.fittings,
        bodies=numbers.bodies,
        stacks=tuple(numbers.stacks),
        ground=ground,
        body=body,
        stack=stack,
        load=load,
        closed=numbers.closed[body] + more,
        open=numbers.open[body] + more,
    )


def _product(numbers: _Numbers, of_triple: object) -> tuple[Rows, Rows, Rows, Rows]:
    """All rows between three groups: base, body, stack, head."""
    blocks: list[Block] = list(of_triple)  # type: ignore[call-overload]  # an iterator of blocks
    first = blocks[0]
    ground, body, load = (
        numbers.fitting_of[id(first.ground)],
        numbers.body_of[id(first.body)],
        numbers.fitting_of[id(first.load)],
    )
    runs = [numbers.run(block.stacks) for block in blocks]
    stack = runs[0] if len(runs) == 1 else np.concatenate(runs)
    shape = (len(ground), len(body), len(stack), len(load))
    rows = tuple(
        np.broadcast_to(column.reshape([-1 if axis == at else 1 for axis in range(4)]), shape).reshape(-1)
        for at, column in enumerate((ground, body, stack, load))
    )
    alone = numbers_of_one(first, ground)
    if len(alone):
        keep = (rows[0] != rows[3]) | ~np.isin(rows[0], alone)
        rows = tuple(column[keep] for column in rows)
    return rows[0], rows[1], rows[2], rows[3]


def numbers_of_one(block: Block, ground: Rows) -> Rows:
    """Fittings that stand at both ends of a block but have one piece only."""
    if block.ground is not block.load:
        return ground[:0]
    return ground[np.asarray(block.ground.counts) < 2]
