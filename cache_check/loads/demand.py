"""What a load asks of a strut, how struts divide it, and what friction would hold at foot and head.

Axes, signs, units and ranges: ``loads/conventions.py``.  The equations are plane statics of a strut pinned at
both ends (it carries force only along its length); the strap's own pull on the vehicle is left out here and
solved in ``triangle``.  Friction is shown and not counted unless policy says so.  Two struts are statics; three and
more are not decided by it, so ``planning/loading/demand.py`` gives three shares, of which the most severe governs.
Short cuts of the trade are labelled (common practice, no source), to be shown beside the statics.
"""

import math

from cache_check.loads import conventions
from cache_check.loads.conventions import Number, cos_deg, not_negative, positive, refused, sin_deg, strut_angle

SIDEWAYS_ANGLE_DEG = 45.0  # the only strut angle for which the sideways short cut is said


def half_left_by_pivoting(weight: Number) -> float:
    """Weight left to carry when one end pivots on the ground: half of it (common practice, no source)."""
    # It rests on the centre of gravity lying midway; statics asks for the lever arms.
    return not_negative("weight", weight) / 2


def sideways_at_45_deg(vertical: Number) -> float:
    """Sideways load along the ground of a strut at 45 deg: 1.5 times the vertical (common practice, no source)."""
    # Statics gives 1.00 times along the ground and 1.41 times along the strut; the short cut rounds the second up and
    # lays it on the ground, so it asks for half as much again of the straps.
    return 1.5 * not_negative("vertical load", vertical)


def sideways_by_practice(vertical: Number, angle_deg: Number) -> float | None:
    """The sideways short cut at 45 deg, where it is said; None elsewhere (common practice, no source)."""
    angle, load = strut_angle(angle_deg), sideways_at_45_deg(vertical)
    return load if abs(angle - SIDEWAYS_ANGLE_DEG) <= 1e-9 else None


def axial_from_vertical(vertical: Number, angle_deg: Number) -> float:
    """Strut force that carries a vertical share, never less than that: F = V / sin theta."""
    return not_negative("vertical load", vertical) / sin_deg(strut_angle(angle_deg))


def thrust_from_vertical(vertical: Number, angle_deg: Number) -> float:
    """Outward push of the base along the ground under a vertical share, 0 for an upright strut: H = V / tan theta."""
    return axial_from_vertical(vertical, angle_deg) * cos_deg(float(angle_deg))


def holding_arm(contact_x: Number, contact_height: Number, angle_deg: Number) -> float:
    """Distance from the pivot to the strut's line, x sin theta + h cos theta; ValueError where it is not over 0.

    ``contact_x`` is from the pivot toward the base, negative behind; ``contact_height`` above the *pivot*, 0 or more.
    """
    angle, x = strut_angle(angle_deg), conventions.finite("contact x", contact_x)
    h = not_negative("contact height above the pivot", contact_height)
    arm = x * sin_deg(angle) + h * cos_deg(angle)
    if arm <= conventions.PARALLEL * math.hypot(x, h) or arm < 1e-12:
        where = f"{arm:g} for contact ({contact_x}, {contact_height}) at {angle_deg} deg"
        raise refused("holding arm", where, "over 0: the strut's line must pass above the pivot")
    return arm


def lateral_floor(vertical: Number, share: Number) -> float:
    """Least sideways force to hold, as a ruled ``share`` of the vertical (0.02 is 2 %).  A floor; statics may add.

    2 % (10 % where aftershocks are expected) stands for vertical shores in a US rescue-specialist manual of June 1998.
    """
    return not_negative("vertical load", vertical) * not_negative("lateral share", share)


def two_strut_shares(load: Number, first_at: Number, second_at: Number, load_at: Number) -> tuple[float, float]:
    """Shares of two struts by lever arm: R1 = V (b - g) / (b - a), R2 = V (g - a) / (b - a).

    Moments about either strut; ``first_at`` a, ``second_at`` b, ``load_at`` g are along the vehicle from any one mark.
    ValueError where both struts are at one place, or the load is outside them, which would lift one.
    """
    force = not_negative("load", load)
    a, b = conventions.finite("first strut's place", first_at), conventions.finite("second strut's place", second_at)
    g = conventions.finite("load's place", load_at)
    if abs(b - a) < 1e-12:
        raise refused("second strut's place", second_at, f"other than the first's, {first_at}")
    if not 0 <= (part := (g - a) / (b - a)) <= 1:
        raise refused("load's place", load_at, f"between the struts, {first_at} to {second_at}")
    return force * (1 - part), force * part


def struts_needed(load: Number, rated: Number, minimum: int = 1) -> int:
    """Struts for a load by equal share: the fewest n with n x ``rated`` >= ``load``, at least the ruled ``minimum``."""
    # A load met exactly is met; statics may only add to a policy's floor.  Straps on one line are counted so too.
    fewest = math.ceil(conventions.settled(not_negative("load", load) / positive("rated load", rated)))
    return max(fewest, conventions.whole("minimum", minimum, 1))


def foot_friction_needed(angle_deg: Number) -> float:
    """Coefficient at which the base of a strut without straps just holds on level ground: mu = 1 / tan theta."""
    angle = strut_angle(angle_deg)
    return cos_deg(angle) / sin_deg(angle)


def head_friction_needed(angle_deg: Number, face_deg: Number) -> float:
    """Coefficient at which the head just holds on the vehicle's face, 0 met squarely: mu = tan |theta - face|.

    ``face_deg`` is how far the face looks down, 0 upright to 90 an underside; ValueError where the strut lies along it.
    """
    angle = strut_angle(angle_deg)
    if (askew := abs(angle - conventions.between("face angle, deg,", face_deg, 0, 90, ends="[]"))) > 90 - 1e-6:
        raise refused("face angle, deg,", face_deg, "within 90 of the strut's angle, so that the strut presses it")
    return sin_deg(askew) / cos_deg(askew)
