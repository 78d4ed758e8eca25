"""A piece whose label cannot be read is not usable; of one that nobody looked at it is not known."""

from __future__ import annotations

from datetime import date

from cache_check.joining.kind import Kind, Reasons
from cache_check.model.cache import Item
from cache_check.model.piece import Why


class Check(Kind):
    """Reads the state of a label."""

    def piece(self, item: Item, on: date) -> Reasons:
        source = self.source_for(item)
        if item.label == "unreadable":
            yield self.reason(Why.UNREADABLE, source=source)
        elif item.label != "legible":
            counts = bool(self.value("unknown_counts", self.family_of(item.part)))
            yield self.reason(Why.LABEL_UNSEEN, counts=counts, source=source)
