"""A fitting that locks only at certain turns must be turned to one of them."""

from __future__ import annotations

from cache_check.joining.kind import Kind
from cache_check.joining.seats import Seat
from cache_check.model.part import Fitting


class Check(Kind):
    """Gives a build note; nothing in a list of parts can break it."""

    def note(self, seat: Seat) -> str | None:
        if isinstance(seat.part, Fitting) and seat.part.index:
            return f"{seat.part.name}: {seat.part.index}"
        return None
