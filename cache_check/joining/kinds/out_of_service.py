"""Only pieces in a listed state are usable."""

from __future__ import annotations

from datetime import date

from cache_check.joining.kind import Kind
from cache_check.model.cache import Item


class Check(Kind):
    """Reads the state of a piece, with or without a serial."""

    def item(self, item: Item, on: date) -> str | None:
        return self.state(item.status)

    def state(self, status: str) -> str | None:
        """Why a state is not a usable one."""
        return None if status in self.value("counts") else status
