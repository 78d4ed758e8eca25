"""A piece past its last day or its inspection is not usable, the last day itself still counts; blank is not known."""

from __future__ import annotations

from datetime import date

from cache_check.joining.kind import Kind, Reasons
from cache_check.model.cache import Item
from cache_check.model.piece import Why


class Check(Kind):
    """Compares dates with the day asked about."""

    def piece(self, item: Item, on: date) -> Reasons:
        family, source = self.family_of(item.part), self.source_for(item)
        if item.expires is not None and item.expires < on:
            yield self.reason(Why.EXPIRED, f"expired on {item.expires.isoformat()}", source=source)
        if item.inspected is None:
            counts = bool(self.value("unknown_counts", family))
            yield self.reason(Why.NOT_INSPECTED, counts=counts, source=source)
            return
        last = due(item.inspected, int(self.value("every", family)))
        if last < on:
            yield self.reason(Why.OVERDUE, f"inspection was due on {last.isoformat()}", source=source)


def due(inspected: date, every: int) -> date:
    """The last day on which an inspection still counts; the calendar's own last day where it would pass that."""
    return date.fromordinal(min(inspected.toordinal() + every, date.max.toordinal()))
