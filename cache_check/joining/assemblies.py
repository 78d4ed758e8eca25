"""Legal assemblies of a stock, by identity and in a stable order, kept factored until listed; what lengths they reach.

An assembly is a base, a body, a head and a multiset of pieces between.  Which multisets are legal depends on
the groups of the three (``groups.py``); so for each triple of groups the pieces are worked out once and the
bases, bodies and heads are multiplied out only when listed.
"""

from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from functools import cache, cached_property
from itertools import product, starmap
from math import lcm, prod

from cache_check.frozen import dataclass
from cache_check.joining.groups import Group, Groups, Limit, Vector, ends, multisets, only_piece
from cache_check.joining.joints import Joints, Pins, total
from cache_check.joining.kind import Kind
from cache_check.joining.seats import added_length, between, families_of, settable
from cache_check.joining.shapes import Shape, Shapes
from cache_check.model.assembly import Assembly, Span, merged
from cache_check.model.family import Catalogue
from cache_check.model.part import Body, Part
from cache_check.model.result import Reach
from cache_check.model.rule import RuleBook


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
class Block:
    """All assemblies between a base group, a body group and a head group that share one shape."""

    ground: Group
    body: Group
    load: Group
    shape: Shape
    stacks: tuple[Stack, ...]


class Joinery:
    """The legal assemblies that usable pieces can make, each on its own."""

    def __init__(
        self, catalogue: Catalogue, counts: dict[str, int], book: RuleBook, joints: Joints | None = None
    ) -> None:
        self.catalogue, self.counts = catalogue, counts
        self.joints = joints or Joints(catalogue, book)
        self.groups = Groups(self.joints, counts)
        self.shapes = Shapes(self.groups)
        self._made: dict[tuple[str, ...], tuple[Assembly, ...]] = {}
        self.reach = cache(self._reach)
        # Groups and vectors come again with each base, body and head.
        self._of_group, self._measured = cache(self._multisets), cache(self._sums)
        self._stacks, self._numbers = cache(self._filled), cache(self._number)

    @cached_property
    def settings(self) -> dict[str, tuple[Span, ...]]:
        """The lengths (nm) that each body can be set to."""
        return {part.id: settable(part) for part in self.catalogue.parts if isinstance(part, Body)}

    @cached_property
    def blocks(self) -> tuple[Block, ...]:
        """Every block with at least one stack, in order of base, body, head and shape."""
        made = (
            Block(*ends, shape, self._stacks(shape.vector, self.groups.limits(shape.families)))
            for ends, shapes in self._shaped()
            for shape in shapes
        )
        return tuple(block for block in made if block.stacks)

    def _shaped(self) -> Iterator[tuple[tuple[Group, Group, Group], tuple[Shape, ...]]]:
        groups = self.groups
        for (g, ground), (b, body), (h, load) in product(*map(enumerate, (groups.bases, groups.bodies, groups.heads))):
            yield (ground, body, load), self.shapes.between(g, b, h)

    def _filled(self, vector: Vector, limits: tuple[Limit, ...]) -> tuple[Stack, ...]:
        """The multisets of a vector that the stock holds and the limits allow, the shortest first."""
        filled, found = [self._of_group(i, n) for i, n in enumerate(vector)], []
        binding = [limit for limit in limits if not self._always(vector, limit)]
        for chosen in product(*filled):
            parts = tuple(group for group, _ in chosen)
            if all(sum(kind.measure(p) for group in parts for p in group) <= most for kind, most in binding):
                found.append(Stack(parts, sum(length for _, length in chosen)))
        return tuple(sorted(found, key=lambda stack: stack.length))

    def _always(self, vector: Vector, limit: Limit) -> bool:
        most = sum(n * max(map(limit.kind.measure, self.groups.pieces[i].parts)) for i, n in enumerate(vector) if n)
        return most <= limit.most

    def _multisets(self, group: int, n: int) -> list[tuple[tuple[Part, ...], int]]:
        """The multisets of n pieces of a group that its stock holds, longest piece first, with their lengths."""
        parts = self.groups.pieces[group]
        length = {part.id: added_length(part) for part in parts.parts}
        return [(pieces, sum(length[piece.id] for piece in pieces)) for pieces in multisets(parts, n)]

    def count(self) -> int:
        """How many assemblies there are, without listing them."""
        total, limits = 0, self.groups.limits
        for (ground, body, load), shapes in self._shaped():
            stacks = (self._numbers(one.vector, limits(one.families)) for one in shapes if not one.again)
            total += len(ends(ground, load)) * len(body.parts) * sum(stacks)
        return total

    def of_use(self) -> frozenset[str]:
        """The parts that some assembly takes, without listing any."""
        groups, used = self.groups, set[str]()
        for three, shapes in self._shaped():
            for shape in shapes:
                used.update(part.id for group in three for part in group.parts)
                for i in (i for i, n in enumerate(shape.vector) if n):
                    pieces = (p for p in groups.pieces[i].parts if p.id not in used)
                    used.update(p.id for p in pieces if groups.may_hold_one(shape.vector, shape.families, i, p))
        return frozenset(used)

    def _number(self, vector: Vector, limits: tuple[Limit, ...]) -> int:
        """How many stacks of a vector there are; where one limit binds the largest group is only looked up."""
        binding = [limit for limit in limits if not self._always(vector, limit)]
        chosen = [(i, n) for i, n in enumerate(vector) if n]
        if len(binding) > 1:
            return len(self._stacks(vector, limits))
        if not binding or not chosen:
            return prod(len(self._of_group(i, n)) for i, n in chosen)
        sums = sorted((self._measured(i, n, binding[0].kind) for i, n in chosen), key=len)
        last = sums.pop()
        return sum(bisect_right(last, binding[0].most - sum(others)) for others in product(*sums))

    def _sums(self, group: int, n: int, kind: Kind) -> list[int]:
        """What each multiset of n pieces of a group adds to a bounded sum, rising."""
        measure = {part.id: kind.measure(part) for part in self.groups.pieces[group].parts}
        return sorted(sum(measure[part.id] for part in parts) for parts, _ in self._of_group(group, n))

    def assemblies(self, *, again: bool = False) -> Iterator[Assembly]:
        """Every assembly once, by group (sort by ``order``); ``again``: with each choice of pins, none fewer in all."""
        for block in self.blocks:
            if block.shape.again and not again:
                continue
            alone = only_piece(block.ground, block.load)
            three = product(block.ground.parts, block.body.parts, block.load.parts)
            held = [one for one in three if one[0].id != one[2].id or one[0].id not in alone]
            for stack in block.stacks:
                yield from starmap(self._between(*_laid_out(block.shape, stack), block.shape.pins), held)

    def assembly(self, ground: Part, body: Part, load: Part, shape: Shape, stack: Stack) -> Assembly:
        """The assembly of these fittings, body and pieces, laid out in the order of a shape."""
        return self._between(*_laid_out(shape, stack), shape.pins)(ground, body, load)

    def assembly_of(self, parts: Sequence[Part]) -> Assembly:
        """The assembly of parts in a legal order, ground to load, whatever the stock holds."""
        # Of the ways to pin it the one for which the stock lacks the fewest pins, then the one that takes the fewest.
        made = self.assemblies_of(parts)
        return min(made, key=lambda one: sum(max(0, n - self.counts.get(pin, 0)) for pin, n in one.pins))

    def assemblies_of(self, parts: Sequence[Part]) -> tuple[Assembly, ...]:
        """The same in every way to pin it that is worth its pins, the fewest pins first."""
        if (ids := tuple(part.id for part in parts)) not in self._made:
            each = self.joints.pins_each(families_of(tuple(parts)))
            at = next(i for i, part in enumerate(parts) if part.kind == "body")
            pins = dict.fromkeys(total(way, each) for way, _ in self.joints.ways_to_pin(parts))
            ways = (self._between(tuple(parts[1:at]), tuple(parts[at + 1 : -1]), taken) for taken in pins)
            self._made[ids] = tuple(build(parts[0], parts[at], parts[-1]) for build in ways)
        return self._made[ids]

    def _between(
        self, below: tuple[Part, ...], above: tuple[Part, ...], pins: Pins
    ) -> Callable[[Part, Part, Part], Assembly]:
        pieces = (*below, *above)
        length = sum(added_length(part) for part in pieces)
        extensions = sum(1 for part in pieces if part.kind == "extension")
        low, high = tuple([part.id for part in below]), tuple([part.id for part in above])
        weights, grain = self._weights
        inside = _total([weights[part.id] for part in pieces] + [weights[pin] for pin, n in pins for _ in range(n)])

        def build(ground: Part, body: Part, load: Part) -> Assembly:
            fixed = added_length(ground) + added_length(load) + length
            spans = tuple((closed + fixed, opened + fixed) for closed, opened in self.settings[body.id])
            mass = _total([inside, weights[ground.id], weights[body.id], weights[load.id]])
            return Assembly(
                ground.id, low, body.id, high, load.id, spans, extensions, len(pieces) + 2, pins,
                None if mass is None else Fraction(mass, grain),
            )  # fmt: skip

        return build

    @cached_property
    def _weights(self) -> tuple[dict[str, int | None], int]:
        """The mass of every part in whole grains, and the grains in a kilogram: whole numbers add up quickly."""
        grain = lcm(*(part.mass.denominator for part in self.catalogue.parts if part.mass is not None))
        return {p.id: None if p.mass is None else int(p.mass * grain) for p in self.catalogue.parts}, grain

    def _reach(self, list_at_most: int) -> Reach:
        """The reach of the stock; assemblies are listed only if there are no more than ``list_at_most``."""
        count, union = self.count(), union_of(self)
        by_fitting = [
            (role, part.id, union_of(self, lambda *pair, at=at, own=part.id: pair[at].id == own))
            for at, role in enumerate(("base", "head"))
            for part in self.catalogue.parts
            if part.kind == "fitting"
        ]
        listed = tuple(sorted(self.assemblies(), key=lambda a: a.order)) if count <= list_at_most else ()
        return Reach(count, listed, union, between(union), tuple(row for row in by_fitting if row[2]))


def _total(values: list[int | None]) -> int | None:
    return None if None in values else sum(filter(None, values))


def _laid_out(shape: Shape, stack: Stack) -> tuple[tuple[Part, ...], tuple[Part, ...]]:
    """The pieces of a stack in the places of a shape, the longest of each group nearest the body."""
    left = [list(group) for group in stack.parts]
    above = [left[i].pop(0) for i in shape.above]
    return tuple(reversed([left[i].pop(0) for i in reversed(shape.below)])), tuple(above)


def union_of(joined: Joinery, keep: Callable[[Part, Part], bool] = lambda ground, load: True) -> tuple[Span, ...]:
    """The lengths (nm) that at least one assembly covers, over the pairs of fittings that ``keep`` lets through."""
    spans: set[Span] = set()
    for block in joined.blocks:
        pairs = (pair for pair in ends(block.ground, block.load) if keep(*pair))
        fittings = {added_length(ground) + added_length(load) for ground, load in pairs}
        fixed = {adds + stack.length for adds in fittings for stack in block.stacks}
        for settings in {settable(body) for body in block.body.parts if isinstance(body, Body)}:
            spans.update((low + more, high + more) for low, high in settings for more in fixed)
    return merged(spans)
