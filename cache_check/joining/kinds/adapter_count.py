"""At most so many adapters in one strut."""

from __future__ import annotations

from cache_check.joining.kinds import extension_count


class Check(extension_count.Check):
    """Counts adapters."""

    counted = "adapter"
