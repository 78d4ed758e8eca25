"""At most so many adapters in one strut."""

from __future__ import annotations

from cache_check.joining.kind import Kind
from cache_check.model.part import Part


class Check(Kind):
    """Counts adapters."""

    def measure(self, part: Part) -> int:
        return int(part.kind == "adapter")

    def limit(self, families: frozenset[str]) -> int | None:
        return int(self.value("max", families))

    def over(self, total: int, limit: int) -> str:
        return f"{total} adapters, at most {limit} allowed"
