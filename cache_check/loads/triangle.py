"""Strut, straps and vehicle together, the anchor where it really is.

Axes, signs, units and ranges: ``loads/conventions.py``.  A strap from the base to a low point of the vehicle also pulls
on the vehicle, and turns it further unless the anchor lies on the pivot (the textbook case).  Statics of two bodies:
the base (a point: strut, straps, ground) and the vehicle (turning about its pivot: weight, strut, straps).  Everything
is in proportion to the strut force, which moments about the pivot then give.
"""

import math
from collections.abc import Sequence

from cache_check.frozen import dataclass
from cache_check.loads.conventions import PARALLEL, Number, cos_deg, finite, not_negative, sin_deg, strut_angle
from cache_check.loads.demand import holding_arm
from cache_check.loads.geometry import Point, strap_angles_deg, strap_length, strut_angle_deg
from cache_check.loads.restraint import Strap, shared_tensions, strap_pull, strut_force

Place = tuple[float, float]


class NoBalanceError(ValueError):
    """Straps, strut and vehicle find no balance; ``why`` says it to people."""

    def __init__(self, says: str, why: str) -> None:
        super().__init__(says)
        self.why = why


@dataclass(frozen=True)
class TriangleForces:
    """Forces of strut, straps and vehicle in balance; signs as in ``loads/conventions.py``."""

    angle_deg: float
    strut: float
    straps: tuple[float, ...]
    base_reaction: float
    base_friction: float  # level, that the ground takes at the base; 0 unless friction is counted
    pivot_reaction: float
    strap_moment: float  # about the pivot; negative when they pull the vehicle onto the strut


def solve_triangle(
    weight: Number, lever: Number, contact: Place, base: Place, anchors: Sequence[Point], *,
    friction_counted: Number = 0, division: Sequence[Number] | None = None,
) -> TriangleForces:  # fmt: skip
    """All forces of strut, straps and vehicle: F (arm of strut + arm of straps) = W e, the base in balance.

    Base: sum of T cos a cos b = F cos theta - mu N, sideways even, N = F sin theta - sum of T sin b.  Vehicle: moments
    about the pivot.  Three straps and more share as like straps do, stiffness 1 / length.  ``lever`` is the weight's
    about the pivot toward the strut, 0 or more; ``division`` the tensions under a thrust of 1, in place of that
    sharing (``restraint.divisions``).  A negative reaction at base or pivot means: do not use.
    ValueError where straps are on one side, or nothing balances at any strut force.
    """
    angle, straps = _angle(contact, base), _straps(base, anchors)
    unit = shared_tensions(1, straps) if division is None else [float(tension) for tension in division]
    cosine, sine = cos_deg(angle), sin_deg(angle)
    lift, held = strap_pull(straps, unit)[1], held_by_straps(angle, straps, unit, friction_counted)
    pull = _strap_arm(tuple(held * tension for tension in unit), straps, anchors)
    arm = holding_arm(*contact, angle)
    if arm + pull <= PARALLEL * arm:
        why = "with anchors there the straps turn the vehicle as much as the strut holds it"
        raise NoBalanceError(f"holding arm of strut and straps is {arm + pull:g}; it must be over 0: {why}", why)
    strut = not_negative("weight", weight) * not_negative("lever", lever) / (arm + pull)
    # The strut presses the base down, rising straps lift it: what is left must be more than nothing, or the base flies.
    reaction = strut * (sine - held * lift)
    return TriangleForces(
        angle_deg=angle, strut=strut, straps=tuple(strut * held * tension for tension in unit), base_reaction=reaction,
        base_friction=strut * (cosine - held), pivot_reaction=float(weight) - reaction, strap_moment=strut * pull,
    )  # fmt: skip


def pretension_moment(
    contact: Place, base: Place, anchors: Sequence[Point], tensions: Sequence[Number]
) -> tuple[float, float]:
    """Strut force of pre-tension, and the moment away from the strut that strut and straps then make about the pivot.

    F0 (arm of strut) - sum of T (y cos a cos b + x sin b).  Tightening turns the vehicle away from the strut
    as soon as this passes what rests on it there.  No friction.
    """
    angle, straps = _angle(contact, base), _straps(base, anchors)
    own = strut_force(straps, tensions, angle)
    return own, own * holding_arm(*contact, angle) + _strap_arm(tensions, straps, anchors)


def held_by_straps(
    angle_deg: Number, straps: Sequence[Strap], unit_tensions: Sequence[Number], friction_counted: Number = 0
) -> float:
    """Thrust that straps hold for a strut force of 1: t = cos theta - mu (sin theta - t lift), never under 0.

    ``lift`` is the sum of unit tension x sin beta: rising straps lift the base off its friction, and may be too steep.
    """
    angle, friction = strut_angle(angle_deg), not_negative("friction counted", friction_counted)
    cosine, sine, lift = cos_deg(angle), sin_deg(angle), strap_pull(straps, unit_tensions)[1]
    if cosine <= friction * sine:
        return 0.0
    if friction * lift >= 1 - PARALLEL:
        why = "straps as steep as these lift the base off its friction"
        raise NoBalanceError(f"friction counted is {friction:g}; it must be under {1 / lift:g}: {why}", why)
    return (cosine - friction * sine) / (1 - friction * lift)


def axial_for_vertical_left(
    vertical: Number, angle_deg: Number, straps: Sequence[Strap], unit_tensions: Sequence[Number],
    friction_counted: Number = 0,
) -> float:  # fmt: skip
    """Strut force that leaves a vertical share for the vehicle: F = V / (sin theta - t x sum of unit T sin beta).

    A rising strap, anchored on the vehicle, also pulls it down, so the strut lifts that too; with level straps it is
    ``demand.axial_from_vertical``.  Straps may be so steep that they pull down as much as the strut lifts.
    """
    held = held_by_straps(angle_deg, straps, unit_tensions, friction_counted)
    if (left := sin_deg(strut_angle(angle_deg)) - held * strap_pull(straps, unit_tensions)[1]) <= PARALLEL:
        why = "straps as steep as these pull the vehicle down as much as the strut lifts it"
        raise NoBalanceError(f"vertical left of a strut force of 1 is {left:g}; it must be over 0: {why}", why)
    return not_negative("vertical load", vertical) / left


def _angle(contact: Place, base: Place) -> float:
    if (offset := finite("base x", base[0]) - finite("contact x", contact[0])) < 0:
        raise ValueError(f"base x is {base[0]}; it must be at least the contact's, {contact[0]}")
    return strut_angle_deg(finite("contact y", contact[1]) - finite("base y", base[1]), offset)


def _straps(base: Place, anchors: Sequence[Point]) -> tuple[Strap, ...]:
    seat = (*base, 0.0)
    return tuple(Strap(*strap_angles_deg(seat, anchor), 1 / strap_length(seat, anchor)) for anchor in anchors)


def _strap_arm(tensions: Sequence[Number], straps: Sequence[Strap], anchors: Sequence[Point]) -> float:
    """Moment about the pivot of the straps' pull on the vehicle: minus sum of T (y forward + x upward)."""
    return -math.fsum(
        float(tension) * (anchor[1] * strap.forward + anchor[0] * strap.upward)
        for tension, strap, anchor in zip(tensions, straps, anchors, strict=True)
    )
