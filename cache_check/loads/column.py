"""Euler's column, to judge whether a chart falls with length as a column would.  It rates nothing here.

Axes, signs, units and ranges: ``loads/conventions.py``.
"""

from __future__ import annotations

import math
from fractions import Fraction

from cache_check.loads.conventions import Number, positive


def euler_load(modulus: Number, inertia: Number, length: Number, effective: Number = 1) -> float:
    """Load at which a straight slender column buckles: P = pi^2 E I / (K L)^2 (Euler).

    Source: Lord and others, Strength of Materials (open textbook), ch. 15, eq. 15.3.
    Axes, signs, units and ranges: ``loads/conventions.py``.

    Args:
        modulus: E; force per length squared, over 0.
        inertia: least second moment of area I; length to the fourth, over 0.
        length: L, over 0.
        effective: K, over 0: 1 pinned at both ends, 0.5 fixed, 0.7 pinned and fixed, 2 free at one end.

    Returns:
        Force, compression.

    Raises:
        ValueError: out of range.
    """
    bent = positive("effective length factor", effective) * positive("length", length)
    return math.pi**2 * positive("modulus", modulus) * positive("second moment of area", inertia) / bent**2


def critical_stress(load: Number, area: Number) -> float:
    """Stress at that load: P / A.

    Axes, signs, units and ranges: ``loads/conventions.py``.

    Args:
        load: force, over 0.
        area: of the section; length squared, over 0.

    Returns:
        Force per length squared.

    Raises:
        ValueError: out of range.
    """
    return positive("load", load) / positive("area", area)


def least_by_euler(load: int | Fraction, length: int | Fraction, longer: int | Fraction) -> Fraction:
    """What an Euler column of known load carries when longer: P (L / L2)^2, exact.

    A real column falls no faster with length, since yielding only makes the short one weaker; a chart that
    does is worth a second look.  Axes, signs, units and ranges: ``loads/conventions.py``.

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
