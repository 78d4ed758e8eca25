"""Short cuts of the trade: common practice, no source.  To be shown beside the statics, labelled as such.

Axes, signs, units and ranges: ``loads/conventions.py``.
"""

from __future__ import annotations

from cache_check.loads.conventions import Number, between, not_negative

SIDEWAYS_ANGLE_DEG = 45.0
"""The only strut angle for which the sideways short cut is said."""


def half_left_by_pivoting(weight: Number) -> float:
    """Weight left to carry when one end pivots on the ground: half of it (common practice, no source).

    It rests on the centre of gravity lying midway; statics asks for the lever arms.
    """
    return not_negative("weight", weight) / 2


def sideways_at_45_deg(vertical: Number) -> float:
    """Sideways load along the ground of a strut at 45 deg: 1.5 times the vertical (common practice, no source).

    Statics gives 1.00 times along the ground and 1.41 times along the strut; the short cut rounds the second up and
    lays it on the ground, so it asks for half as much again of the straps.
    """
    return 1.5 * not_negative("vertical load", vertical)


def sideways_by_practice(vertical: Number, angle_deg: Number) -> float | None:
    """The sideways short cut at 45 deg, where it is said; None elsewhere (common practice, no source)."""
    angle = between("angle from the horizontal, deg,", angle_deg, 0, 90, ends="(]")
    load = sideways_at_45_deg(vertical)
    return load if abs(angle - SIDEWAYS_ANGLE_DEG) <= 1e-9 else None
