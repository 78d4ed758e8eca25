"""At most so much extension length in one strut; a sum that meets the limit exactly is met."""

from __future__ import annotations

from cache_check.joining.kinds import extension_count
from cache_check.model.part import Extension, Part
from cache_check.units import show


class Check(extension_count.Check):
    """Sums the effective lengths of extensions, nm."""

    def measure(self, part: Part) -> int:
        return part.length if isinstance(part, Extension) else 0

    def over(self, total: int, limit: int) -> str:
        both = (f"{show(x, 'length', 'us', 'nearest')} ({show(x, 'length', 'si', 'nearest')})" for x in (total, limit))
        return "{} of extensions, at most {} allowed".format(*both)
