"""The open length of a body keeps the minimum insertion inside."""

from __future__ import annotations

from cache_check.joining.kind import Kind
from cache_check.joining.seats import Seat
from cache_check.model.part import Body
from cache_check.units import show


class Check(Kind):
    """Compares open length and pull-apart length; an open length is taken at its word where the other is not known."""

    def seat(self, seat: Seat, families: frozenset[str]) -> str | None:
        body = seat.part
        if not isinstance(body, Body) or body.pull_apart is None:
            return None
        least = int(self.value("min", families))
        inside = body.pull_apart - body.open
        if inside >= least:
            return None
        return (
            f"{body.name} keeps {show(inside, 'length', 'us', 'down')} inside when open, "
            f"at least {show(least, 'length', 'us', 'up')} is asked"
        )
