"""A strap, chain or piece of hardware is usable only in a condition that is ruled fine; blank is not looked at."""

from __future__ import annotations

from datetime import date

from cache_check.joining.kind import Kind
from cache_check.model.cache import Item

KINDS = ("strap", "chain", "hardware")


class Check(Kind):
    """Compares the words written about a piece with those that are fine."""

    def item(self, item: Item, on: date) -> str | None:
        written = item.condition.strip().casefold().rstrip(".")
        if not written or self.catalogue.by_id[item.part].kind not in KINDS:
            return None
        fine = {word.casefold() for word in self.value("fine", self.family_of(item.part))}
        return None if written in fine else "condition"
