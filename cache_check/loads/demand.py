"""What a load asks of a strut.

Axes, signs, units and ranges: ``loads/conventions.py``.  The equations are plane statics of a strut pinned at
both ends (it carries force only along its length); the strap's own pull on the vehicle is left out here and
solved in ``triangle``.  The trade's short cuts are in ``practice``; the way back from a rating is in proportion.
"""

from __future__ import annotations

import math

from cache_check.loads.conventions import (
    PARALLEL,
    Number,
    cos_deg,
    finite,
    not_negative,
    sin_deg,
    strut_angle,
)


def axial_from_vertical(vertical: Number, angle_deg: Number) -> float:
    """Strut force that carries a vertical share: F = V / sin theta.

    Args:
        vertical: force to be carried upright, 0 or more.
        angle_deg: from the horizontal, over 0, at most 90.

    Returns:
        Force, compression; never less than ``vertical``.

    Raises:
        ValueError: out of range.
    """
    return not_negative("vertical load", vertical) / sin_deg(strut_angle(angle_deg))


def thrust_from_vertical(vertical: Number, angle_deg: Number) -> float:
    """Outward push of the base under a vertical share: H = V / tan theta.

    Args:
        vertical: force to be carried upright, 0 or more.
        angle_deg: from the horizontal, over 0, at most 90.

    Returns:
        Force along the ground; 0 for an upright strut.

    Raises:
        ValueError: out of range.
    """
    return axial_from_vertical(vertical, angle_deg) * cos_deg(float(angle_deg))


def holding_arm(contact_x: Number, contact_height: Number, angle_deg: Number) -> float:
    """Distance from the pivot to the strut's line: x sin theta + h cos theta.

    Args:
        contact_x: contact from the pivot toward the base; length, negative behind the pivot.
        contact_height: contact above the *pivot*; length, 0 or more.
        angle_deg: from the horizontal, over 0, at most 90.

    Returns:
        Length.

    Raises:
        ValueError: out of range, or the strut's line passes through the pivot or on its wrong side.
    """
    angle = strut_angle(angle_deg)
    x = finite("contact x", contact_x)
    h = not_negative("contact height above the pivot", contact_height)
    arm = x * sin_deg(angle) + h * cos_deg(angle)
    if arm <= PARALLEL * math.hypot(x, h) or arm < 1e-12:
        where = f"contact ({contact_x}, {contact_height}) at {angle_deg} deg"
        permitted = "over 0: the strut's line must pass above the pivot"
        raise ValueError(f"holding arm is {arm:g} for {where}; it must be {permitted}")
    return arm


def lateral_floor(vertical: Number, share: Number) -> float:
    """Least sideways force to hold, as a ruled share of the vertical: share x V.  A floor; statics may add.

    Shares of 2 % (10 % where aftershocks are expected) stand for vertical shores in a US rescue-specialist
    manual of June 1998.

    Args:
        vertical: force, 0 or more.
        share: of the vertical, 0 or more; 0.02 is 2 %.

    Returns:
        Force along the ground.

    Raises:
        ValueError: out of range.
    """
    return not_negative("vertical load", vertical) * not_negative("lateral share", share)
