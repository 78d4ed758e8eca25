"""What is at hand for one strut: pieces in no set, and what so many straps, their points and hardware hold."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction

from cache_check.loads.conventions import cos_deg, settled
from cache_check.loads.practice import sideways_at_45_deg
from cache_check.loads.restraint import straps_needed
from cache_check.model.card import AtHand, ChartLine, Fan, FinderFacts, PointsAtHand, SetShown, TieAtHand
from cache_check.model.part import Fitting, Hardware, Tie
from cache_check.model.situation import FLATTEST_DEG, STEEPEST_DEG
from cache_check.model.tables import DefaultWll, rating_of
from cache_check.planning.loading.holding import MOST_PER_BASE
from cache_check.planning.loading.loading import least_sideways
from cache_check.planning.loading.settling import allowance_ruled, half_angles_ruled, pretension_ruled
from cache_check.planning.packing.muster import Muster

UNSTATED = {
    "strap_reach": "whether the straps reach",
    "restraint_marked": "what their far ends hold",
    "ground_bearing": "the ground",
}
"""What kinds of rules ask of a strut in its place and the finder does not ask for: unknown, as to ``load`` untold."""


def facts(
    muster: Muster, sets: Sequence[SetShown], built: Sequence[ChartLine | None], per_base: int, table: DefaultWll
) -> FinderFacts:
    """Everything that the finder looks up; ``built`` are the lines of the sets, ``per_base`` the ruled ties."""
    (narrowest, half_angle), tight = half_angles_ruled(muster), pretension_ruled(muster)
    fans = tuple(
        _fan(number, half_angle, min(narrowest, half_angle)) for number in range(max(1, per_base), MOST_PER_BASE + 1)
    )
    tensions = tuple(_tension(fan.number, half_angle) for fan in fans)
    ruled = muster.book.ruled
    parts = muster.cache.catalogue.parts
    return FinderFacts(
        angle_rules=tuple(rule.id for rule in muster.book.in_force("strut_angle")),
        flattest_deg=max(Fraction(FLATTEST_DEG), Fraction(ruled("strut_angle", "min", default=FLATTEST_DEG))),
        steepest_deg=min(Fraction(STEEPEST_DEG), Fraction(ruled("strut_angle", "max", default=STEEPEST_DEG))),
        half_angle_deg=half_angle,
        ties_per_base=per_base,
        fans=fans,
        allowance=allowance_ruled(muster),
        least_sideways=least_sideways(muster),
        sideways_at_45_deg=settled(sideways_at_45_deg(1)),
        pretension=tight,
        push_share=Fraction(ruled("pretension_push", "share")) if muster.book.in_force("pretension_push") else None,
        head_asked=bool(muster.book.in_force("head_for_contact")),
        by_friction=_by_friction(muster),
        unstated=tuple(what for kind, what in UNSTATED.items() if muster.book.in_force(kind)),
        at_hand=tuple(_at_hand(muster, sets)),
        ties=tuple(_tie(tie, tensions, tight, table) for tie in parts if isinstance(tie, Tie)),
        points=tuple(
            _points(base, fans, tensions, tight) for base in parts if isinstance(base, Fitting) and base.points
        ),
        hardware=tuple(
            (one.id, None if one.wll is None else _thrusts(one.wll - tight, tensions))
            for one in parts
            if isinstance(one, Hardware)
        ),
        built=tuple(built),
    )


def _by_friction(muster: Muster) -> tuple[str, ...]:
    """Kinds of contact that hold a head only by friction, unless the strut meets them squarely."""
    listed = {contact for one in muster.cache.catalogue.parts if isinstance(one, Fitting) for contact in one.contacts}
    return tuple(sorted(listed - {*muster.book.ruled("head_captured", "captured", default=tuple(listed))}))


def _fan(number: int, half_angle: Fraction, narrowest: Fraction) -> Fan:
    """So many straps, where they run, and how hard they pull where they run narrowest."""
    fan = straps_needed(1, 1000, half_angle, minimum=number)
    pull = 2 * fan.each_side * cos_deg(float(narrowest)) + fan.on_the_line
    return Fan(fan.total, fan.each_side, fan.on_the_line, settled(pull))


def _tension(number: int, half_angle: Fraction) -> float:
    """The tension that a thrust of 1 makes in the tightest of so many straps."""
    return straps_needed(1, 1000, half_angle, minimum=number).largest_tension


def _thrusts(rated: Fraction, tensions: Sequence[float]) -> tuple[Fraction, ...]:
    """The thrust at which each fan's tightest strap reaches a rating that pre-tension has already lessened."""
    left = max(Fraction(0), rated)
    return tuple(settled(float(left) / tension) for tension in tensions)


def _tie(tie: Tie, tensions: Sequence[float], tight: Fraction, table: DefaultWll) -> TieAtHand:
    rating = rating_of(tie, table)
    holds = None if rating.rated is None else _thrusts(rating.rated - tight, tensions)
    return TieAtHand(tie.id, rating.rated, rating.by, tuple((name, n) for name, n in tie.hardware.items() if n), holds)


def _points(base: Fitting, fans: Sequence[Fan], tensions: Sequence[float], tight: Fraction) -> PointsAtHand:
    """A base's points: where several straps hang on one, it takes them all."""
    limits = [point.wll for point in base.points if point.wll is not None]
    if len(limits) < len(base.points):
        return PointsAtHand(base.id, len(base.points), None)
    heaped = [-(-fan.number // len(base.points)) for fan in fans]
    holds = (
        _thrusts(min(limits) / heap - tight, (tension,))[0] for heap, tension in zip(heaped, tensions, strict=True)
    )
    return PointsAtHand(base.id, len(base.points), tuple(holds))


def _at_hand(muster: Muster, sets: Sequence[SetShown]) -> Iterator[AtHand]:
    """Every usable part type; what lies in a set that is only proposed is loose."""
    in_sets: Counter[str] = Counter()
    for one in sets:
        if one.built:
            in_sets.update(one.parts)
            in_sets.update(dict(one.assembly.pins) if one.assembly else {})
    for part in muster.cache.catalogue.parts:
        usable = muster.usable.counts[part.id]
        if usable > 0:
            contacts = sorted(part.contacts) if isinstance(part, Fitting) and "head" in part.serves else ()
            loose = max(0, usable - in_sets[part.id])
            pointed = max(0, muster.usable.pointed.get(part.id, 0))
            yield AtHand(part.id, part.kind, usable, loose, pointed, tuple(contacts))
