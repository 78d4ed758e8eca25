"""How the straps of one base run and pull, and the base's reaction.

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
    not_negative,
    positive,
    rise_angle,
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
