"""What the soil sees under a base, and the pad that it needs.

Axes, signs, units and ranges: ``loads/conventions.py``.  The presumptive bearing value is the user's: soil on
scene is not known here.  Use the strut's full vertical; a rising strap relieves the ground, but only while
it is tight, and a falling one adds T sin |beta|.
"""

from __future__ import annotations

import math

from cache_check.loads.conventions import Number, not_negative, positive


def pad_area_needed(vertical: Number, allowed_pressure: Number) -> float:
    """Least pad area: A = V / q.  The pad must be stiff enough to spread to its edges.

    Args:
        vertical: force, 0 or more.
        allowed_pressure: presumptive bearing value; force per length squared, over 0.

    Returns:
        Length squared.

    Raises:
        ValueError: out of range.
    """
    return not_negative("vertical load", vertical) / positive("allowed pressure", allowed_pressure)


def pad_side_needed(vertical: Number, allowed_pressure: Number) -> float:
    """Side of the least square pad: sqrt(V / q).

    Args:
        vertical: force, 0 or more.
        allowed_pressure: presumptive bearing value; force per length squared, over 0.

    Returns:
        Length.

    Raises:
        ValueError: out of range.
    """
    return math.sqrt(pad_area_needed(vertical, allowed_pressure))
