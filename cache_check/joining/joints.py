"""Joints: which seats may meet under the rules in force, which rules forbid it, and the pin a joint takes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property
from itertools import pairwise

from cache_check.joining.kind import Kind, kinds_in_force
from cache_check.joining.kinds import pin_per_joint
from cache_check.joining.seats import PLACES, Seat, families_of, seats
from cache_check.model.family import Catalogue
from cache_check.model.part import Part
from cache_check.model.rule import RuleBook


class Joints:
    """The joint rules of a book at work on a catalogue."""

    def __init__(self, catalogue: Catalogue, book: RuleBook) -> None:
        self.catalogue = catalogue
        self.book = book
        self.kinds: tuple[Kind, ...] = kinds_in_force(book, catalogue)

    @cached_property
    def stopping(self) -> tuple[Kind, ...]:
        """The kinds whose breach makes a stack illegal."""
        return tuple(kind for kind in self.kinds if kind.stops)

    @cached_property
    def reads(self) -> tuple[str, ...]:
        """The fields, beyond kind, family and ends, that the stopping rules tell joints apart by."""
        return tuple(dict.fromkeys(field for kind in self.stopping for field in kind.reads))

    def broken_seat(
        self, seat: Seat, kinds: tuple[Kind, ...], families: frozenset[str] | None = None
    ) -> Iterator[tuple[Kind, str]]:
        """Every rule that a seat breaks, with what it says; in a stack of the part's own family unless given."""
        families = families_of((seat.part,)) if families is None else families
        for kind in kinds:
            says = kind.seat(seat, families)
            if says and kind.is_on(families):
                yield kind, says

    def broken_joint(
        self, lower: Seat, upper: Seat, kinds: tuple[Kind, ...], families: frozenset[str] | None = None
    ) -> Iterator[tuple[Kind, str]]:
        """Every rule that a joint breaks, with what it says; in a stack of the two parts' families unless given."""
        families = families_of((lower.part, upper.part)) if families is None else families
        for kind in kinds:
            says = kind.joint(lower, upper)
            if says and kind.is_on(families):
                yield kind, says

    def broken_side(
        self, inward: Sequence[Part], kinds: tuple[Kind, ...], families: frozenset[str]
    ) -> Iterator[tuple[Kind, str]]:
        """Every rule that the order of the pieces on one side breaks, the pieces given from the fitting inward."""
        for at, part in enumerate(inward):
            for kind in kinds:
                says = kind.inward(tuple(inward[:at]), part)
                if says and kind.is_on(families):
                    yield kind, says

    def may_sit(self, seat: Seat) -> bool:
        """Whether no stopping rule forbids the seat in a stack of the part's own family."""
        return next(self.broken_seat(seat, self.stopping), None) is None

    def may_join(self, lower: Seat, upper: Seat) -> bool:
        """Whether no stopping rule forbids the joint in a stack of the two parts' families."""
        if lower.top is None or upper.bottom is None:
            return False
        return next(self.broken_joint(lower, upper, self.stopping), None) is None

    def may_follow(self, passed: tuple[Part, ...], part: Part, families: frozenset[str]) -> bool:
        """Whether no stopping rule forbids a piece next inward after those passed."""
        return not any(kind.inward(passed, part) and kind.is_on(families) for kind in self.stopping)

    def may_stand(self, stack: Sequence[Seat], families: frozenset[str]) -> bool:
        """Whether no stopping rule forbids any seat, joint or order of a whole stack of these families."""
        kinds = self.stopping
        if any(next(self.broken_seat(seat, kinds, families), None) for seat in stack):
            return False
        if any(next(self.broken_joint(*pair, kinds, families), None) for pair in pairwise(stack)):
            return False
        return not any(next(self.broken_side(side, kinds, families), None) for side in sides(stack))

    def pin(self, lower: Seat, upper: Seat, families: frozenset[str] | None = None) -> tuple[str, int] | None:
        """The loose pin that a joint takes and how many; None where it takes none."""
        families = families_of((lower.part, upper.part)) if families is None else families
        for kind in self.kinds:
            if isinstance(kind, pin_per_joint.Check):
                return kind.pins(lower, upper, families)
        return None

    def pins_along(self, parts: Sequence[Part]) -> tuple[tuple[str, int] | None, ...]:
        """The loose pin of each joint of a legal stack or a part of one, ground to load; None where none is taken."""
        families = families_of(tuple(parts))
        return tuple(self._pin_between(lower, upper, families) for lower, upper in pairwise(parts))

    def _pin_between(self, lower: Part, upper: Part, families: frozenset[str]) -> tuple[str, int] | None:
        """Whichever way up two neighbours have to sit to mate."""
        for below in _ways(lower):
            for above in _ways(upper):
                if self.may_join(below, above):
                    return self.pin(below, above, families)
        return None

    def allowed_by(self, lower: Seat, upper: Seat) -> str:
        """The id of the rule that allows a legal joint: the adapter rule at an adapter, else that ends mate."""
        wanted = "adapter_count" if "adapter" in (lower.part.kind, upper.part.kind) else "ends_mate"
        return next((kind.rule.id for kind in self.kinds if kind.rule.kind == wanted), "")


def sides(stack: Sequence[Seat]) -> tuple[tuple[Part, ...], tuple[Part, ...]]:
    """The pieces below the body and those above it, each from its fitting inward."""
    below = tuple(seat.part for seat in stack if seat.place == "below")
    above = tuple(seat.part for seat in stack if seat.place == "above")
    return below, above[::-1]


def _ways(part: Part) -> Iterator[Seat]:
    for place in PLACES:
        yield from seats(part, place)
