"""At most so many extensions in one strut."""

from __future__ import annotations

from cache_check.joining.kind import Bounded
from cache_check.model.part import Part


class Check(Bounded):
    """Counts extensions; adapters are not extensions."""

    def measure(self, part: Part) -> int:
        return int(part.kind == "extension")

    def over(self, total: int, limit: int) -> str:
        return f"{total} extensions, at most {limit} allowed"
