"""A chain with a link worn below the published least size is not usable, nor is one that no table speaks of."""

from __future__ import annotations

from datetime import date

from cache_check.files.removal import removal
from cache_check.joining.kind import Kind
from cache_check.model.cache import Item
from cache_check.model.part import Chain


class Check(Kind):
    """Compares the thinnest place measured with the least for the size of the chain; met exactly is met."""

    def item(self, item: Item, on: date) -> str | None:
        chain = self.catalogue.by_id[item.part]
        if item.measured is None or not isinstance(chain, Chain):
            return None
        least = removal().least_link.get(chain.size or 0)
        if least is None:
            return "wear has no limit to be judged by"
        return "worn" if item.measured < least else None
