"""How long, how steep, how far out: the strut as the long side of a right triangle.

Axes, signs, units and ranges: ``loads/conventions.py``.
"""

from __future__ import annotations

import math

from cache_check.loads.conventions import (
    Number,
    cos_deg,
    finite,
    not_negative,
    positive,
    sin_deg,
    strut_angle,
)

Point = tuple[float, float, float]


def height_above_seat(contact_height: Number, ground_drop: Number = 0) -> float:
    """Contact height above the base's seat: h = height at the vehicle + ground drop.

    Args:
        contact_height: contact above the ground at the vehicle; length, over 0.
        ground_drop: how much lower the ground lies at the base; negative where it lies higher.

    Returns:
        Length, same unit.

    Raises:
        ValueError: out of range, or the base would stand as high as the contact or higher.
    """
    height = positive("contact height", contact_height) + finite("ground drop", ground_drop)
    if height <= 0:
        permitted = f"over {-contact_height}, so that the base stands under the contact"
        raise ValueError(f"ground drop is {ground_drop}; it must be {permitted}")
    return height


def strut_length(height: Number, offset: Number) -> float:
    """Length of a strut between its seats: L = sqrt(h^2 + d^2) (right triangle).

    Args:
        height: contact above the base's seat; length, over 0.
        offset: base out from under the contact; length, 0 or more.

    Returns:
        Length, same unit.

    Raises:
        ValueError: out of range.
    """
    return math.hypot(positive("height", height), not_negative("base offset", offset))


def strut_angle_deg(height: Number, offset: Number) -> float:
    """Angle of a strut: theta = atan2(h, d).

    Args:
        height: contact above the base's seat; length, over 0.
        offset: base out from under the contact; length, 0 or more.

    Returns:
        Degrees from the horizontal.

    Raises:
        ValueError: out of range.
    """
    return math.degrees(math.atan2(positive("height", height), not_negative("base offset", offset)))


def length_at_angle(height: Number, angle_deg: Number) -> float:
    """Length that reaches a height at an angle: L = h / sin theta; a raker's length from its insertion height.

    Args:
        height: contact above the base's seat; length, over 0.
        angle_deg: from the horizontal, over 0, at most 90.

    Returns:
        Length, same unit.

    Raises:
        ValueError: out of range.
    """
    return positive("height", height) / sin_deg(strut_angle(angle_deg))


def offset_at_angle(height: Number, angle_deg: Number) -> float:
    """Base offset at an angle: d = h / tan theta; a raker's run from its insertion height.

    Args:
        height: contact above the base's seat; length, over 0.
        angle_deg: from the horizontal, over 0, at most 90.

    Returns:
        Length, same unit; 0 for an upright strut.

    Raises:
        ValueError: out of range.
    """
    angle = strut_angle(angle_deg)
    return positive("height", height) * cos_deg(angle) / sin_deg(angle)


def _longer_than_high(length: Number, height: Number) -> tuple[float, float]:
    tall = positive("height", height)
    long = positive("length", length)
    if long < tall:
        permitted = f"at least the height, {height}, for the strut to reach from seat to contact"
        raise ValueError(f"length is {length}; it must be {permitted}")
    return long, tall


def angle_of_length_deg(length: Number, height: Number) -> float:
    """Angle at which a length just reaches a height: theta = asin(h / L).

    Args:
        length: strut between its seats, at least ``height``.
        height: contact above the base's seat; length, over 0.

    Returns:
        Degrees from the horizontal.

    Raises:
        ValueError: out of range, or the strut is shorter than the height.
    """
    long, tall = _longer_than_high(length, height)
    return math.degrees(math.asin(tall / long))


def strap_length(base: Point, anchor: Point) -> float:
    """Straight length of a strap from base to anchor: sqrt(dx^2 + dy^2 + dz^2).

    Args:
        base: (x, y, z) of the base; lengths.
        anchor: (x, y, z) of the anchor; lengths.

    Returns:
        Length, same unit; no tail, no wrap.

    Raises:
        ValueError: not finite, or both at one place.
    """
    steps = _steps(base, anchor)
    return positive("strap length", math.hypot(*steps))


def strap_angles_deg(base: Point, anchor: Point) -> tuple[float, float]:
    """Plan angle and rise of a strap: alpha = atan2(dz, -dx), beta = atan2(dy, level distance).

    Args:
        base: (x, y, z) of the base; lengths.
        anchor: (x, y, z) of the anchor; lengths; nearer the vehicle than the base, so x smaller.

    Returns:
        Plan angle (signed) and rise, degrees.

    Raises:
        ValueError: not finite, or the anchor lies level with the base or beyond, where a strap holds no
            thrust.
    """
    dx, dy, dz = _steps(base, anchor)
    if -dx <= 1e-6 * math.hypot(dx, dy, dz):
        permitted = f"under the base's x, {base[0]}, toward the vehicle"
        raise ValueError(f"anchor x is {anchor[0]}; it must be {permitted}")
    return math.degrees(math.atan2(dz, -dx)), math.degrees(math.atan2(dy, math.hypot(dx, dz)))


def _steps(base: Point, anchor: Point) -> Point:
    names = ("x", "y", "z")
    starts = [finite(f"base {name}", value) for name, value in zip(names, base, strict=True)]
    ends = [finite(f"anchor {name}", value) for name, value in zip(names, anchor, strict=True)]
    dx, dy, dz = (end - start for start, end in zip(starts, ends, strict=True))
    return dx, dy, dz
