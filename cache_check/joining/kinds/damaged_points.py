"""A base whose attachment points nobody looked at is not known; what those that are left allow is counted in stock."""

from __future__ import annotations

from datetime import date

from cache_check.joining.kind import Kind, Reasons
from cache_check.model.cache import Item
from cache_check.model.piece import Why


class Check(Kind):
    """Reads whether somebody looked at the points."""

    def piece(self, item: Item, on: date) -> Reasons:
        if item.points_usable == "unknown":
            yield self.reason(Why.POINTS_UNSEEN)
