"""A piece past its last day or its inspection is not usable; the last day itself still counts."""

from __future__ import annotations

from datetime import date, timedelta

from cache_check.joining.kind import Kind
from cache_check.model.cache import Item


class Check(Kind):
    """Compares dates with the day asked about; a blank date is unknown, and counted only if the rule says so."""

    def item(self, item: Item, on: date) -> str | None:
        if item.expires is not None and item.expires < on:
            return "expired"
        if item.inspected is None:
            return None if self.value("unknown_counts") else "inspection date unknown"
        due = item.inspected + timedelta(days=int(self.value("every")))
        return "inspection overdue" if due < on else None
