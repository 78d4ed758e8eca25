"""An end takes only the kinds of part that its sheet lists."""

from __future__ import annotations

from cache_check.joining.kind import Kind
from cache_check.joining.seats import Seat


class Check(Kind):
    """Asks both ends of a joint."""

    def joint(self, lower: Seat, upper: Seat) -> str | None:
        for end, own, other in ((lower.top, lower, upper), (upper.bottom, upper, lower)):
            if end is not None and end.takes is not None and other.part.kind not in end.takes:
                side = "upper" if end is lower.top else "lower"
                allowed = ", ".join(sorted(end.takes))
                return f"the {side} side of {own.part.name} takes {allowed} only, not {other.part.name}"
        return None
