"""What a part offers by itself: the ways it may sit in a stack, and the lengths that it gives to one."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Literal

from cache_check.frozen import dataclass
from cache_check.model.assembly import Span, merged
from cache_check.model.part import Adapter, Body, End, Extension, Fitting, Part, TwoEnded

Place = Literal["ground", "below", "body", "above", "load"]
PLACES: tuple[Place, ...] = ("ground", "below", "body", "above", "load")


@dataclass(frozen=True)
class Seat:
    """A part in its place, one way up: what it offers downward and upward (None: no end there)."""

    part: Part
    place: Place
    turned: bool
    bottom: End | None
    top: End | None


def seats(part: Part, place: Place) -> tuple[Seat, ...]:
    """Every way the part may sit in a place, whatever the rules say of it; () where it cannot be at all."""
    if isinstance(part, Fitting):
        if place == "ground":
            return (Seat(part, place, False, None, part.end),)
        return (Seat(part, place, False, part.end, None),) if place == "load" else ()
    if not isinstance(part, TwoEnded) or place in ("ground", "load") or isinstance(part, Body) != (place == "body"):
        return ()
    upright = Seat(part, place, False, part.lower, part.upper)
    if part.either_way_up and part.lower != part.upper:
        return (upright, Seat(part, place, True, part.upper, part.lower))
    return (upright,)


def families_of(parts: tuple[Part, ...]) -> frozenset[str]:
    """The families that speak for a stack: those of its parts, adapters left out."""
    return frozenset(part.family for part in parts if part.kind != "adapter")


def places(parts: Sequence[Part]) -> list[Place]:
    """Where each part of a list stands: fittings at the two ends, the rest by the side of the first body."""
    body = next((i for i, part in enumerate(parts) if part.kind == "body"), len(parts))

    def place(at: int, part: Part) -> Place:
        if part.kind == "fitting":
            return "ground" if at == 0 else "load"
        return "body" if part.kind == "body" else "below" if at < body else "above"

    return [place(at, part) for at, part in enumerate(parts)]


def settable(body: Body) -> tuple[Span, ...]:
    """The lengths (nm) that a body can be set to, apart and rising; a hole without a fine screw is a single length."""
    if body.holes is None:
        return ((body.closed, body.open),)
    first = body.closed if body.holes.first is None else body.holes.first
    holes = range(first, body.open + 1, body.holes.pitch)
    return merged((hole, min(hole + body.holes.fine, body.open)) for hole in holes)


def between(union: tuple[Span, ...]) -> tuple[Span, ...]:
    """The open gaps between the spans of a union: lengths strictly between each pair of ends."""
    return tuple((one[1], two[0]) for one, two in pairwise(union))


def added_length(part: Part) -> int:
    """What a part adds to a strut besides the body's own length, nm."""
    if isinstance(part, Fitting):
        return part.adds
    assert isinstance(part, Extension | Adapter)
    return part.length
