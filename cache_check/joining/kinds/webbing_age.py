"""A strap older than policy allows is not usable; the last day itself still counts."""

from __future__ import annotations

from datetime import date

from cache_check.joining.kind import Kind
from cache_check.model.cache import Item


class Check(Kind):
    """Counts days from the day a strap was acquired."""

    def item(self, item: Item, on: date) -> str | None:
        if self.catalogue.by_id[item.part].kind != "strap":
            return None
        family = self.family_of(item.part)
        if item.acquired is None:
            return None if self.value("unknown_counts", family) else "age unknown"
        return "over age" if (on - item.acquired).days > int(self.value("most", family)) else None
