"""The strut as the long side of a right triangle: how long, how steep, how far out; see ``loads/conventions.py``."""

import math

from cache_check.loads.conventions import Number, cos_deg, finite, not_negative, positive, refused, sin_deg, strut_angle

Point = tuple[float, float, float]


def height_above_seat(contact_height: Number, ground_drop: Number = 0) -> float:
    """Contact height above the base's seat, h = height at the vehicle + ground drop; ValueError where not over 0.

    ``contact_height`` is from the vehicle's ground, over 0; the base's lies ``ground_drop`` lower (negative: higher).
    """
    if (height := positive("contact height", contact_height) + finite("ground drop", ground_drop)) <= 0:
        raise refused("ground drop", ground_drop, f"over {-contact_height}, so that the base stands under the contact")
    return height


def strut_length(height: Number, offset: Number) -> float:
    """Length of a strut between its seats: L = sqrt(h^2 + d^2) (right triangle)."""
    return math.hypot(positive("height", height), not_negative("base offset", offset))


def strut_angle_deg(height: Number, offset: Number) -> float:
    """Angle of a strut, degrees from the horizontal: theta = atan2(h, d)."""
    return math.degrees(math.atan2(positive("height", height), not_negative("base offset", offset)))


def length_at_angle(height: Number, angle_deg: Number) -> float:
    """Length that reaches a height at an angle: L = h / sin theta; a raker's length from its insertion height."""
    return positive("height", height) / sin_deg(strut_angle(angle_deg))


def offset_at_angle(height: Number, angle_deg: Number) -> float:
    """Base offset at an angle: d = h / tan theta, 0 for an upright strut; a raker's run from its insertion height."""
    angle = strut_angle(angle_deg)
    return positive("height", height) * cos_deg(angle) / sin_deg(angle)


def angle_of_length_deg(length: Number, height: Number) -> float:
    """Angle (degrees) at which a length, at least the height, just reaches it: theta = asin(h / L)."""
    long, tall = positive("length", length), positive("height", height)
    if long < tall:
        raise refused("length", length, f"at least the height, {height}, for the strut to reach from seat to contact")
    return math.degrees(math.asin(tall / long))


def strap_length(base: Point, anchor: Point) -> float:
    """Straight length of a strap, ``base`` and ``anchor`` (x, y, z), no tail, no wrap: sqrt(dx^2 + dy^2 + dz^2)."""
    return positive("strap length", math.hypot(*_steps(base, anchor)))


def strap_angles_deg(base: Point, anchor: Point) -> tuple[float, float]:
    """Plan angle (signed) and rise of a strap, degrees: alpha = atan2(dz, -dx), beta = atan2(dy, level distance).

    ``base`` and ``anchor`` are (x, y, z); an anchor level with the base or beyond it holds no thrust and is refused.
    """
    dx, dy, dz = _steps(base, anchor)
    if -dx <= 1e-6 * math.hypot(dx, dy, dz):
        raise refused("anchor x", anchor[0], f"under the base's x, {base[0]}, toward the vehicle")
    return math.degrees(math.atan2(dz, -dx)), math.degrees(math.atan2(dy, math.hypot(dx, dz)))


def _steps(base: Point, anchor: Point) -> Point:
    ends = zip("xyz", base, anchor, strict=True)
    dx, dy, dz = (-finite(f"base {name}", start) + finite(f"anchor {name}", end) for name, start, end in ends)
    return dx, dy, dz
