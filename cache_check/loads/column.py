"""Euler's column, to judge whether a chart falls with length as a column would.  It rates nothing here.

Axes, signs, units and ranges: ``loads/conventions.py``.
"""

from __future__ import annotations

from fractions import Fraction

from cache_check.loads.conventions import positive


def least_by_euler(load: int | Fraction, length: int | Fraction, longer: int | Fraction) -> Fraction:
    """What an Euler column of known load carries when longer: P (L / L2)^2, exact.

    A real column falls no faster with length, since yielding only makes the short one weaker; a chart that
    does is worth a second look.

    Args:
        load: at ``length``; force, over 0.
        length: over 0.
        longer: at least ``length``.

    Returns:
        Force.

    Raises:
        ValueError: out of range, or ``longer`` shorter than ``length``.
    """
    for name, value in (("load", load), ("length", length), ("longer length", longer)):
        positive(name, value)
    if longer < length:
        raise ValueError(f"longer length is {longer}; it must be at least the length, {length}")
    return Fraction(load) * (Fraction(length) / Fraction(longer)) ** 2
