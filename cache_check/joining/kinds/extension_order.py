"""The longest extension next to the body, shorter ones going away from it."""

from __future__ import annotations

from typing import ClassVar

from cache_check.joining.kind import Kind
from cache_check.joining.seats import Seat
from cache_check.model.part import Extension


class Check(Kind):
    """Compares neighbouring extensions on one side of the body."""

    reads: ClassVar[tuple[str, ...]] = ("length",)

    def joint(self, lower: Seat, upper: Seat) -> str | None:
        if not (isinstance(lower.part, Extension) and isinstance(upper.part, Extension)):
            return None
        near, far = (upper, lower) if upper.place == "below" else (lower, upper)
        assert isinstance(near.part, Extension)
        assert isinstance(far.part, Extension)
        if near.part.length >= far.part.length:
            return None
        return f"{far.part.name} is longer than {near.part.name}, which is nearer the body"
