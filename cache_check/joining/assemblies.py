"""Legal assemblies of a stock, by identity and in a stable order, kept factored until somebody lists them.

An assembly is a base, a body, a head and a multiset of pieces between.  Which multisets are legal depends on
the groups of the three (``groups.py``); so for each triple of groups the pieces are worked out once and the
bases, bodies and heads are multiplied out only when listed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import combinations_with_replacement, pairwise, product
from math import lcm
from typing import TYPE_CHECKING

from cache_check.joining.groups import Group, Groups, Limit, Shape, Vector
from cache_check.joining.joints import Joints
from cache_check.joining.settings import settable
from cache_check.model.assembly import Assembly, Span
from cache_check.model.family import Catalogue
from cache_check.model.part import Adapter, Body, Extension, Fitting, Part
from cache_check.model.rule import RuleBook

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True)
class Stack:
    """A multiset of pieces of one shape: its parts group by group, longest first within one, and their length."""

    parts: tuple[tuple[Part, ...], ...]
    length: int

    @property
    def pieces(self) -> tuple[Part, ...]:
        """All its pieces."""
        return tuple(part for group in self.parts for part in group)


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
    ground: NDArray[np.int64]
    body: NDArray[np.int64]
    stack: NDArray[np.int64]
    load: NDArray[np.int64]
    closed: NDArray[np.int64]
    open: NDArray[np.int64]


@dataclass(frozen=True)
class Block:
    """All assemblies between a base group, a body group and a head group that share one shape."""

    ground: Group
    body: Group
    load: Group
    shape: Shape
    stacks: tuple[Stack, ...]


class Joinery:
    """The legal assemblies that usable pieces can make, each on its own."""

    def __init__(self, catalogue: Catalogue, counts: dict[str, int], book: RuleBook) -> None:
        self.catalogue = catalogue
        self.counts = counts
        self.joints = Joints(catalogue, book)
        self.groups = Groups(self.joints, counts)
        self._stacks: dict[tuple[Vector, tuple[Limit, ...]], tuple[Stack, ...]] = {}

    @cached_property
    def settings(self) -> dict[str, tuple[Span, ...]]:
        """The lengths (nm) that each body can be set to."""
        return {part.id: settable(part) for part in self.catalogue.parts if isinstance(part, Body)}

    @cached_property
    def blocks(self) -> tuple[Block, ...]:
        """Every block with at least one stack, in order of base, body, head and shape."""
        groups = self.groups
        found = []
        for g, ground in enumerate(groups.fittings):
            for b, body in enumerate(groups.bodies):
                for h, load in enumerate(groups.fittings):
                    for shape in groups.shapes(g, b, h):
                        stacks = self._of_shape(shape)
                        if stacks:
                            found.append(Block(ground, body, load, shape, stacks))
        return tuple(found)

    def _of_shape(self, shape: Shape) -> tuple[Stack, ...]:
        key = (shape.vector, self.groups.limits(shape.families))
        if key not in self._stacks:
            self._stacks[key] = tuple(sorted(self._filled(*key), key=lambda stack: stack.length))
        return self._stacks[key]

    def _filled(self, vector: Vector, limits: tuple[Limit, ...]) -> Iterator[Stack]:
        """The multisets of a vector that the stock holds and the limits allow."""
        filled = [_multisets(group, n) for group, n in zip(self.groups.pieces, vector, strict=True)]
        for parts in product(*filled):
            pieces = [part for group in parts for part in group]
            if all(sum(kind.measure(part) for part in pieces) <= most for kind, most in limits):
                yield Stack(parts, sum(added_length(part) for part in pieces))

    def count(self) -> int:
        """How many assemblies there are, without listing them."""
        total = 0
        for block in self.blocks:
            pairs = len(block.ground.parts) * len(block.load.parts) - len(_only_piece(block))
            total += pairs * len(block.body.parts) * len(block.stacks)
        return total

    def assemblies(self) -> Iterator[Assembly]:
        """Every assembly in a stable order: by base, body and head group, shape and pieces, then base, body, head."""
        for block in self.blocks:
            alone = _only_piece(block)
            for stack in block.stacks:
                build = self._builder(block.shape, stack)
                for ground, body, load in product(block.ground.parts, block.body.parts, block.load.parts):
                    if not (ground is load and ground.id in alone):
                        yield build(ground, body, load)

    def assembly(self, ground: Part, body: Part, load: Part, shape: Shape, stack: Stack) -> Assembly:
        """The assembly of these fittings, body and pieces, laid out in the order of a shape."""
        return self._builder(shape, stack)(ground, body, load)

    def assembly_of(self, parts: Sequence[Part]) -> Assembly:
        """The assembly of parts in a legal order, ground to load, whatever the stock holds."""
        pins: Counter[str] = Counter()
        for lower, upper in pairwise(parts):
            pin = self.joints.pin_between(lower, upper)
            if pin is not None:
                pins[pin[0]] += pin[1]
        at = next(i for i, part in enumerate(parts) if part.kind == "body")
        build = self._between(tuple(parts[1:at]), tuple(parts[at + 1 : -1]), tuple(sorted(pins.items())))
        return build(parts[0], parts[at], parts[-1])

    def _builder(self, shape: Shape, stack: Stack) -> Callable[[Part, Part, Part], Assembly]:
        return self._between(*_laid_out(shape, stack), shape.pins)

    def _between(
        self, below: tuple[Part, ...], above: tuple[Part, ...], pins: tuple[tuple[str, int], ...]
    ) -> Callable[[Part, Part, Part], Assembly]:
        """Builds assemblies of any base, body and head around the same pieces and pins."""
        pieces = (*below, *above)
        length = sum(added_length(part) for part in pieces)
        extensions = sum(1 for part in pieces if part.kind == "extension")
        low, high = tuple(part.id for part in below), tuple(part.id for part in above)
        weights, grain = self._weights
        inside = _total([(weights[part.id], 1) for part in pieces] + [(weights[pin], n) for pin, n in pins])

        def build(ground: Part, body: Part, load: Part) -> Assembly:
            fixed = added_length(ground) + added_length(load) + length
            spans = tuple((closed + fixed, opened + fixed) for closed, opened in self.settings[body.id])
            mass = _total([(inside, 1), (weights[ground.id], 1), (weights[body.id], 1), (weights[load.id], 1)])
            return Assembly(
                ground.id, low, body.id, high, load.id, spans, extensions, len(pieces) + 2, pins,
                None if mass is None else Fraction(mass, grain),
            )  # fmt: skip

        return build

    @cached_property
    def _weights(self) -> tuple[dict[str, int | None], int]:
        """The mass of every part in whole grains, and how many grains a kilogram has: sums of whole numbers are quick."""
        known = [part.mass for part in self.catalogue.parts if part.mass is not None]
        grain = lcm(*(mass.denominator for mass in known)) if known else 1
        return {p.id: None if p.mass is None else int(p.mass * grain) for p in self.catalogue.parts}, grain

    def arrays(self) -> Arrays:
        """Every assembly as numbers; see ``Arrays``."""
        from cache_check.joining.arrays import arrays_of

        return arrays_of(self)


def joinery(catalogue: Catalogue, counts: dict[str, int], book: RuleBook) -> Joinery:
    """The legal assemblies of usable pieces (``counts`` by part id) under the rules of a book."""
    return Joinery(catalogue, counts, book)


def added_length(part: Part) -> int:
    """What a part adds to a strut besides the body's own length, nm."""
    if isinstance(part, Fitting):
        return part.adds
    return part.length if isinstance(part, Extension | Adapter) else 0


def _total(terms: list[tuple[int | None, int]]) -> int | None:
    """The sum of values times numbers; None where a value is not known."""
    total = 0
    for value, number in terms:
        if value is None:
            return None
        total += value * number
    return total


def _multisets(group: Group, n: int) -> list[tuple[Part, ...]]:
    """The multisets of n pieces of a group that its stock holds, longest piece first."""
    stock = dict(zip((part.id for part in group.parts), group.counts, strict=True))
    return [
        pieces
        for pieces in combinations_with_replacement(reversed(group.parts), n)
        if all(number <= stock[part] for part, number in Counter(p.id for p in pieces).items())
    ]


def _only_piece(block: Block) -> set[str]:
    """Fittings that stand in both end groups of a block but have one piece only: they cannot be at both ends."""
    if block.ground is not block.load:
        return set()
    return {part.id for part, n in zip(block.ground.parts, block.ground.counts, strict=True) if n < 2}


def _laid_out(shape: Shape, stack: Stack) -> tuple[tuple[Part, ...], tuple[Part, ...]]:
    """The pieces of a stack in the places of a shape, the longest of each group nearest the body."""
    left = [list(group) for group in stack.parts]
    above = [left[i].pop(0) for i in shape.above]
    below = [left[i].pop(0) for i in reversed(shape.below)]
    return tuple(reversed(below)), tuple(above)
