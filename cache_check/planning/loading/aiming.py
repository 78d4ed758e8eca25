"""Where ready sets reach: contact heights by angle, and the thrust that straps hold at the widest angle allowed."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from cache_check.loads.conventions import cos_deg, settled
from cache_check.loads.geometry import length_at_angle, offset_at_angle
from cache_check.loads.restraint import straps_needed
from cache_check.model.card import Aim, SetShown, TieHold
from cache_check.model.counting import NeedAsked
from cache_check.model.part import Tie
from cache_check.model.tables import DefaultWll, rating_of
from cache_check.planning.packing.muster import Muster
from cache_check.units import NM_PER_INCH, NM_PER_MM, System

ROWS = 12
"""No more contact heights than this are tabled: a card is one side."""
MOST_TIES = 10


def angles_ruled(muster: Muster) -> tuple[Fraction, ...]:
    """The flattest and the steepest angle of the rules in force, degrees from the horizontal; none if no rule is on."""
    book = muster.book
    if not book.in_force("strut_angle"):
        return ()
    return tuple(dict.fromkeys(Fraction(book.ruled("strut_angle", limit)) for limit in ("min", "max")))


def aim(height: int, angle: Fraction, sets: Sequence[SetShown]) -> Aim:
    """One contact height at one angle, and the usable sets that can be set to exactly that length."""
    length = round(settled(length_at_angle(height, angle)))
    offset = round(settled(offset_at_angle(height, angle)))
    able = tuple(
        one.name for one in sets if one.usable and one.assembly is not None and one.assembly.covers(length, length)
    )
    return Aim(height, angle, length, offset, able)


def aims(sets: Sequence[SetShown], angles: Sequence[Fraction], units: System) -> tuple[tuple[Aim, ...], ...]:
    """A row for each round contact height that some set reaches at some angle."""
    reached = [one.assembly for one in sets if one.usable and one.assembly is not None]
    if not reached or not angles:
        return ()
    low, high = min(one.closed for one in reached) // 2, max(one.open for one in reached)
    unit = 2 * NM_PER_INCH if units == "us" else 50 * NM_PER_MM
    step = unit
    while True:
        heights = range(-(-low // step) * step, high + 1, step)
        rows = [tuple(aim(height, angle, sets) for angle in angles) for height in heights if height]
        rows = [row for row in rows if any(one.sets for one in row)]
        if len(rows) <= ROWS:
            return tuple(rows)
        step += unit


def outs(asked: NeedAsked, angles: Sequence[Fraction]) -> tuple[tuple[Fraction, int, int], ...]:
    """The base out at the shortest and the longest length of a need, at its own angle, else at each of ``angles``."""
    at = angles if asked.angle_deg is None else (asked.angle_deg,)
    return tuple((angle, _out(asked.shortest, angle), _out(asked.longest, angle)) for angle in at)


def _out(length: int, angle: Fraction) -> int:
    return round(settled(length * cos_deg(float(angle))))


def tie_holds(muster: Muster, per_base: int, half_angle: Fraction, table: DefaultWll) -> tuple[TieHold, ...]:
    """Each kind of strap or chain on the book: how much thrust 1 to 10 of them hold on one base."""
    found = []
    for tie in muster.cache.catalogue.parts:
        if isinstance(tie, Tie) and (muster.usable.counts[tie.id] or muster.cache.counted.get(tie.id)):
            rating = rating_of(tie, table)
            holds = () if rating.rated is None else _holds(rating.rated, per_base, half_angle)
            found.append(
                TieHold(tie.id, tie.kind, muster.usable.counts[tie.id], rating.rated, rating.by, half_angle, holds)
            )
    return tuple(found)


def _holds(rated: Fraction, per_base: int, half_angle: Fraction) -> tuple[tuple[int, Fraction], ...]:
    """The thrust that n like straps hold, from the tension that a thrust of 1 makes in the tightest."""
    held = []
    for number in range(max(1, per_base), MOST_TIES + 1):
        fan = straps_needed(1, 1000, half_angle, minimum=number)
        held.append((number, settled(float(rated) / fan.largest_tension)))
    return tuple(held)
