"""What the straps of one base hold: two in a V, the base's reaction, how many it takes.

Axes, signs, units and ranges: ``loads/conventions.py``.  The base is a point on which strut, straps and
ground act; straps hold the whole thrust (friction is shown, not counted).  Three straps and
more, and one strap lost: ``sharing``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from cache_check.frozen import dataclass
from cache_check.loads.conventions import (
    Number,
    between,
    cos_deg,
    half_angle,
    not_negative,
    positive,
    rise_angle,
    settled,
    sin_deg,
    strut_angle,
)

ALONG = 1e-9
"""Straps that pull no more than this of their tension to the side are on the strut's line."""


@dataclass(frozen=True)
class Strap:
    """How one strap or chain runs from the base.

    ``plan_angle_deg`` is signed, over -90 and under 90; ``rise_deg`` over -90 and under 90; ``stiffness`` is
    force per length, only its ratio to the other straps of the base matters.  Meaning of the angles:
    ``loads/conventions.py``.
    """

    plan_angle_deg: float
    rise_deg: float = 0.0
    stiffness: float = 1.0

    def __post_init__(self) -> None:
        limit = 90 - 1e-6
        between("plan angle, deg,", self.plan_angle_deg, -limit, limit, ends="[]")
        rise_angle(self.rise_deg)
        positive("strap stiffness", self.stiffness)

    @property
    def forward(self) -> float:
        """Part of the tension that holds thrust: cos alpha cos beta."""
        return cos_deg(self.plan_angle_deg) * cos_deg(self.rise_deg)

    @property
    def sideways(self) -> float:
        """Part of the tension that pulls sideways, positive toward +z: sin alpha cos beta."""
        return sin_deg(self.plan_angle_deg) * cos_deg(self.rise_deg)

    @property
    def upward(self) -> float:
        """Part of the tension that lifts the base: sin beta."""
        return sin_deg(self.rise_deg)


def base_reaction(axial: Number, angle_deg: Number, straps: Sequence[Strap], tensions: Sequence[Number]) -> float:
    """Reaction of the ground under the base, positive up: N = F sin theta - sum of T sin beta.

    A rising strap lifts the base, a falling one presses it down.  Negative means that the base leaves the ground: no
    equilibrium, do not use.
    """
    pulls = strap_pull(straps, tensions)
    return not_negative("strut force", axial) * sin_deg(strut_angle(angle_deg)) - pulls[1]


def strap_pull(straps: Sequence[Strap], tensions: Sequence[Number]) -> tuple[float, float, float]:
    """Total pull of the straps on their base, toward the vehicle (against x), up and sideways (z).

    Sums of T cos a cos b, T sin b, T sin a cos b.
    """
    if len(straps) != len(tensions):
        raise ValueError(f"tensions are {len(tensions)}; they must be as many as the straps, {len(straps)}")
    pairs = [(strap, not_negative("tension", tension)) for strap, tension in zip(straps, tensions, strict=True)]
    return (
        math.fsum(tension * strap.forward for strap, tension in pairs),
        math.fsum(tension * strap.upward for strap, tension in pairs),
        math.fsum(tension * strap.sideways for strap, tension in pairs),
    )


def strut_force(straps: Sequence[Strap], tensions: Sequence[Number], angle_deg: Number) -> float:
    """Strut force that pre-tension makes before any load: F0 = sum of T cos alpha cos beta / cos theta.

    Balance of the base along the strut's line, no friction, which only makes it less.  Straps cannot press an upright
    strut.
    """
    angle = strut_angle(angle_deg, upright=False)
    return strap_pull(straps, tensions)[0] / cos_deg(angle)


def sideways_pull(straps: Sequence[Strap], tensions: Sequence[Number]) -> float:
    """Sideways force that pre-tension leaves on the base, positive toward +z: sum of T sin alpha cos beta."""
    return strap_pull(straps, tensions)[2]


@dataclass(frozen=True)
class StrapCount:
    """How many straps one base takes, where they run, and the largest tension among them."""

    each_side: int
    on_the_line: int
    largest_tension: float

    @property
    def total(self) -> int:
        """Straps in all."""
        return 2 * self.each_side + self.on_the_line


def tension_of_fan(thrust: Number, half_angle_deg: Number, rise_deg: Number, total: int) -> StrapCount:
    """So many straps in pairs at the sides and an odd one on the line, and the most that one of them can see.

    Straps on one line share evenly; how the lines share nobody knows, so the odd one may take the whole thrust:
    T = H / (2 m cos alpha cos beta) at the sides, H / cos beta on the line.  ``total`` is 1 or more.
    """
    force, alpha, beta = not_negative("thrust", thrust), half_angle(half_angle_deg), rise_angle(rise_deg)
    if sin_deg(alpha) <= ALONG:
        return StrapCount(0, total, force / (total * cos_deg(beta)))
    each_side, odd = divmod(total, 2)
    per_thrust = 1.0 if odd else 1 / (2 * each_side * cos_deg(alpha))
    return StrapCount(each_side, odd, force * per_thrust / cos_deg(beta))


def straps_needed(
    thrust: Number,
    rated_tension: Number,
    half_angle_deg: Number = 0,
    rise_deg: Number = 0,
    *,
    minimum: int = 2,
    largest_half_angle_deg: float = 90.0,
) -> StrapCount:
    """Fewest like straps whose rated tension holds the thrust at their angles, never under the ruled ``minimum``.

    Sideways balance asks as much of one side as of the other, so straps stand in pairs and an odd one on the strut's
    line; each is taken for the most that it can see (``tension_of_fan``).  A plain H / (T cos alpha cos beta) would
    count an odd strap on one side that the other side cannot balance. A thrust met exactly is met.  ``rated_tension``
    is of one strap, at least a thousandth of the thrust; a minimum of 2 is common practice;
    ``largest_half_angle_deg`` is what the rule allows.

    Raises:
        ValueError: out of range, a half-angle past the rule, or more than 10,000 straps.
    """
    force, rated = not_negative("thrust", thrust), positive("rated tension", rated_tension)
    alpha, beta = half_angle(half_angle_deg, largest_half_angle_deg), rise_angle(rise_deg)
    if isinstance(minimum, bool) or not isinstance(minimum, int) or minimum < 1:
        raise ValueError(f"minimum is {minimum!r}; it must be a whole number, 1 or more")
    for total in range(minimum, 10_001):
        fan = tension_of_fan(force, alpha, beta, total)
        if settled(fan.largest_tension / rated) <= 1:
            return fan
    raise ValueError(f"rated tension is {rated_tension}; it must be enough that 10,000 straps hold {thrust}")
