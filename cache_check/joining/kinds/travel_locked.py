"""The body's travel is locked in a way that may carry load."""

from __future__ import annotations

from cache_check.joining.kind import Kind
from cache_check.joining.seats import Seat
from cache_check.model.part import Body


class Check(Kind):
    """Asks how a body locks; an unknown lock never passes."""

    def seat(self, seat: Seat, families: frozenset[str]) -> str | None:
        if not isinstance(seat.part, Body):
            return None
        allowed = self.value("locks", families)
        if seat.part.lock in allowed:
            return None
        return f"{seat.part.name} locks by {seat.part.lock!r}; load may rest on {' or '.join(allowed) or 'nothing'}"
