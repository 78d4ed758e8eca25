"""At most so many adapters in one strut."""

from __future__ import annotations

from cache_check.joining.kind import Bounded
from cache_check.model.part import Part


class Check(Bounded):
    """Counts adapters."""

    def measure(self, part: Part) -> int:
        return int(part.kind == "adapter")

    def over(self, total: int, limit: int) -> str:
        return f"{total} adapters, at most {limit} allowed"
