"""For cards: where ready sets reach by angle, what is at hand for one strut, and the heaviest car that struts hold."""

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from cache_check.errors import NoPlanError
from cache_check.joining.assemblies import union_of
from cache_check.joining.seats import added_length
from cache_check.loads.conventions import cos_deg, settled
from cache_check.loads.demand import sideways_at_45_deg
from cache_check.loads.geometry import length_at_angle, offset_at_angle
from cache_check.loads.rating import rating_of
from cache_check.loads.restraint import Strap, worst_by_line
from cache_check.model.card import Aim, ChartLine, Fan, FinderFacts, Holds, PartShown, SetShown, TieAtHand
from cache_check.model.counting import NeedAsked
from cache_check.model.part import LINEAR, Fitting, Hardware, Tie
from cache_check.model.quantities import FLATTEST_DEG, STEEPEST_DEG, STRUCTURE
from cache_check.model.report import Heaviest
from cache_check.model.rule import Setting
from cache_check.model.situation import Situation
from cache_check.planning.loading.carrying import Here
from cache_check.planning.loading.demand import allowance_ruled, half_angles_not_stated, pretension_ruled
from cache_check.planning.loading.holding import MOST_PER_BASE, fit_points
from cache_check.planning.loading.loading import Worked, least_sideways, worked_out
from cache_check.planning.loading.weighing import floors_of, together
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.ratings import angles_ruled
from cache_check.planning.packing.verdicts import unruled_why
from cache_check.units import NEWTON_PER_LBF, NM_PER_INCH, NM_PER_MM, System

ROWS = 12  # no more contact heights than this are tabled: a card is one side
UNSTATED = {
    "strap_reach": "whether the straps reach",
    "restraint_marked": "what their far ends hold",
    "ground_bearing": "the ground",
    "strut_count": "how many struts the vehicle asks for",
}
"""What kinds of rules ask of a strut in its place and the finder does not ask for: unknown, as to ``load`` untold."""
STEEP_DEG = 60
MOST_HEIGHTS, MOST_WAYS = 6, 5000
LEFT_TO_LOAD = ("ground_bearing", "head_for_contact", "head_captured", "strap_reach", "pretension_push")
"""Kinds of rules on what only the place says: they are left to ``load``, which asks for it."""
_LIGHT = 100 * NEWTON_PER_LBF
"""A weight that asks for no more straps than the rules do; what is held grows with it in proportion."""


def facts(muster: Muster, built: Sequence[ChartLine | None], per_base: int) -> FinderFacts:
    """Everything that the finder looks up; ``built`` are the lines of the sets, ``per_base`` the ruled ties."""
    (narrowest, half_angle), tight = half_angles_not_stated(muster), pretension_ruled(muster)
    # As in ``load``, straps hold a base from both sides, and no single one does.
    numbers = range(max(2, per_base), MOST_PER_BASE + 1) if half_angle else ()
    fans = tuple(_fan(n, half_angle, min(narrowest, half_angle)) for n in numbers)
    book, ruled, parts, fit = muster.book, muster.book.ruled, muster.cache.catalogue.parts, fit_points(muster)
    flattest, steepest = angles_ruled(book) or (Fraction(FLATTEST_DEG), Fraction(STEEPEST_DEG))
    bases = [part for part in parts if isinstance(part, Fitting)]
    listed = {contact for base in bases for contact in base.contacts}
    captured = ruled("head_captured", "captured", default=tuple(listed))
    unstated = [] if muster.restraint_ruled else ["how many straps or chains hold a base"]
    unstated += [what for kind, what in UNSTATED.items() if book.in_force(kind)]
    hardware = [part for part in parts if isinstance(part, Hardware)]
    return FinderFacts(
        angle_rules=tuple(rule.id for rule in book.in_force("strut_angle")),
        flattest_deg=flattest, steepest_deg=steepest,
        fans=fans, allowance=allowance_ruled(muster), least_sideways=least_sideways(muster),
        sideways_at_45_deg=settled(sideways_at_45_deg(1)), pretension=tight,
        push_share=Fraction(ruled("pretension_push", "share")) if book.in_force("pretension_push") else None,
        head_asked=bool(book.in_force("head_for_contact")), by_friction=tuple(sorted(listed.difference(captured))),
        unstated=tuple(unstated), built=tuple(built),
        ties=tuple(_tie(muster, tie, fans, tight) for tie in parts if isinstance(tie, Tie)),
        points=tuple((base.id, _points(base, fit[base.id], fans, tight)) for base in bases if base.points),
        hardware=tuple((one.id, _thrusts(one.wll, tight, fans)) for one in hardware),
    )  # fmt: skip


def _fan(number: int, half_angle: Fraction, narrowest: Fraction) -> Fan:
    """So many straps in pairs at the sides, an odd one on the strut's line, however these lines share."""
    sides, odd = divmod(number, 2)
    straps = [Strap(float(side)) for side in (half_angle, -half_angle) for _ in range(sides)] + [Strap(0)] * odd
    pull = 2 * sides * cos_deg(float(narrowest)) + odd
    return Fan(number, sides, odd, settled(pull), max(worst_by_line(1, straps)))


def _thrusts(rated: Fraction | None, tight: Fraction, fans: Sequence[Fan], points: int = MOST_PER_BASE) -> Holds:
    """The thrust at which each fan's tightest strap (on a point: all there) reaches a rating less pre-tension."""
    if rated is None:
        return None
    left = [max(Fraction(0), rated / -(-fan.number // points) - tight) for fan in fans]
    return tuple(settled(float(most) / fan.tension) for most, fan in zip(left, fans, strict=True))


def _tie(muster: Muster, tie: Tie, fans: Sequence[Fan], tight: Fraction) -> TieAtHand:
    rating, usable = rating_of(tie), muster.usable.counts[tie.id]
    holds = _thrusts(None if tie.id in muster.bare else rating.rated, tight, fans)
    needs = tuple((name, n) for name, n in tie.hardware.items() if n)
    return TieAtHand(tie.id, usable, bool(usable or muster.cache.counted.get(tie.id)), rating.rated, needs, holds)


def _points(base: Fitting, fit: int, fans: Sequence[Fan], tight: Fraction) -> Holds:
    limits = [point.wll for point in base.points if point.wll is not None]
    return _thrusts(min(limits) if len(limits) == len(base.points) else None, tight, fans, max(1, fit))


def pieces(muster: Muster, sets: Sequence[SetShown]) -> Iterator[PartShown]:
    """Every part type that is there or on the book; what lies in a set that is only proposed is loose."""
    built = (one.assembly.pieces if one.assembly else Counter(one.parts) for one in sets if one.built)
    in_sets = sum(built, Counter[str]())
    for part in muster.cache.catalogue.parts:
        usable, foot = muster.usable.counts[part.id], getattr(part, "footprint", None)
        if usable or muster.cache.counted.get(part.id):
            fixed = added_length(part) if part.kind in LINEAR and part.kind != "body" else 0
            short, long = (part.closed, part.open) if part.kind == "body" else (fixed, fixed)
            yield PartShown(
                part.id, part.kind, short, long, usable, loose=max(0, usable - in_sets[part.id]),
                pointed=max(0, muster.usable.pointed.get(part.id, 0)),
                footprint=(foot.length, foot.width) if foot else None,
                contacts=tuple(sorted(part.contacts)) if isinstance(part, Fitting) and "head" in part.serves else (),
            )  # fmt: skip


def aims(sets: Sequence[SetShown], angles: Sequence[Fraction], units: System) -> tuple[tuple[Aim, ...], ...]:
    """A row for each round contact height that some set reaches at some angle, with the usable sets that do."""
    usable = [(one.name, one.assembly) for one in sets if one.usable and one.assembly is not None]
    if not usable or not angles:
        return ()
    low, high = min(one.closed for _, one in usable) // 2, max(one.open for _, one in usable)

    def aim(height: int, angle: Fraction) -> Aim:
        length, offset = _length(height, angle), round(settled(offset_at_angle(height, angle)))
        return Aim(height, angle, length, offset, tuple(name for name, one in usable if one.covers(length, length)))

    step = unit = 2 * NM_PER_INCH if units == "us" else 50 * NM_PER_MM
    while True:
        heights = range(-(-low // step) * step, high + 1, step)
        rows = [tuple(aim(height, angle) for angle in angles) for height in heights if height]
        rows = [row for row in rows if any(one.sets for one in row)]
        if len(rows) <= ROWS:
            return tuple(rows)
        step += unit


def outs(asked: NeedAsked, angles: Sequence[Fraction]) -> tuple[tuple[Fraction, int, int], ...]:
    """The base out at the shortest and the longest length of a need, at its own angle, else at each of ``angles``."""
    at = angles if asked.angle_deg is None else (asked.angle_deg,)
    ends = [(angle, [settled(end * cos_deg(float(angle))) for end in (asked.shortest, asked.longest)]) for angle in at]
    return tuple((angle, round(short), round(long)) for angle, (short, long) in ends)


def heaviest(muster: Muster) -> Heaviest:
    """For round contact heights the largest weight that as many struts as policy asks for a car hold at once.

    The car lies on level ground, as high as it is wide, and is met at its upper edge: at rest with its weight half its
    width inside the edge, leaning as far outside.  Bases are held by as many straps or chains as the rules ask.
    Raises NoPlanError where no rule says how many those are, or there are too many ways to put struts up to go through.
    """
    if not muster.restraint_ruled:
        raise NoPlanError(unruled_why(muster)[0])
    if muster.large or len(muster.columns.all) > MOST_WAYS:
        raise NoPlanError("there are too many ways to put struts up; ask load of a place")
    ruled = angles_ruled(muster.book) or (Fraction(STEEP_DEG),)
    angle = min(max(Fraction(STEEP_DEG), ruled[0]), max(ruled[-1], ruled[0]))
    left = [rule.id for kind in LEFT_TO_LOAD for rule in muster.book.of_kind(kind)]
    off = [Setting(rule=rule, on=False, by="left to load") for rule in left]
    plain = muster.changed(book=muster.book.changed(settings=(*muster.book.settings, *off)))
    struts = max(2, floors_of(muster, "car").get("car", 1))
    rows, places = [], []
    for height in _heights(plain, angle):
        places = [worked_out(plain, _place(height, angle, struts, inside=inside)) for inside in (True, False)]
        at_rest, leaning = (_most(plain, one, struts) for one in places)
        rows.append((height, _length(height, angle), at_rest, leaning))
    assumed = dict.fromkeys(text for one in places for text in one.assumed)
    return Heaviest(angle, struts, tuple(rows), any(not one.divided.share for one in places[:1]), tuple(assumed))


def _length(height: int, angle: Fraction) -> int:
    return round(settled(length_at_angle(height, angle)))


def _heights(muster: Muster, angle: Fraction) -> Iterator[int]:
    """A few round contact heights that some assembly reaches at an angle."""
    union = union_of(muster.joined)
    unit = 2 * NM_PER_INCH if muster.cache.units == "us" else 50 * NM_PER_MM
    lengths = range(unit * -(-union[0][0] // 2 // unit), union[-1][1], unit) if union else ()
    reached = [at for at in lengths if any(low <= _length(at, angle) <= high for low, high in union)]
    yield from reached[:: -(-len(reached) // MOST_HEIGHTS) or 1]


def _place(height: int, angle: Fraction, struts: int, *, inside: bool) -> Situation:
    lies: dict[str, Any] = {"weight_inside" if inside else "weight_outside": height // 2, "edges_apart": height}
    lies |= dict.fromkeys(("ground_drop", "contact_x", "pivot_height"), 0)
    said: dict[str, Any] = {"weight": _LIGHT, "on_this_side": struts, "vehicle": "car", "far_anchors": STRUCTURE}
    return Situation.model_construct(contact_height=height, angle=angle, **said, **lies)


def _most(muster: Muster, worked: Worked, struts: int) -> Fraction | None:
    """The largest weight (N) of which so many struts at once hold their shares; None where none is held."""
    known, (share, _) = worked.divided.share, together(Here(muster, worked.demand), struts, lambda _: worked.demand.one)
    return _LIGHT * share / known if known and share else None
