"""At most so many extensions in one strut."""

from __future__ import annotations

from cache_check.joining.kind import Kind
from cache_check.model.part import Part


class Check(Kind):
    """Counts extensions; adapters are not extensions."""

    def measure(self, part: Part) -> int:
        return int(part.kind == "extension")

    def limit(self, families: frozenset[str]) -> int | None:
        return int(self.value("max", families))

    def over(self, total: int, limit: int) -> str:
        return f"{total} extensions, at most {limit} allowed"
