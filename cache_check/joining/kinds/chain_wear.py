"""A chain with a link worn below the published least size is not usable; where no table speaks, it is not known."""

from __future__ import annotations

from datetime import date

from cache_check.files.shipped import removal
from cache_check.joining.kind import Kind, Reasons
from cache_check.model.cache import Item
from cache_check.model.part import Chain
from cache_check.model.piece import Why
from cache_check.units import Rounding, show


class Check(Kind):
    """Compares the thinnest place measured with the least for the size of the chain; met exactly is met."""

    def piece(self, item: Item, on: date) -> Reasons:
        chain = self.catalogue.by_id[item.part]
        if item.measured is None or not isinstance(chain, Chain):
            return
        measured = f"{_both(item.measured, 'down')} at its thinnest"
        least = removal().least_link.get(chain.size or 0)
        if least is None:
            yield self.reason(Why.WEAR_UNKNOWN, f"{measured}, and no published least size for a chain of its size")
        elif item.measured < least:
            figures = (("measured_nm", item.measured), ("least_nm", least))
            yield self.reason(Why.WORN, f"{measured}, {_both(least, 'up')} at least", figures=figures)


def _both(length: int, rounding: Rounding) -> str:
    """A length in both unit systems: the rule does not know which the reader uses."""
    return f"{show(length, 'length', 'us', rounding)} ({show(length, 'length', 'si', rounding)})"
