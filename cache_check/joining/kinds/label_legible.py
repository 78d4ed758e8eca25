"""A piece whose label cannot be read is not usable; one that nobody looked at only if the rule says so."""

from __future__ import annotations

from datetime import date

from cache_check.joining.kind import Kind
from cache_check.model.cache import Item


class Check(Kind):
    """Reads the state of a label."""

    def item(self, item: Item, on: date) -> str | None:
        if item.label == "unreadable":
            return "label unreadable"
        unlooked = item.label == "unknown" and not self.value("unknown_counts", self.family_of(item.part))
        return "label not looked at" if unlooked else None
