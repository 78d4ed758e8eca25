"""Axes, signs, units and ranges: the one page that every equation of ``loads`` points to.

Elevation, in the upright plane of the strut::

      y up
       |          C  contact (x, h)
       |   W     o
       |   |    /   .   strut, compression positive
       |   v   /      .
       |      /         .  angle theta from the horizontal
       O-----/------------o B  base seat      --> x, from the vehicle toward the base
     pivot  A anchor - - -'
              strap, tension positive

- **Origin** O: the pivot edge, the line on the ground about which the vehicle would turn.
- **x** level, positive from the vehicle toward the strut's base; **y** positive up, so a reaction from the
  ground to the load is positive up; **z** = x cross y, level, across the strut's plane.
- **Heights**: "above the seat" is measured from the base's seat and makes lengths; "above the pivot" is
  measured from the pivot edge and makes moments.  They differ by the ground drop (positive when the ground at
  the base lies lower).
- **theta** (``angle_deg``): the strut's angle from the *horizontal*, over 0, at most 90.  An angle from the
  vertical enters only through ``Situation.steepness``.
- **Plan angle** (alpha): in plan, between the strut's line and the strap's, both seen from the base toward
  the vehicle; positive on the +z side.  A *half-angle* is its size, for one strap on each side.
- **Rise** (beta): the strap's angle above the level on its way from the base to the anchor; negative falling.
- **Strut force** F positive in compression; **strap tension** T positive in tension; a strap never pushes.
- **Weight** W positive, acting down; **lever** e positive when W lies on the strut's side of the pivot, so
  that it tips the vehicle onto the strut.
- **Moment** about the pivot positive when it turns the vehicle away from the strut.
- **Vertical** V is what the strut lifts, **thrust** H is what its base pushes outward along the ground.
- **Friction** is never counted unless an argument says so.

Units: one force unit and one length unit, any, throughout one call; angles in degrees; answers in the same.

Ranges: every argument is checked; a ``ValueError`` names it, its value and what is permitted.  Sizes are kept
between 1e-12 and 1e15, so that no answer overflows into "infinite".

Arguments, unless an equation says otherwise:

- ``load``, ``vertical``, ``weight``, ``axial``, ``thrust``: forces, 0 or more; ``share``, ``lever``: 0 or more
- ``angle_deg``: the strut from the horizontal, over 0, at most 90
- ``height``: contact above the base's seat, over 0; ``offset``: base out from under it, 0 or more; ``length``: over 0
- ``contact``, ``base``, ``anchors``: places seen from the pivot; (x, y) of the contact, y 0 or more; (x, y) of the
  base's seat, x at least the contact's, y under it; (x, y, z) of each strap's anchor on the vehicle, x under the
  base's, on both sides of the strut's plane
- ``straps``: how they run, 1 to 10 of them; ``tensions``: of each, in the same order, 0 or more; ``unit_tensions``:
  the same under a thrust of 1
- ``rise_deg``: of each strap
- ``friction_counted``: coefficient under the base that policy lets count, 0 (none) or more
- ``rated``: what one piece may carry, over 0; ``minimum``: a ruled number, 1 or more
- ``rows``: of a chart, sorted by limit; ``extensions``: how many, 0 or more; lengths in the rows' unit

Floats carry about 16 digits, so a force that is 10,000 by trigonometry may come out as 10,000.000000000002.
``settled`` keeps 12 significant digits; do that before rounding a demand up or a capacity down.
"""

import math
from decimal import Decimal
from fractions import Fraction

Number = int | float | Fraction

LARGEST = 1e15
SMALLEST = 1e-12
PARALLEL = 1e-9  # below this share of the distance, a line is taken to pass through the point


def refused(name: str, value: object, permitted: str) -> ValueError:
    """What is raised for an argument: its name, its value and what is permitted."""
    return ValueError(f"{name} is {value}; it must be {permitted}")


def finite(name: str, value: Number) -> float:
    """``value`` as a float, if it is a number, and of sensible size: not NaN, infinite, or over 1e15 either way."""
    if isinstance(value, bool) or not isinstance(value, Number):
        raise refused(name, repr(value), "a number")
    if not -LARGEST <= value <= LARGEST:
        raise refused(name, value, "a finite number from -1e15 to 1e15")
    return float(value)


def positive(name: str, value: Number) -> float:
    """``value`` as a float, if it is over 0, from 1e-12 on."""
    if (number := finite(name, value)) < SMALLEST:
        raise refused(name, value, "from 1e-12 to 1e15" if number > 0 else "over 0")
    return number


def not_negative(name: str, value: Number) -> float:
    """``value`` as a float, if it is 0 or more."""
    if (number := finite(name, value)) < 0:
        raise refused(name, value, "0 or more")
    return number


def whole(name: str, value: int, least: int) -> int:
    """``value``, if it is a whole number of at least so much."""
    if isinstance(value, bool) or not isinstance(value, int) or value < least:
        raise refused(name, repr(value), f"a whole number, {least} or more")
    return int(finite(name, value))


def between(name: str, value: Number, low: float, high: float, *, ends: str) -> float:
    """``value`` as a float, if it lies between two bounds; ``ends`` says which count: "[]", "(]", "[)" or "()"."""
    number = finite(name, value)
    if low < number < high or (number == low and ends[0] == "[") or (number == high and ends[1] == "]"):
        return number
    lower = "at least" if ends[0] == "[" else "over"
    upper = "at most" if ends[1] == "]" else "under"
    raise refused(name, value, f"{lower} {low:g} and {upper} {high:g}")


def strut_angle(angle_deg: Number, *, upright: bool = True) -> float:
    """The strut's angle from the horizontal, degrees: over 1e-6 and at most 90 (under 90 unless ``upright``)."""
    angle = between("angle from the horizontal, deg,", angle_deg, 0, 90, ends="(]" if upright else "()")
    if angle < 1e-6 or (not upright and angle > 90 - 1e-6):
        raise refused("angle from the horizontal, deg,", angle_deg, "at least 1e-6 from 0 and from 90")
    return angle


def sin_deg(angle_deg: float) -> float:
    """The sine of an angle in degrees, exact at 0 and 90 either way."""
    return math.copysign(1.0, angle_deg) if abs(angle_deg) == 90 else math.sin(math.radians(angle_deg))


def cos_deg(angle_deg: float) -> float:
    """The cosine of an angle in degrees, exact at 0 and 90 either way."""
    return 0.0 if abs(angle_deg) == 90 else math.cos(math.radians(angle_deg))


def settled(value: float) -> Fraction:
    """``value`` to 12 significant digits, exact from there on: float dust off, before rounding to safety."""
    return Fraction(Decimal(format(finite("value", value), ".12g")))  # a text takes Fraction four times as long
