"""Every assembly as rows of numbers."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from cache_check.joining.assemblies import Block, Joinery, Stack, added_length, only_piece
from cache_check.joining.groups import Group
from cache_check.model.part import Part

Rows = NDArray[np.int64]


@dataclass(frozen=True)
class Arrays:
    """Every assembly as one row of whole numbers, for whoever handles very many.

    ``ground`` and ``load`` index ``fittings``, ``body`` indexes ``bodies``, ``stack`` indexes ``stacks``;
    ``closed`` and ``open`` are the shortest and longest settable length, nm.  Rows go by base, body, pieces
    and head within each triple of groups.
    """

    fittings: tuple[Part, ...]
    bodies: tuple[Part, ...]
    stacks: tuple[Stack, ...]
    ground: Rows
    body: Rows
    stack: Rows
    load: Rows
    closed: Rows
    open: Rows


class _Numbers:
    """The parts and stacks of a joinery numbered, with their lengths in tables."""

    def __init__(self, joined: Joinery) -> None:
        groups = joined.groups
        self.bodies = tuple(part for group in groups.bodies for part in group.parts)
        fittings = (*groups.bases, *groups.heads)
        self.fittings = tuple({part.id: part for group in fittings for part in group.parts}.values())
        self.rows_of = _rows(self.fittings, fittings) | _rows(self.bodies, groups.bodies)
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


def _rows(parts: tuple[Part, ...], groups: tuple[Group, ...]) -> dict[int, Rows]:
    """For each group, the numbers of its parts."""
    number = {part.id: i for i, part in enumerate(parts)}
    return {id(group): np.asarray([number[part.id] for part in group.parts], dtype=np.int64) for group in groups}


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
    ground, body, load = (numbers.rows_of[id(group)] for group in (first.ground, first.body, first.load))
    runs = [numbers.run(block.stacks) for block in blocks]
    stack = runs[0] if len(runs) == 1 else np.concatenate(runs)
    shape = (len(ground), len(body), len(stack), len(load))
    rows = tuple(
        np.broadcast_to(column.reshape([-1 if axis == at else 1 for axis in range(4)]), shape).reshape(-1)
        for at, column in enumerate((ground, body, stack, load))
    )
    alone = only_piece(first.ground, first.load)
    if alone:
        both = rows[0] == rows[3]
        keep = ~(both & np.isin(rows[0], [i for i, part in enumerate(numbers.fittings) if part.id in alone]))
        rows = tuple(column[keep] for column in rows)
    return rows[0], rows[1], rows[2], rows[3]
