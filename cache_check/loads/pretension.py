"""What tight straps do before any load: they press the strut, and the strut pushes the vehicle up.

Axes, signs, units and ranges: ``loads/conventions.py``.  What they do to the vehicle's balance about its
pivot is ``triangle.pretension_moment``.
"""

from __future__ import annotations

from collections.abc import Sequence

from cache_check.loads.conventions import Number, cos_deg, strut_angle
from cache_check.loads.restraint import Strap, strap_pull


def strut_force(straps: Sequence[Strap], tensions: Sequence[Number], angle_deg: Number) -> float:
    """Strut force that pre-tension makes: F0 = sum of T cos alpha cos beta / cos theta.

    Balance of the base along the strut's line, no friction; friction only makes it less.

    Args:
        straps: how they run.
        tensions: pre-tension of each, 0 or more.
        angle_deg: from the horizontal, over 0, under 90 (straps cannot press an upright strut).

    Returns:
        Force, compression.

    Raises:
        ValueError: out of range, or not one tension for each strap.
    """
    angle = strut_angle(angle_deg, upright=False)
    return strap_pull(straps, tensions)[0] / cos_deg(angle)


def sideways_pull(straps: Sequence[Strap], tensions: Sequence[Number]) -> float:
    """Sideways force that pre-tension leaves on the base: sum of T sin alpha cos beta; 0 when even.

    Args:
        straps: how they run.
        tensions: pre-tension of each, 0 or more.

    Returns:
        Force, positive toward +z.

    Raises:
        ValueError: out of range, or not one tension for each strap.
    """
    return strap_pull(straps, tensions)[2]
