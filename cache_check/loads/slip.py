"""Friction at foot and head: shown for information, not counted unless policy says so.

Axes, signs, units and ranges: ``loads/conventions.py``.
"""

from __future__ import annotations

from cache_check.loads.conventions import (
    Number,
    between,
    cos_deg,
    sin_deg,
    strut_angle,
)


def foot_friction_needed(angle_deg: Number) -> float:
    """Coefficient at which the base of a strut without straps just holds on level ground: mu = 1 / tan theta.

    Args:
        angle_deg: from the horizontal, over 0, at most 90.

    Returns:
        Coefficient, no unit.

    Raises:
        ValueError: out of range.
    """
    angle = strut_angle(angle_deg)
    return cos_deg(angle) / sin_deg(angle)


def head_friction_needed(angle_deg: Number, face_deg: Number) -> float:
    """Coefficient at which the head just holds on the vehicle's face: mu = tan |theta - face|.

    Args:
        angle_deg: strut from the horizontal, over 0, at most 90.
        face_deg: how far the face looks downward: 0 an upright side, 90 a level underside.

    Returns:
        Coefficient, no unit; 0 when the strut meets the face squarely.

    Raises:
        ValueError: out of range, or the strut lies along the face and does not press it.
    """
    angle = strut_angle(angle_deg)
    askew = abs(angle - between("face angle, deg,", face_deg, 0, 90, ends="[]"))
    if askew > 90 - 1e-6:
        permitted = "within 90 of the strut's angle, so that the strut presses it"
        raise ValueError(f"face angle, deg, is {face_deg}; it must be {permitted}")
    return sin_deg(askew) / cos_deg(askew)
