"""At most so many extensions in one strut."""

from __future__ import annotations

from typing import ClassVar

from cache_check.joining.kind import Kind
from cache_check.model.part import Part


class Check(Kind):
    """Counts the parts of one kind; adapters are not extensions."""

    counted: ClassVar[str] = "extension"

    def measure(self, part: Part) -> int:
        return int(part.kind == self.counted)

    def limit(self, families: frozenset[str]) -> int | None:
        return int(self.value("max", families))

    def over(self, total: int, limit: int) -> str:
        return f"{total} {self.counted}s, at most {limit} allowed"
