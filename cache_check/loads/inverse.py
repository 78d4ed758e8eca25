"""When weight, centre of gravity or angle is unknown: the heaviest, farthest, steepest that still passes.

Axes, signs, units and ranges: ``loads/conventions.py``.  Each is an equation of ``demand`` turned round.  The
highest contact that a length reaches is ``geometry.height_at_angle``.
"""

from __future__ import annotations

import math

from cache_check.loads.conventions import Number, finite, not_negative, positive
from cache_check.loads.demand import holding_arm


def heaviest_for_axial(
    rated_axial: Number, lever: Number, contact_x: Number, contact_height: Number, angle_deg: Number
) -> float:
    """Heaviest vehicle that a rated strut stops from turning: W = F (x sin theta + h cos theta) / e.

    The inverse of ``axial_for_overturning``, for when the weight is unknown.
    Axes, signs, units and ranges: ``loads/conventions.py``.

    Args:
        rated_axial: the strut's rated force, 0 or more.
        lever: weight's lever about the pivot toward the strut; length, over 0.
        contact_x: contact from the pivot toward the base; length.
        contact_height: contact above the *pivot*; length, 0 or more.
        angle_deg: from the horizontal, over 0, at most 90.

    Returns:
        Force.

    Raises:
        ValueError: out of range, or the strut cannot hold that way.
    """
    arm = holding_arm(contact_x, contact_height, angle_deg)
    return not_negative("rated strut force", rated_axial) * arm / positive("lever", lever)


def largest_lever_for_axial(
    rated_axial: Number, weight: Number, contact_x: Number, contact_height: Number, angle_deg: Number
) -> float:
    """Largest lever of the weight that a strut of known rating holds: e = F (x sin theta + h cos theta) / W.

    The inverse of ``axial_for_overturning``, for when the centre of gravity is unknown.
    Axes, signs, units and ranges: ``loads/conventions.py``.

    Args:
        rated_axial: the strut's rated force, 0 or more.
        weight: force, over 0.
        contact_x: contact from the pivot toward the base; length.
        contact_height: contact above the *pivot*; length, 0 or more.
        angle_deg: from the horizontal, over 0, at most 90.

    Returns:
        Length.

    Raises:
        ValueError: out of range, or the strut cannot hold that way.
    """
    arm = holding_arm(contact_x, contact_height, angle_deg)
    return not_negative("rated strut force", rated_axial) * arm / positive("weight", weight)


def shallowest_for_vertical_deg(vertical: Number, rated_axial: Number) -> float | None:
    """Shallowest angle at which a strut of known rating carries a vertical share: theta = asin(V / F).

    Axes, signs, units and ranges: ``loads/conventions.py``.

    Args:
        vertical: force, over 0.
        rated_axial: the strut's rated force, over 0.

    Returns:
        Degrees from the horizontal; None when not even an upright strut carries it.

    Raises:
        ValueError: out of range.
    """
    ratio = positive("vertical load", vertical) / positive("rated strut force", rated_axial)
    return None if ratio > 1 else math.degrees(math.asin(ratio))


def angles_for_overturning_deg(
    rated_axial: Number, weight: Number, lever: Number, contact_x: Number, contact_height: Number
) -> tuple[float, float] | None:
    """Shallowest and steepest angle at which a strut of known rating stops a vehicle from turning.

    With r = sqrt(x^2 + h^2) and phi = atan2(x, h) the holding arm is r cos(theta - phi), so the angles lie
    within acos(W e / (F r)) of phi.  Axes, signs, units and ranges: ``loads/conventions.py``.

    Args:
        rated_axial: the strut's rated force, over 0.
        weight: force, over 0.
        lever: weight's lever about the pivot toward the strut; length, over 0.
        contact_x: contact from the pivot toward the base; length.
        contact_height: contact above the *pivot*; length, over 0.

    Returns:
        Lowest and highest angle from the horizontal, degrees, within 0 to 90; None when no angle does.  A
        lowest of 0 is a limit, not a strut.

    Raises:
        ValueError: out of range.
    """
    x = finite("contact x", contact_x)
    h = positive("contact height above the pivot", contact_height)
    moment = positive("weight", weight) * positive("lever", lever)
    ratio = moment / (positive("rated strut force", rated_axial) * math.hypot(x, h))
    if ratio > 1:
        return None
    best, spread = math.degrees(math.atan2(x, h)), math.degrees(math.acos(ratio))
    low, high = max(best - spread, 0.0), min(best + spread, 90.0)
    return (low, high) if high > low or (high == low and high > 0) else None
