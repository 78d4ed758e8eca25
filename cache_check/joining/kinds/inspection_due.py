"""A piece past its last day or its inspection is not usable; the last day itself still counts."""

from __future__ import annotations

from datetime import date

from cache_check.joining.kind import Kind
from cache_check.model.cache import Item


class Check(Kind):
    """Compares dates with the day asked about; a blank date is unknown, and counted only if the rule says so."""

    def item(self, item: Item, on: date) -> str | None:
        family = self.family_of(item.part)
        if item.expires is not None and item.expires < on:
            return "expired"
        if item.inspected is None:
            return None if self.value("unknown_counts", family) else "inspection date unknown"
        return "inspection overdue" if due(item.inspected, int(self.value("every", family))) < on else None


def due(inspected: date, every: int) -> date:
    """The last day on which an inspection still counts; the calendar's own last day where it would pass that."""
    return date.fromordinal(min(inspected.toordinal() + every, date.max.toordinal()))
