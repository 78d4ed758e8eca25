"""What tight straps do before any load: they press the strut, and the strut pushes the vehicle up.

Axes, signs, units and ranges: ``loads/conventions.py``.  What they do to the vehicle's balance about its
pivot is ``triangle.pretension_moment``.
"""

from __future__ import annotations

from collections.abc import Sequence

from cache_check.loads.conventions import Number, cos_deg, not_negative, strut_angle
from cache_check.loads.restraint import Strap, base_reaction, strap_pull


def strut_force(straps: Sequence[Strap], tensions: Sequence[Number], angle_deg: Number) -> float:
    """Strut force that pre-tension makes: F0 = sum of T cos alpha cos beta / cos theta.

    Balance of the base along the strut's line, no friction; friction only makes it less.
    Axes, signs, units and ranges: ``loads/conventions.py``.

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


def lift_on_vehicle(straps: Sequence[Strap], tensions: Sequence[Number], angle_deg: Number) -> float:
    """Net upward force of strut and straps on the vehicle under pre-tension: F0 sin theta - sum of T sin beta.

    Equal to the reaction of the ground under the base.
    Axes, signs, units and ranges: ``loads/conventions.py``.

    Args:
        straps: how they run.
        tensions: pre-tension of each, 0 or more.
        angle_deg: from the horizontal, over 0, under 90.

    Returns:
        Force, positive up.

    Raises:
        ValueError: out of range, or not one tension for each strap.
    """
    return base_reaction(strut_force(straps, tensions, angle_deg), angle_deg, straps, tensions)


def sideways_pull(straps: Sequence[Strap], tensions: Sequence[Number]) -> float:
    """Sideways force that pre-tension leaves on the base: sum of T sin alpha cos beta; 0 when even.

    Axes, signs, units and ranges: ``loads/conventions.py``.

    Args:
        straps: how they run.
        tensions: pre-tension of each, 0 or more.

    Returns:
        Force, positive toward +z.

    Raises:
        ValueError: out of range, or not one tension for each strap.
    """
    return strap_pull(straps, tensions)[2]


def bounds_with_load(own: Number, by_load: Number) -> tuple[float, float]:
    """Least and most of a force once load comes onto pre-tension: max(own, load) to own + load.

    Where between them depends on stiffness, which nobody knows on scene; check the most.
    Axes, signs, units and ranges: ``loads/conventions.py``.

    Args:
        own: force in the strut or strap by pre-tension, 0 or more.
        by_load: force in the same piece by the load alone, 0 or more.

    Returns:
        Force, least and most.

    Raises:
        ValueError: out of range.
    """
    first, second = not_negative("force by pre-tension", own), not_negative("force by load", by_load)
    return max(first, second), first + second
