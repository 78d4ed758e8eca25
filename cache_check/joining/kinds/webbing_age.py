"""A strap older than policy allows is not usable, the last day itself still counts; no date, and it is not known."""

from __future__ import annotations

from datetime import date

from cache_check.joining.kind import Kind, Reasons
from cache_check.model.cache import Item
from cache_check.model.piece import Why


class Check(Kind):
    """Counts days from the day on a strap's label, or that it was acquired."""

    def piece(self, item: Item, on: date) -> Reasons:
        if self.catalogue.by_id[item.part].kind != "strap":
            return
        family = self.family_of(item.part)
        if item.acquired is None:
            yield self.reason(Why.AGE_UNKNOWN, counts=bool(self.value("unknown_counts", family)))
            return
        days, most = (on - item.acquired).days, int(self.value("most", family))
        if days > most:
            says = f"acquired {item.acquired.isoformat()}, {days:,} days ago; {most:,} at most"
            yield self.reason(Why.OVER_AGE, says, figures=(("age_days", days), ("most_days", most)))
