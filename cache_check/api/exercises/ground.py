"""What exercises are made from: one rig, the verbs asked of it, choices drawn by lot, and faults of a count."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property
from hashlib import sha256
from itertools import islice
from typing import TypeVar

from cache_check.api.audit import audit, sheet
from cache_check.api.base import LIST_AT_MOST, WhatIf, muster_of
from cache_check.frozen import dataclass
from cache_check.model.assembly import Span
from cache_check.model.cache import Cache
from cache_check.model.count import CountLine, CountSheet, SetLine, SheetLine
from cache_check.model.counting import Tally
from cache_check.model.exercise import Card
from cache_check.model.need import Needs
from cache_check.model.result import Reach
from cache_check.model.rule import RuleBook
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.tally import tally
from cache_check.units import NM_PER_INCH, NM_PER_MM, show

One = TypeVar("One")
Cards = Iterator[Card]
WRONG = 3  # wrong choices beside the right one


class Draw:
    """Choices that a seed and a name fix, the same on every machine: a counter under SHA-256 (FIPS 180-4)."""

    def __init__(self, seed: int, name: str) -> None:
        self._key, self._count = f"{seed}:{name}", 0

    def below(self, most: int) -> int:
        """A whole number from 0 to below ``most``; of 256 bits, so that no remainder is favoured noticeably."""
        self._count += 1
        return int.from_bytes(sha256(f"{self._key}:{self._count}".encode()).digest()) % most

    def one(self, of: Sequence[One]) -> One:
        """One of some things."""
        return of[self.below(len(of))]

    def some(self, of: Sequence[One], most: int) -> list[One]:
        """At most so many of some things, in a drawn order."""
        return list(islice(self.all(of), most))

    def all(self, of: Sequence[One]) -> Iterator[One]:
        """All of some things, one at a time, in a drawn order."""
        left = list(of)
        while left:
            yield left.pop(self.below(len(left)))


@dataclass(frozen=True)
class Ground:
    """One rig and what is supposed of it; figures are said in its units."""

    cache: Cache
    book: RuleBook
    suppose: WhatIf
    needs: Needs | None = None

    @cached_property
    def reached(self) -> Reach:
        """Assemblies, where they are few enough to be listed, and union of the whole rig."""
        return self.muster.joined.reach(LIST_AT_MOST)

    @cached_property
    def muster(self) -> Muster:
        """What the rig can build."""
        return muster_of(self.cache, self.book, self.suppose, needs=self.needs)

    @cached_property
    def names(self) -> dict[str, str]:
        """What people call every part; a command is told its short name."""
        return self.muster.cache.catalogue.said

    @property
    def typed(self) -> dict[str, str]:
        """The name of every part by which a command knows it."""
        return self.muster.cache.catalogue.short_names

    @property
    def grain(self) -> int:
        """What a length that is asked about is a multiple of, nm: an inch, or 50 mm."""
        return NM_PER_INCH if self.cache.units == "us" else 50 * NM_PER_MM

    def lengths(self, spans: Sequence[Span]) -> list[int]:
        """Whole lengths inside some spans, nm."""
        grain = self.grain
        return [at * grain for low, high in spans for at in range(-(-low // grain), high // grain + 1)]

    @property
    def asked(self) -> list[int]:
        """Lengths to ask about: those of the needs where there are any, else every whole length in reach."""
        needs = [need for scene in (self.needs.scenes if self.needs else ()) for need in scene.needs]
        needed = set(self.lengths([(need.shortest, need.longest) for need in needs]))
        return [at for at in self.lengths(self.reached.union) if not needed or at in needed]

    def stack(self, parts: Sequence[str]) -> str:
        """Parts from ground to load."""
        return " + ".join(self.names.get(part, part) for part in parts)

    def length(self, nm: int) -> str:
        """A length of a question: a whole number of its unit, so exact."""
        return show(nm, "length", self.cache.units, "nearest")

    def at(self, length: int, taken: Sequence[tuple[str, int]] = ()) -> Tally:
        """The tally at a length, as ``reach`` has it, with some more pieces gone."""
        suppose = replace(self.suppose, without=(*self.suppose.without, *taken))
        muster = muster_of(self.cache, self.book, suppose) if taken else self.muster
        return tally(muster, Ask(length, length), self.length(length))


def card(draw: Draw, question: str, right: str, wrong: Sequence[str], why: str, rests: str, command: str) -> Cards:
    """A card with one right choice among wrong ones, in a drawn order; none where there is no wrong one."""
    if others := [one for one in dict.fromkeys(wrong) if one != right]:
        choices = draw.some([right, *draw.some(others, WRONG)], WRONG + 1)
        yield Card("", "first", question, tuple(choices), (choices.index(right),), why, rests, command)


@dataclass(frozen=True)
class Fault:
    """One way for a line of a count to be wrong: which lines it fits, what is found, how that is said."""

    fits: Callable[[SheetLine], bool]
    spoil: Callable[[CountLine], CountLine]
    says: Callable[[SheetLine], str]


FAULTS = (
    Fault(lambda line: not line.serial and (line.book or 0) > 1,
          lambda line: line.changed(found=(line.found or 1) - 1, usable=(line.found or 1) - 1),
          lambda line: f"{(line.book or 1) - 1} found, all fit"),
    Fault(lambda line: bool(line.serial), lambda line: line.changed(label="unreadable"),
          lambda line: "found, its label cannot be read, no tag on it"),
    Fault(lambda line: bool(line.serial), lambda line: line.changed(found=0, usable=None), lambda line: "not found"),
)  # fmt: skip


def found(ground: Ground, wrong: int | None = None, fault: Fault | None = None) -> frozenset[tuple[str, str]]:
    """The findings (rule, part or serial) of an audit in which all is as booked but for one line, by its number."""
    blank, lines = sheet(ground.cache), []
    for number, line in ((number, line) for number, line in enumerate(blank.lines) if line.part):
        whole = CountLine(
            part=line.part, serial=line.serial, found=line.book, usable=line.book, label="legible", pins=True,
            points=line.points * (line.book or 0) or None, inspected=ground.muster.on if line.serial else None,
            initials="x",
        )  # fmt: skip
        lines.append(fault.spoil(whole) if fault and number == wrong else whole)
    count = CountSheet(
        rig=ground.cache.id, units=ground.cache.units, on=ground.muster.on, book=blank.book, lines=tuple(lines),
        sets=tuple(SetLine(id=line.ready_set, found=True, held=True) for line in blank.lines if line.ready_set),
    )  # fmt: skip
    told = audit(ground.cache, ground.book, count, suppose=replace(ground.suppose, without=(), extra=()))
    return frozenset(
        (one.finding.rule, one.finding.serial or one.finding.part) for one in told.findings if one.finding.part
    )


def said(ground: Ground, line: SheetLine, fault: Fault | None) -> str:
    """A line of a count in words."""
    named = f"{line.place}: {line.book} x {ground.names[line.part]}" + (f" {line.serial}" if line.serial else "")
    fine = "found, label legible" if line.serial else f"{line.book} found, all fit"
    return f"{named}; {fault.says(line) if fault else fine}"
