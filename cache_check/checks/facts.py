"""What a check may look at: the muster and everything that has been worked out of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import TYPE_CHECKING, Protocol

from cache_check.frozen import dataclass
from cache_check.joining.stock import Fitness
from cache_check.model.cache import Cache, Item
from cache_check.model.counting import SceneAnswer, Tally
from cache_check.model.need import Scene
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
