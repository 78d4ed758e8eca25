"""What a check may look at: the muster and everything that has been worked out of it, kept factored."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import TYPE_CHECKING, Protocol

from cache_check.frozen import dataclass
from cache_check.joining.assemblies import Block
from cache_check.joining.explain import broken_rules
from cache_check.joining.groups import ends
from cache_check.joining.seats import added_length, merged, settable
from cache_check.joining.stock import Fitness
from cache_check.model.assembly import Assembly, Span
from cache_check.model.cache import Cache, Item, ReadySet
from cache_check.model.counting import SceneAnswer, Tally
from cache_check.model.family import Chart
from cache_check.model.need import Need, Scene
from cache_check.model.part import Body
from cache_check.model.piece import Judged
from cache_check.model.result import Reach
from cache_check.planning.packing.muster import Muster

if TYPE_CHECKING:
    from cache_check.checks.counted import Counted
    from cache_check.model.count import CountSheet
    from cache_check.model.load import Carrier, LoadResult


class Mustered(Protocol):
    """Whatever is known of a muster: all that the phrases of ``say`` look at."""

    @property
    def muster(self) -> Muster:
        """The muster."""
        ...


@dataclass(frozen=True)
class Facts:
    """The facts of one cache or pool on a day; ``tallies`` are in the order of the needs they answer."""

    muster: Muster
    scenes: tuple[Scene, ...]
    tallies: tuple[Tally, ...]
    answers: tuple[SceneAnswer, ...]
    reach: Reach

    @cached_property
    def _fitness(self) -> Fitness:
        return Fitness(self.muster.book, self.muster.cache.catalogue)

    def judged(self, item: Item) -> Judged:
        """What a piece is on the day asked about."""
        return self._fitness.of(item, self.muster.on)

    @cached_property
    def _binding(self) -> dict[str, list[str]]:
        """For each part that binds, the needs, lengths and scenes that it binds."""
        rows = [(one.label, one.binding) for one in self.tallies]
        rows += [(f"scene {one.scene}", one.binding) for one in self.answers if len(one.by_need) > 1 or not rows]
        found: dict[str, list[str]] = {}
        for label, binding in rows:
            for part in {*binding.singles, *(part for pair in binding.pairs for part in pair)}:
                found.setdefault(part, []).append(label)
        return found

    def bound_by(self, parts: Iterable[str]) -> tuple[str, ...]:
        """The needs, lengths and scenes whose next strut one more of some of these parts allows."""
        return tuple(dict.fromkeys(label for part in parts for label in self._binding.get(part, ())))

    def family_of(self, part: str) -> tuple[str, ...]:
        """The family of a part, as the book of rules wants it."""
        return (self.muster.cache.catalogue.by_id[part].family,)


@dataclass(frozen=True)
class LoadFacts:
    """The facts of one situation: the muster, and the answer so far.

    A kind that has something to say of a situation has ``load(facts, rule) -> Iterator[Finding]``.
    """

    muster: Muster
    result: LoadResult

    @property
    def best(self) -> Carrier | None:
        """The best assembly at this length, whether or not it carries."""
        return next(iter(self.result.carriers), None)


@dataclass(frozen=True)
class Mustering:
    """The muster of a cache as counted, for what is said of the rig as a whole."""

    muster: Muster


@dataclass(frozen=True)
class Inspection:
    """One audit; ``facts`` are of the cache as counted.  ``count`` None: the book as it stands is audited."""

    facts: Facts
    book: Cache
    book_hash: str
    count: CountSheet | None
    counted: Counted

    @property
    def muster(self) -> Muster:
        """The muster of the cache as counted."""
        return self.facts.muster

    def items(self) -> Iterator[tuple[Item, str]]:
        """Every piece with a serial, as counted, and where it lies."""
        for line in self.muster.cache.stock:
            for item in line.items:
                yield item, item.where or line.where


def asked(facts: Facts) -> Iterator[tuple[Need, Tally]]:
    """Every need of every scene with its tally; none where no needs were given, or no tallies worked out."""
    needs = [need for scene in facts.scenes for need in scene.needs]
    if needs and facts.tallies:
        yield from zip(needs, facts.tallies, strict=True)


def built_sets(facts: Facts) -> Iterator[tuple[ReadySet, Assembly]]:
    """The ready sets with what they are built as; those that are no legal strut have findings of their own."""
    muster = facts.muster
    for ready in muster.cache.ready_sets:
        parts = [muster.cache.catalogue.by_id[part] for part in ready.parts]
        if not any(broken.severity == "stop" for broken in broken_rules(parts, muster.joined.joints)):
            yield ready, muster.joined.assembly_of(parts)


def charts_on_book(facts: Mustered) -> Iterator[Chart]:
    """The charts of families of which the cache lists a strut body, counted or not, in the order of the files."""
    cache = facts.muster.cache
    listed = {line.part for line in cache.stock if line.count != 0}
    for family in dict.fromkeys(p.family for p in cache.catalogue.parts if p.kind == "body" and p.id in listed):
        record = cache.catalogue.family.get(family)
        yield from record.charts if record else ()


def usable_bodies(facts: Facts) -> dict[str, int]:
    """Usable strut bodies by part id."""
    counts = facts.muster.usable.counts
    parts = facts.muster.cache.catalogue.parts
    return {part.id: counts[part.id] for part in parts if part.kind == "body" and counts[part.id]}


def fixed_lengths(block: Block) -> Iterator[tuple[int, int]]:
    """(extensions, length besides the body's own, nm) of every build of a block."""
    fittings = {added_length(ground) + added_length(load) for ground, load in ends(block.ground, block.load)}
    for stack in block.stacks:
        extensions = sum(1 for piece in stack.pieces if piece.kind == "extension")
        for adds in fittings:
            yield extensions, adds + stack.length


def spans_by_build(facts: Facts) -> dict[tuple[str, int], tuple[Span, ...]]:
    """The lengths (nm) that builds of one family cover, by body and number of extensions."""
    found: dict[tuple[str, int], set[Span]] = {}
    for block in facts.muster.joined.blocks:
        if len(block.shape.families) > 1:
            continue
        for extensions, fixed in fixed_lengths(block):
            for body in block.body.parts:
                assert isinstance(body, Body)
                spans = found.setdefault((body.id, extensions), set())
                spans.update((low + fixed, high + fixed) for low, high in settable(body))
    return {build: merged(spans) for build, spans in sorted(found.items())}
