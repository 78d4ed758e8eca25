"""Every joint that takes a loose pin has its pins."""

from __future__ import annotations

from cache_check.joining.kind import Kind
from cache_check.joining.kinds.ends_mate import listed_pin
from cache_check.joining.seats import Seat
from cache_check.model.family import CAPTIVE


class Check(Kind):
    """Says which loose pin a joint takes, and how many."""

    def pins(self, lower: Seat, upper: Seat, families: frozenset[str]) -> tuple[str, int] | None:
        """The loose pin of a joint and its number; None for a joint that carries its own."""
        if lower.top is None or upper.bottom is None or not self.is_on(families):
            return None
        if lower.top.name == upper.bottom.name:
            pin = self.catalogue.pin_of.get(lower.top.name, CAPTIVE)
        else:
            pin = listed_pin(lower.top, upper.bottom, self.catalogue) or CAPTIVE
        number = int(self.value("per_joint", families))
        return (pin, number) if number and pin != CAPTIVE else None
