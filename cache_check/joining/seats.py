"""Seats: the ways a part may sit in a stack."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from cache_check.frozen import dataclass
from cache_check.model.part import Body, End, Fitting, Part, TwoEnded

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
    if not isinstance(part, TwoEnded) or isinstance(part, Body) != (place == "body"):
        return ()
    if place in ("ground", "load"):
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
    found: list[Place] = []
    for i, part in enumerate(parts):
        if part.kind == "body":
            found.append("body")
        elif part.kind == "fitting":
            found.append("ground" if i == 0 else "load")
        else:
            found.append("below" if i < body else "above")
    return found
