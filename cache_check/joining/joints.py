"""Joints: which seats may meet under the rules in force, which rules forbid it, and the pin a joint takes."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

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

    def broken_seat(self, seat: Seat, kinds: tuple[Kind, ...]) -> Iterator[tuple[Kind, str]]:
        """Every rule that a seat breaks, with what it says."""
        families = families_of((seat.part,))
        for kind in kinds:
            says = kind.seat(seat)
            if says and kind.is_on(families):
                yield kind, says

    def broken_joint(self, lower: Seat, upper: Seat, kinds: tuple[Kind, ...]) -> Iterator[tuple[Kind, str]]:
        """Every rule that a joint breaks, with what it says."""
        families = families_of((lower.part, upper.part))
        for kind in kinds:
            says = kind.joint(lower, upper)
            if says and kind.is_on(families):
                yield kind, says

    def may_sit(self, seat: Seat) -> bool:
        """Whether no stopping rule forbids the seat."""
        return next(self.broken_seat(seat, self.stopping), None) is None

    def may_join(self, lower: Seat, upper: Seat) -> bool:
        """Whether no stopping rule forbids the joint."""
        if lower.top is None or upper.bottom is None:
            return False
        return next(self.broken_joint(lower, upper, self.stopping), None) is None

    def pin(self, lower: Seat, upper: Seat) -> tuple[str, int] | None:
        """The loose pin that a joint takes and how many; None where it takes none."""
        for kind in self.kinds:
            if isinstance(kind, pin_per_joint.Check):
                return kind.pins(lower, upper)
        return None

    def pin_between(self, lower: Part, upper: Part) -> tuple[str, int] | None:
        """The loose pin between two neighbours of a legal stack, whichever way up they have to sit to mate."""
        for below in _ways(lower):
            for above in _ways(upper):
                if self.may_join(below, above):
                    return self.pin(below, above)
        return None

    def allowed_by(self, lower: Seat, upper: Seat) -> str:
        """The id of the rule that allows a legal joint: the adapter rule at an adapter, else that ends mate."""
        wanted = "adapter_count" if "adapter" in (lower.part.kind, upper.part.kind) else "ends_mate"
        return next((kind.rule.id for kind in self.kinds if kind.rule.kind == wanted), "")


def _ways(part: Part) -> Iterator[Seat]:
    for place in PLACES:
        yield from seats(part, place)
