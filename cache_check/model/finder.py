"""What the finder of a crew page looks up: pieces, charts, and what straps hold, all worked out beforehand.

Base units throughout: lengths nm, forces N, angles degrees.  A thrust that is held is the largest; None is unknown.
"""

from __future__ import annotations

from fractions import Fraction

from cache_check.frozen import dataclass
from cache_check.model.assembly import Assembly
from cache_check.model.verdict import State


@dataclass(frozen=True)
class ChartLine:
    """One assembly for the finder: what it is rated for at factor 1 by length.

    ``rated`` are (longest length, state, load, load as marked) in rising steps: the load divided by a factor is that at
    a factor that was asked for; one that was not never raises it over what is marked.  Both are of what is known of it,
    None if nothing is; unless the state is *holds* that is no rating, and what exceeds it fails all the same.
    ``fixed`` is all but the body's own setting.
    """

    assembly: Assembly
    fixed: int
    rated: tuple[tuple[int, State, Fraction | None, Fraction | None], ...]


@dataclass(frozen=True)
class AtHand:
    """A part type: usable pieces, those in no built set, and for a fitting those with enough attachment points.

    ``contacts`` is what a head is made for.
    """

    part: str
    kind: str
    usable: int
    loose: int
    pointed: int
    contacts: tuple[str, ...]


@dataclass(frozen=True)
class TieAtHand:
    """A strap or chain: its rating, the hardware that each takes, and the thrust that so many of it hold on one base.

    ``holds`` go with ``FinderFacts.fans``; None where the rating is unknown.
    """

    part: str
    rated: Fraction | None
    rated_by: str
    needs: tuple[tuple[str, int], ...]
    holds: tuple[Fraction, ...] | None


@dataclass(frozen=True)
class PointsAtHand:
    """A base: how many points it has, and the thrust that they hold for each fan (None: no limit on the book)."""

    part: str
    points: int
    holds: tuple[Fraction, ...] | None


@dataclass(frozen=True)
class Fan:
    """So many straps, level: pairs at the sides and those on the strut's line.

    ``pull`` is the most that they all pull along the strut's line for a tension of 1 in each: at the narrowest
    half-angle, where what pre-tension presses into the strut is most severe; what they see is so at the widest.
    """

    number: int
    each_side: int
    on_the_line: int
    pull: Fraction


@dataclass(frozen=True)
class FinderFacts:
    """Everything the finder looks up.

    ``angle_rules`` are the rules that set ``flattest_deg`` and ``steepest_deg``; without any of them these are the
    limits of what is a strut.  ``allowance`` is what policy takes every load times, ``least_sideways`` the least thrust
    as a share of the upright load, ``sideways_at_45_deg`` the trade's short cut there.  ``pretension`` is the policy's,
    of each strap, ``push_share`` the most of an upright load that it may lift, None where no rule says.  ``unstated``
    is what rules ask of a strut and the finder does not.  ``built`` are the lines of the card's sets, None where a set
    is no legal strut.
    """

    angle_rules: tuple[str, ...]
    flattest_deg: Fraction
    steepest_deg: Fraction
    half_angle_deg: Fraction
    ties_per_base: int
    fans: tuple[Fan, ...]
    allowance: Fraction
    least_sideways: Fraction
    sideways_at_45_deg: Fraction
    pretension: Fraction
    push_share: Fraction | None
    unstated: tuple[str, ...]
    at_hand: tuple[AtHand, ...]
    ties: tuple[TieAtHand, ...]
    points: tuple[PointsAtHand, ...]
    hardware: tuple[tuple[str, tuple[Fraction, ...] | None], ...]
    built: tuple[ChartLine | None, ...]
