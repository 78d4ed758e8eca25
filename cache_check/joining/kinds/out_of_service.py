"""Only pieces in a listed state are usable."""

from __future__ import annotations

from datetime import date

from cache_check.joining.kind import Kind
from cache_check.model.cache import Item


class Check(Kind):
    """Reads the state of a piece, with or without a serial."""

    def item(self, item: Item, on: date) -> str | None:
        return self.state(item.part, item.status)

    def state(self, part: str, status: str) -> str | None:
        """Why pieces of a part in a state are not usable."""
        return None if status in self.value("counts", self.family_of(part)) else status
