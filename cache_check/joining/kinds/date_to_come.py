"""What is said to have been done on a day to come has not been done: of such a piece it is not known."""

from __future__ import annotations

from datetime import date

from cache_check.joining.kind import Kind, Reasons
from cache_check.model.cache import Item
from cache_check.model.piece import Why


class Check(Kind):
    """Looks for days of inspection, or from which webbing ages, after the day asked about."""

    def piece(self, item: Item, on: date) -> Reasons:
        for word, day in (("inspected", item.inspected), ("acquired", item.acquired)):
            if day is not None and day > on:
                yield self.reason(Why.TO_COME, f"{word} on {day.isoformat()}, which is to come")
