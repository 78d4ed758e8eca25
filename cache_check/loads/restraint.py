"""How the straps of one base run, pull and share the thrust, and the base's reaction.

Axes, signs, units and ranges: ``loads/conventions.py``.  The base is a point on which strut, straps and ground act;
straps hold the whole thrust (friction is shown, not counted).  Statics alone does not divide it among three straps and
more, so two answers are given:

- ``shared_tensions``: as straps of known stiffness share it with no slack (equal, if nothing is said): the
  division with the least stored energy among those that balance, no strap pushing.
- ``worst_tensions``: the most that each strap can see however they share, slack or uneven.  The divisions
  that balance form a bounded polytope, and each tension is largest at a corner of it, where at most two
  straps pull.

With two straps the two answers are the same.
"""

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import combinations

from cache_check.frozen import dataclass
from cache_check.loads.conventions import Number, between, cos_deg, not_negative, positive, sin_deg, strut_angle

ALONG = 1e-9  # straps that pull no more than this of their tension to the side are on the strut's line
MOST_STRAPS = 10
_SLACK = 1e-9  # tensions under a thrust of 1 that count as none


@dataclass(frozen=True)
class Strap:
    """How one strap or chain runs from the base; its angles are those of ``loads/conventions.py``."""

    plan_angle_deg: float  # signed; as the rise over -90 and under 90
    rise_deg: float = 0.0
    stiffness: float = 1.0  # force per length; only its ratio to the other straps of the base matters

    def __post_init__(self) -> None:
        for name, angle in (("plan angle, deg,", self.plan_angle_deg), ("rise, deg,", self.rise_deg)):
            between(name, angle, -90 + 1e-6, 90 - 1e-6, ends="[]")
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

    A rising strap lifts the base, a falling one presses it down.  Negative: the base leaves the ground, do not use.
    """
    return not_negative("strut force", axial) * sin_deg(strut_angle(angle_deg)) - strap_pull(straps, tensions)[1]


def strap_pull(straps: Sequence[Strap], tensions: Sequence[Number]) -> tuple[float, float, float]:
    """Pull of straps on their base to the vehicle, up, along z: sums of T cos a cos b, T sin b, T sin a cos b."""
    if len(straps) != len(tensions):
        raise ValueError(f"tensions are {len(tensions)}; they must be as many as the straps, {len(straps)}")
    pairs = [(strap, not_negative("tension", tension)) for strap, tension in zip(straps, tensions, strict=True)]
    forward = math.fsum(tension * strap.forward for strap, tension in pairs)
    upward = math.fsum(tension * strap.upward for strap, tension in pairs)
    return forward, upward, math.fsum(tension * strap.sideways for strap, tension in pairs)


def strut_force(straps: Sequence[Strap], tensions: Sequence[Number], angle_deg: Number) -> float:
    """Strut force that pre-tension makes before any load: F0 = sum of T cos alpha cos beta / cos theta."""
    # Balance of the base along the strut's line; friction only makes it less.  Straps cannot press an upright strut.
    return strap_pull(straps, tensions)[0] / cos_deg(strut_angle(angle_deg, upright=False))


def shared_tensions(thrust: Number, straps: Sequence[Strap]) -> tuple[float, ...]:
    """Tension of each strap as stiffness divides the thrust: the least sum of T^2 / (2 k) that balances.

    The base gives a little in plan; each strap stretches with that and pulls k times its stretch, or goes slack.
    ValueError where no division balances (all straps on one side).
    """
    force = not_negative("thrust", thrust)
    _check_count(straps)
    # Straps only pull.  Which of them go slack is not known beforehand, so that every set is tried, the largest first:
    # the energy is convex, so that the first that balances with the others slack is the one answer.
    for size in range(len(straps), 0, -1):
        for chosen in combinations(range(len(straps)), size):
            if (unit := _if_only_these_pull(straps, chosen)) is not None:
                return tuple(force * tension for tension in unit)
    raise _one_sided(straps)


def divisions(straps: Sequence[Strap]) -> tuple[tuple[float, ...], ...]:
    """How straps can share a thrust of 1 at the worst: every division that one or two of them hold alone.

    All that balance lie between these, so whatever is in proportion to the tensions is largest in one of them.
    ValueError where no division balances (all straps on one side).
    """
    _check_count(straps)
    found = tuple(tuple(dict(corner).get(place, 0.0) for place in range(len(straps))) for corner in _corners(straps))
    if not found:
        raise _one_sided(straps)
    return found


def worst_tensions(thrust: Number, straps: Sequence[Strap]) -> tuple[float, ...]:
    """The most that each strap can see, not all at once, however they share; raises as ``divisions``."""
    force = not_negative("thrust", thrust)
    return tuple(force * max(tensions) for tensions in zip(*divisions(straps), strict=True))


def worst_by_line(thrust: Number, straps: Sequence[Strap]) -> tuple[float, ...]:
    """As ``worst_tensions`` over lines: straps of one plan angle and rise are on one line and share its part evenly."""
    _check_count(straps)
    of = [(0.0 if abs(one.sideways) <= ALONG else one.plan_angle_deg, one.rise_deg) for one in straps]
    lines = Counter(of)
    worst = dict(zip(lines, worst_tensions(thrust, [Strap(*line) for line in lines]), strict=True))
    return tuple(worst[line] / lines[line] for line in of)


def tensions_with_one_lost(thrust: Number, straps: Sequence[Strap]) -> tuple[tuple[float, ...] | None, ...]:
    """For each strap, the most that the others then see; None where the rest cannot hold the base on its line."""
    # Of a V of two, losing either leaves None: the base swings.  The others' lines share as they will.
    force = not_negative("thrust", thrust)
    _check_count(straps)
    left = [tuple(straps[:lost]) + tuple(straps[lost + 1 :]) for lost in range(len(straps))]
    return tuple(worst_by_line(force, rest) if _both_sides(rest) else None for rest in left)


def _check_count(straps: Sequence[Strap]) -> None:
    if not 1 <= len(straps) <= MOST_STRAPS:
        raise ValueError(f"number of straps is {len(straps)}; it must be from 1 to {MOST_STRAPS}")


def _both_sides(straps: Sequence[Strap]) -> bool:
    """Whether one pulls to each side: a strap along the line holds thrust, and keeps the base from neither."""
    return any(one.sideways < -ALONG for one in straps) and any(one.sideways > ALONG for one in straps)


def _one_sided(straps: Sequence[Strap]) -> ValueError:
    angles = ", ".join(f"{strap.plan_angle_deg:g}" for strap in straps)
    right = "they must lie on both sides of the strut's line, or along it: straps on one side let the base swing"
    return ValueError(f"plan angles, deg, are {angles}; {right}")


def _corners(straps: Sequence[Strap]) -> Iterator[list[tuple[int, float]]]:
    """Every division of a thrust of 1 that one strap along the line, or one on each side, holds alone."""
    yield from ([(place, 1 / strap.forward)] for place, strap in enumerate(straps) if abs(strap.sideways) <= ALONG)
    # Two balances, along and across, so no more than two tensions stand at a corner of all that balance.
    for (i, one), (j, other) in combinations(enumerate(straps), 2):
        if _both_sides((one, other)):
            spread = one.forward * other.sideways - other.forward * one.sideways
            yield [(i, other.sideways / spread), (j, -one.sideways / spread)]


def _if_only_these_pull(straps: Sequence[Strap], chosen: tuple[int, ...]) -> list[float] | None:
    """Tensions under a thrust of 1 when these straps pull and the rest are slack; None if it is not so."""
    if (move := _give([straps[place] for place in chosen])) is None:
        return None
    stretched = [strap.stiffness * (move[0] * strap.forward + move[1] * strap.sideways) for strap in straps]
    pulls = [tension if place in chosen else 0.0 for place, tension in enumerate(stretched)]
    # A strap that is said to be slack, and would be stretched by this move, is not slack.
    if min(pulls) < -_SLACK or any(one > _SLACK for place, one in enumerate(stretched) if place not in chosen):
        return None
    pulls = [max(tension, 0.0) for tension in pulls]
    along, _, across = strap_pull(straps, pulls)
    return pulls if abs(along - 1) <= 1e-6 and abs(across) <= 1e-6 else None


def _give(straps: Sequence[Strap]) -> tuple[float, float] | None:
    """How far the base moves, out and sideways, under a thrust of 1; None when the straps do not stop it."""
    along = math.fsum(strap.stiffness * strap.forward**2 for strap in straps)
    mixed = math.fsum(strap.stiffness * strap.forward * strap.sideways for strap in straps)
    across = math.fsum(strap.stiffness * strap.sideways**2 for strap in straps)
    turning = along * across - mixed * mixed
    # Straps on one line, or two on one side, stop the base one way only: then the two equations are one.
    if turning > 1e-15 * along * (along + across):
        return across / turning, -mixed / turning
    return (1 / along, 0.0) if abs(mixed) <= _SLACK * along else None
