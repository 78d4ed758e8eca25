"""How struts divide a load.

Axes, signs, units and ranges: ``loads/conventions.py``.  Two struts are statics; three and more are not
decided by statics, so three shares are given and the most severe governs.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

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


def equal_share(load: Number, struts: int) -> float:
    """Share of each strut if all stand stiff and even: V / n.  An assumption, not statics, past three.

    Args:
        load: vertical force on all together, 0 or more.
        struts: how many, 1 or more.

    Returns:
        Force on each.

    Raises:
        ValueError: out of range.
    """
    return not_negative("load", load) / _count("struts", struts, 1)


def any_two_carry(load: Number) -> float:
    """Share of each strut if any two must carry it all, on a stiff load that rocks on two: V / 2.

    Args:
        load: vertical force on all together, 0 or more.

    Returns:
        Force on each.

    Raises:
        ValueError: out of range.
    """
    return not_negative("load", load) / 2


def one_lost_share(load: Number, struts: int) -> float:
    """Share of each strut left when one is lost: V / (n - 1).

    Args:
        load: vertical force on all together, 0 or more.
        struts: how many before the loss, 2 or more (of one, none is left).

    Returns:
        Force on each that is left.

    Raises:
        ValueError: out of range.
    """
    return not_negative("load", load) / (_count("struts", struts, 2) - 1)


@dataclass(frozen=True)
class Shares:
    """The three shares of each strut, force, and which of them governs (the largest; ties in this order)."""

    any_two_carry: float
    with_one_lost: float
    equal: float

    @property
    def governing(self) -> tuple[str, float]:
        """Name and force of the largest share."""
        named = {"any two carry it": self.any_two_carry, "one lost": self.with_one_lost, "equal": self.equal}
        return max(named.items(), key=lambda item: item[1])


def shares(load: Number, struts: int) -> Shares:
    """All three shares of a load on three struts or more.

    Args:
        load: vertical force on all together, 0 or more.
        struts: how many, 3 or more (for two see ``two_strut_shares``).

    Returns:
        The shares.

    Raises:
        ValueError: out of range.
    """
    count = _count("struts", struts, 3)
    return Shares(any_two_carry(load), one_lost_share(load, count), equal_share(load, count))


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
