"""A base on the ground, a head at the load; a fitting may be listed as either."""

from __future__ import annotations

from cache_check.joining.kind import Kind
from cache_check.joining.seats import Seat
from cache_check.model.part import Fitting


class Check(Kind):
    """Asks what a fitting is listed for."""

    def seat(self, seat: Seat, families: frozenset[str]) -> str | None:
        if not isinstance(seat.part, Fitting):
            return None
        role = "base" if seat.place == "ground" else "head"
        if role in seat.part.serves:
            return None
        return f"{seat.part.name} is not a {role}; it serves as {' or '.join(sorted(seat.part.serves))}"
