"""How struts divide a load.

Axes, signs, units and ranges: ``loads/conventions.py``.  Two struts are statics; three and more are not
decided by statics, so ``planning/loading/sharing.py`` gives three shares, of which the most severe governs.
"""

from __future__ import annotations

import math

from cache_check.loads.conventions import Number, finite, not_negative, positive, settled


def _count(name: str, value: int, least: int) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or value < least:
        raise ValueError(f"{name} is {value!r}; it must be a whole number, {least} or more")
    return int(finite(name, value))


def two_strut_shares(load: Number, first_at: Number, second_at: Number, load_at: Number) -> tuple[float, float]:
    """Shares of two struts by lever arm: R1 = V (b - g) / (b - a), R2 = V (g - a) / (b - a).

    Moments about either strut, places measured along the vehicle from any one mark.

    Args:
        load: vertical force on both together, 0 or more.
        first_at: place a of the first strut; length.
        second_at: place b of the second strut; length.
        load_at: place g of the load, between the two struts; length.

    Returns:
        Force on the first and on the second strut.

    Raises:
        ValueError: out of range, both struts at one place, or a load outside them, which would lift one.
    """
    force = not_negative("load", load)
    a, b = finite("first strut's place", first_at), finite("second strut's place", second_at)
    g = finite("load's place", load_at)
    span = b - a
    if abs(span) < 1e-12:
        raise ValueError(f"second strut's place is {second_at}; it must be other than the first's, {first_at}")
    part = (g - a) / span
    if not 0 <= part <= 1:
        raise ValueError(f"load's place is {load_at}; it must be between the struts, {first_at} to {second_at}")
    return force * (1 - part), force * part


def struts_needed(load: Number, rated: Number, minimum: int = 1) -> int:
    """Struts for a load by equal share: the fewest n with n x rated >= load, never under the ruled minimum.

    A load met exactly is met.

    Args:
        load: vertical force on all together, 0 or more.
        rated: what one strut may carry of it, over 0.
        minimum: a policy's floor, 1 or more; statics may only add.

    Returns:
        Number of struts.

    Raises:
        ValueError: out of range.
    """
    fewest = math.ceil(settled(not_negative("load", load) / positive("rated load", rated)))
    return max(fewest, _count("minimum", minimum, 1))
