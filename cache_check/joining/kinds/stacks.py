"""Which parts may stand where in a stack, which ends may meet, and what sums over a strut are bounded."""

from typing import ClassVar

from cache_check.joining.kind import Kind, in_both
from cache_check.joining.seats import Seat
from cache_check.model.family import CAPTIVE, Catalogue
from cache_check.model.part import Body, End, Extension, Fitting, Part


class OneBaseOneHead(Kind):
    """A stack is one ground fitting, one load fitting, and one body between; so enumeration makes them all."""

    def stack(self, parts: tuple[Part, ...]) -> str | None:
        if len(bodies := [part.name for part in parts if part.kind == "body"]) != 1:
            return f"{len(bodies)} strut bodies ({', '.join(bodies) or 'none'}); a strut has exactly one"
        inside = [part.name for part in parts[1:-1] if part.kind == "fitting"]
        return f"{', '.join(inside)} between other parts; fittings stand at the two ends only" if inside else None


class NoOpenEnd(Kind):
    """Both ends of a stack are closed by a fitting; enumeration makes it true by construction."""

    def stack(self, parts: tuple[Part, ...]) -> str | None:
        if not parts or (len(parts) == 1 and parts[0].kind == "fitting"):
            return "nothing closes the ends; a strut needs a base below and a head above"
        ends = ((parts[0], "lower"), (parts[-1], "upper"))
        left = [f"the {side} end of {part.name}" for part, side in ends if part.kind != "fitting"]
        return f"{' and '.join(left)} left open" if left else None


class FittingRole(Kind):
    """A base on the ground, a head at the load; a fitting may be listed as either."""

    def seat(self, seat: Seat, families: frozenset[str]) -> str | None:
        role = "base" if seat.place == "ground" else "head"
        if not isinstance(seat.part, Fitting) or role in seat.part.serves:
            return None
        return f"{seat.part.name} is not a {role}; it serves as {' or '.join(sorted(seat.part.serves))}"


class FittingIndex(Kind):
    """A fitting that locks only at certain turns must be turned to one: a note, which no list of parts can break."""

    def note(self, seat: Seat) -> str | None:
        part = seat.part
        return f"{part.name}: {part.index}" if isinstance(part, Fitting) and part.index else None


class TravelLocked(Kind):
    """The body's travel is locked in a way that may carry load; an unknown lock never passes."""

    def seat(self, seat: Seat, families: frozenset[str]) -> str | None:
        body = seat.part
        if not isinstance(body, Body) or body.lock in (allowed := self.value("locks", families)):
            return None
        return f"{body.name} locks by {body.lock!r}; load may rest on {' or '.join(allowed) or 'nothing'}"


class MinimumInsertion(Kind):
    """The open length keeps the minimum inside; it is taken at its word where the pull-apart length is not known."""

    def seat(self, seat: Seat, families: frozenset[str]) -> str | None:
        body = seat.part
        if not isinstance(body, Body) or body.pull_apart is None:
            return None
        least, inside = int(self.value("min", families)), body.pull_apart - body.open
        if inside >= least:
            return None
        return f"{body.name} keeps {in_both(inside, 'down')} inside when open, at least {in_both(least, 'up')} is asked"


def mates(one: End, two: End, catalogue: Catalogue) -> bool:
    """Whether two ends mate, whichever is below."""
    alike = one.name == two.name and {one.gender, two.gender} in ({""}, {"plug", "socket"})
    return alike or listed_pin(one, two, catalogue) is not None


def listed_pin(one: End, two: End, catalogue: Catalogue) -> str | None:
    """The pin of a pair of unlike connectors that some family lists as mating; None where none does."""
    pair = {one.connector, two.connector}
    return next((mate.pin for family in catalogue.families for mate in family.mates if set(mate.ends) == pair), None)


class EndsMate(Kind):
    """Two ends mate: one connector, plug into socket, or a pair that a family lists."""

    def joint(self, lower: Seat, upper: Seat) -> str | None:
        if lower.top is None or upper.bottom is None or mates(lower.top, upper.bottom, self.catalogue):
            return None
        ends = f"connector {upper.bottom.connector!r} on connector {lower.top.connector!r}"
        return f"{upper.part.name} does not mate with {lower.part.name}: {ends}"


class EndTakes(Kind):
    """An end takes only the kinds of part that its sheet lists."""

    def joint(self, lower: Seat, upper: Seat) -> str | None:
        for end, own, other in ((lower.top, lower, upper), (upper.bottom, upper, lower)):
            if end is not None and end.takes is not None and other.part.kind not in end.takes:
                side = "upper" if end is lower.top else "lower"
                allowed = ", ".join(sorted(end.takes))
                return f"the {side} side of {own.part.name} takes {allowed} only, not {other.part.name}"
        return None


class FamilyMixing(Kind):
    """Neighbours are of one family, or one of them is an adapter."""

    def joint(self, lower: Seat, upper: Seat) -> str | None:
        if lower.part.family == upper.part.family or "adapter" in (lower.part.kind, upper.part.kind):
            return None
        each = f"{lower.part.name} is of family {lower.part.family}, {upper.part.name} of family {upper.part.family}"
        return f"{each}, and no adapter stands between"


class PinPerJoint(Kind):
    """Every joint that takes a loose pin has its pins: which, and how many."""

    def pin(self, lower: Seat, upper: Seat) -> str:
        """The loose pin of a joint, "" where it carries its own; a listed pair's word goes before its connector's."""
        # Where no rule keeps unlike ends apart that no family lists, it takes that of either end: none would be less.
        # Every stack of the same parts joins the same ends, so that where only like ends meet it takes the same pins
        # however they sit; else the way up decides.
        if lower.top is None or upper.bottom is None:
            return ""
        pin = listed_pin(lower.top, upper.bottom, self.catalogue)
        either = [self.catalogue.pin_of.get(end.name) for end in (lower.top, upper.bottom)] if pin is None else [pin]
        return next((one for one in either if one is not None and one != CAPTIVE), "")

    def number(self, families: frozenset[str]) -> int:
        """How many a joint that takes loose pins has in a stack of these families."""
        return int(self.value("per_joint", families)) if self.is_on(families) else 0


class ExtensionOrder(Kind):
    """The longest extension of a side next to the body, shorter ones going away from it, whatever stands between."""

    reads: ClassVar[tuple[str, ...]] = ("length",)

    def inward(self, passed: tuple[Part, ...], part: Part) -> str | None:
        if not isinstance(part, Extension):
            return None
        longer = [piece for piece in passed if isinstance(piece, Extension) and piece.length > part.length]
        return f"{longer[-1].name} is longer than {part.name}, which is nearer the body" if longer else None


class ExtensionCount(Kind):
    """At most so many extensions in one strut; adapters are none."""

    counted: ClassVar[str] = "extension"

    def measure(self, part: Part) -> int:
        return int(part.kind == self.counted)

    def limit(self, families: frozenset[str]) -> int | None:
        return int(self.value("max", families))

    def over(self, total: int, limit: int) -> str:
        return f"{total} {self.counted}s, at most {limit} allowed"


class AdapterCount(ExtensionCount):
    """At most so many adapters in one strut."""

    counted = "adapter"


class ExtensionLength(ExtensionCount):
    """At most so much extension length in one strut, nm; a sum that meets the limit exactly is met."""

    def measure(self, part: Part) -> int:
        return part.length if isinstance(part, Extension) else 0

    def over(self, total: int, limit: int) -> str:
        return f"{in_both(total, 'nearest')} of extensions, at most {in_both(limit, 'nearest')} allowed"
