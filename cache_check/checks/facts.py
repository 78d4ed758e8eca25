"""What a check may look at, the muster and everything that has been worked out of it; and how it says what it found."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction
from functools import cached_property, partial, partialmethod
from itertools import chain
from typing import TYPE_CHECKING, Any

from cache_check.checks import say
from cache_check.errors import grouped
from cache_check.frozen import dataclass
from cache_check.joining.assemblies import Block
from cache_check.joining.groups import ends
from cache_check.joining.seats import added_length, settable
from cache_check.joining.stock import Fitness
from cache_check.model.assembly import Assembly, Span, merged
from cache_check.model.cache import Cache, Item, ReadySet
from cache_check.model.counting import Binding, SceneAnswer, Tally
from cache_check.model.finding import Figure, Finding
from cache_check.model.part import Body
from cache_check.model.piece import Judged
from cache_check.model.result import Gap, Reach
from cache_check.model.rule import Rule
from cache_check.model.verdict import Link
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.verdicts import not_counted
from cache_check.units import Dimension, Rounding, as_asked, show

if TYPE_CHECKING:
    from cache_check.checks.counted import Counted
    from cache_check.model.count import CountSheet
    from cache_check.model.load import Carrier, LoadResult
    from cache_check.model.need import Need, Scene

Findings = Iterator[Finding]
Lacks = Iterator[tuple[Gap, str]]
"""Gaps, each with what comes of one in which something is short; "" where nothing is said of that."""


@dataclass(frozen=True)
class Mustered:
    """A muster, and what every check says of one: findings around the figures, names, places, figures in its units."""

    muster: Muster

    def finding(
        self, rule: Rule, what: str, effect: str, *, figures: tuple[tuple[str, Figure], ...] = (), part: str = "",
        where: str = "", rig: str = "", remedy: str = "", serial: str = "", asked: str = "",
    ) -> Finding:  # fmt: skip
        """A finding of a rule; severity, title, source and, unless a better is given, remedy are the rule's in force.

        ``rig`` is the id of the rig that holds the piece.  Without ``where``, the places of ``part`` are named.
        """
        title = self.muster.cache.title
        return Finding(
            rule.id, rule.title, self.muster.book.severity(rule.id), (rig or title) if self.pooled else title, what,
            effect, remedy or rule.remedy, rule.source, figures, part, where or self._places(part), serial, asked=asked,
        )  # fmt: skip

    @property
    def pooled(self) -> bool:
        """Whether several rigs are pooled."""
        return len(self.muster.cache.rigs) > 1

    def of_piece(self, rule: Rule, item: Item, where: str, what: str, effect: str, **more: Any) -> Finding:
        """A finding about one piece that has a serial."""
        what = f"{self.called(item.part, item.serial, 1)}: {what}"
        more |= {"part": item.part, "where": where, "rig": item.rig, "serial": item.serial}
        return self.finding(rule, what, effect, **more)

    def short_finding(self, rule: Rule, gap: Gap, effect: str) -> Finding:
        """The finding of a gap in which something is short."""
        figures = (("have_count", gap.have), ("want_count", gap.want), ("short_count", gap.short))
        part = gap.what if gap.what in self.muster.cache.catalogue.by_id else ""
        remedy = f"{'; '.join(gap.first)}; then, if it is short still, {rule.remedy}" if gap.first else ""
        return self.finding(rule, gap.says, effect, figures=figures, part=part, remedy=remedy)

    def _places(self, part: str) -> str:
        lines = (line for line in self.muster.cache.stock if line.part == part and line.where)
        return ", ".join(dict.fromkeys(f"{line.rig}: " * self.pooled + line.where for line in lines))

    def value(self, rule: Rule, parameter: str, families: Iterable[str] | None = None) -> Any:
        """The value in force of a parameter of a rule for some families; None: the strictest of the cache's."""
        return self.muster.book.value(rule.id, parameter, families)

    def name(self, part: str) -> str:
        """What a part is called to people."""
        return self.muster.cache.catalogue.said.get(part, part)

    def pieces(self, part: str, number: int) -> str:
        """Pieces of a part type: "2 x long-body"."""
        return f"{number} x {self.name(part)}"

    def called(self, part: str, serial: str, number: int) -> str:
        """One piece by its serial, or pieces without one; without a part a ready set by what stands for its serial."""
        return f"{self.name(part)} {serial}".strip() if serial else self.pieces(part, number)

    def left(self, part: str) -> str:
        """How many of a part are left to use, as the end of an effect."""
        have, booked = self.muster.usable.counts[part], self.muster.cache.counted.get(part, 0)
        return f"{have} of {booked} {self.name(part)} left to use"

    def shown(self, dimension: Dimension, value: int | Fraction, rounding: Rounding) -> str:
        """A quantity in the units of the cache; the caller knows which way is the safe one."""
        return show(value, dimension, self.muster.cache.units, rounding)

    length, force = partialmethod(shown, "length"), partialmethod(shown, "force")
    mass = partialmethod(shown, "mass")
    """A length, a force, a weight in these units."""

    def over(self, shortest: int, longest: int) -> str:
        """The length, or range, of an ask."""
        low, high = (as_asked(nm, self.muster.cache.units) for nm in (shortest, longest))
        return f"at {high}" if shortest == longest else f"over {low} to {high}"

    def binds(self, binding: Binding) -> str:
        """What stops the next strut."""
        if binding.untold:
            return f"what stops the next strut: {binding.untold}"
        more = ", or ".join(binding.more(self.muster.cache.catalogue.said))
        some = f"{'' if binding.singles else 'no single part helps; '}{more} allows the next strut"
        return some if more else "neither one part more nor two together allow the next strut"

    def built_sets(self) -> Iterator[tuple[ReadySet, Assembly]]:
        """The ready sets with what they are built as; those that are no legal strut have findings of their own."""
        muster = self.muster
        for ready in muster.cache.ready_sets:
            if not any(broken.severity == "stop" for broken in muster.laid.broken(ready.parts)):
                yield ready, muster.joined.assembly_of([muster.cache.catalogue.by_id[part] for part in ready.parts])

    def usable_bodies(self) -> dict[str, int]:
        """Usable strut bodies by part id."""
        parts, counts = self.muster.cache.catalogue.parts, self.muster.usable.counts
        return {part.id: counts[part.id] for part in parts if part.kind == "body" and counts[part.id]}


@dataclass(frozen=True)
class Facts(Mustered):
    """The facts of one cache or pool on a day; ``tallies`` are in the order of the needs they answer."""

    scenes: tuple[Scene, ...]
    tallies: tuple[Tally, ...]
    answers: tuple[SceneAnswer, ...]
    reach: Reach

    @cached_property
    def judged(self) -> Callable[[Item], Judged]:
        """What a piece is on the day asked about."""
        return partial(Fitness(self.muster.book, self.muster.cache.catalogue).of, on=self.muster.on)

    @cached_property
    def _binding(self) -> dict[str, list[str]]:
        rows = [(one.label, one.binding) for one in self.tallies]
        rows += [(f"scene {one.scene}", one.binding) for one in self.answers if len(one.by_need) > 1 or not rows]
        each = ((label, {*binding.singles, *chain.from_iterable(binding.pairs)}) for label, binding in rows)
        return grouped((part, label) for label, parts in each for part in parts)

    def gap(
        self, rule: Rule, what: str, have: int, want: int, parts: Sequence[str], needs: str, tail: str | None = None,
        held: Iterable[Link] = (),
    ) -> Gap:  # fmt: skip
        """A gap that says what ``needs`` how many, how it ends, what is there; ``held``: what nobody knows to hold."""
        binds = tuple(dict.fromkeys(label for part in parts for label in self._binding.get(part, ())))
        there = {*self.muster.unknown_pieces, *self.muster.cache.uncounted} if want > have else ()
        unknown = tuple(not_counted(self.muster, part) for part in dict.fromkeys(parts) if part in there)
        unknown += tuple(held) if want > have else ()
        idle = (*self.muster.usable.idle, *self.muster.usable.pointless) if want > have else ()
        back = any(one.part in parts and one.free and one.state == "not usable" for one in idle)
        first = (*dict.fromkeys(one.ask for one in unknown), *["bring back what is out of use"] * back)
        if want <= have and any(one.load is not None for one in self.tallies):
            unknown = tuple(held)
        says = f"{needs}: {say.outcome(want, have, binds, unknown)}" + (f" ({have} usable)" if tail is None else tail)
        return Gap(what, have, want, says, rule.id, binds, unknown, first)

    def asked(self) -> Iterator[tuple[Need, Tally]]:
        """Every need of every scene with its tally; none where no needs were given, or no tallies worked out."""
        needs = [need for scene in self.scenes for need in scene.needs]
        if needs and self.tallies:
            yield from zip(needs, self.tallies, strict=True)


@dataclass(frozen=True)
class LoadFacts(Mustered):
    """The facts of one situation: the muster, and the answer so far."""

    result: LoadResult

    @property
    def best(self) -> Carrier | None:
        """The best assembly at this length, whether or not it carries."""
        return next(iter(self.result.carriers), None)


@dataclass(frozen=True)
class Inspection(Mustered):
    """One audit; ``facts`` are of the cache as counted.  ``count`` None: the book as it stands is audited."""

    facts: Facts
    book: Cache
    book_hash: str
    count: CountSheet | None
    counted: Counted

    def items(self) -> Iterator[tuple[Item, str]]:
        """Every piece with a serial, as counted, and where it lies."""
        for line in self.muster.cache.stock:
            yield from ((item, item.where or line.where) for item in line.items)


def fixed_lengths(block: Block) -> Iterator[tuple[int, int]]:
    """(extensions, length besides the body's own, nm) of every build of a block."""
    fittings = {added_length(ground) + added_length(load) for ground, load in ends(block.ground, block.load)}
    for stack in block.stacks:
        extensions = sum(1 for piece in stack.pieces if piece.kind == "extension")
        yield from ((extensions, adds + stack.length) for adds in fittings)


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
