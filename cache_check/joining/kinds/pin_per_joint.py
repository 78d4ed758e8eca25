"""Every joint that takes a loose pin has its pins."""

from __future__ import annotations

from cache_check.joining.kind import Kind
from cache_check.joining.kinds.ends_mate import listed_pin
from cache_check.joining.seats import Seat
from cache_check.model.family import CAPTIVE


class Check(Kind):
    """Says which loose pin a joint takes, and how many."""

    def pin(self, lower: Seat, upper: Seat) -> str:
        """The loose pin of a joint, "" where it carries its own; a listed pair's own word goes before its connector's.

        Every stack of the same parts joins the same ends, so that without listed pairs it takes the same pins
        however they sit; with them the way up decides.
        """
        if lower.top is None or upper.bottom is None:
            return ""
        pin = listed_pin(lower.top, upper.bottom, self.catalogue)
        if pin is None and lower.top.name == upper.bottom.name:
            pin = self.catalogue.pin_of.get(lower.top.name)
        return "" if pin in (None, CAPTIVE) else pin

    def number(self, families: frozenset[str]) -> int:
        """How many a joint that takes loose pins has in a stack of these families."""
        return int(self.value("per_joint", families)) if self.is_on(families) else 0
