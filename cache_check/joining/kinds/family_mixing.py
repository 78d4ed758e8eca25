"""Neighbours are of one family, or one of them is an adapter."""

from __future__ import annotations

from cache_check.joining.kind import Kind
from cache_check.joining.seats import Seat


class Check(Kind):
    """Compares the families of two neighbours."""

    def joint(self, lower: Seat, upper: Seat) -> str | None:
        if lower.part.family == upper.part.family or "adapter" in (lower.part.kind, upper.part.kind):
            return None
        return (
            f"{lower.part.name} is of family {lower.part.family}, {upper.part.name} of family {upper.part.family}, "
            "and no adapter stands between"
        )
