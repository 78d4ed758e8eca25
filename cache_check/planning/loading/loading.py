"""From a situation to its whole answer: shares, straps, assemblies, counts, ground, and the way back."""

import math
from dataclasses import replace
from fractions import Fraction

from cache_check.errors import AskError
from cache_check.files.rules import default_wll
from cache_check.frozen import dataclass
from cache_check.joining.assemblies import union_of
from cache_check.loads.conventions import settled
from cache_check.loads.demand import foot_friction_needed, head_friction_needed
from cache_check.loads.geometry import angle_of_length_deg, length_at_angle
from cache_check.loads.restraint import strap_pull
from cache_check.loads.solve import Shape, forces, per_load, ratio, setup_of, shape_of, unit_forces
from cache_check.loads.triangle import NoBalanceError
from cache_check.model.counting import Step, Tally
from cache_check.model.load import Carrier, ChainInstead, Near, Push, Slip, TieWay
from cache_check.model.situation import Loaded, Situation
from cache_check.planning.loading.carrying import Here
from cache_check.planning.loading.demand import (
    Demand,
    Shared,
    half_angles_not_stated,
    half_angles_ruled,
    shared,
    with_policy,
)
from cache_check.planning.loading.links import Links
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.ratings import angles_ruled
from cache_check.planning.packing.tally import tally
from cache_check.planning.packing.verify import FalsePlanError


@dataclass(frozen=True)
class Worked:
    """A situation worked out: what was assumed, its load divided, and what is asked of a strut."""

    assumed: tuple[str, ...]
    divided: Shared
    demand: Demand


def worked_out(muster: Muster, situation: Situation) -> Worked:
    """A situation from policy to forces; where straps and vehicle find no balance the straps are refused and left out.

    Raises AskError for an anchor that holds nothing, or a strut that passes its pivot on the wrong side.
    """
    one, of_policy = with_policy(muster, situation)
    shape = shape_of(one)
    if any(anchor.x >= one.contact_x + shape.offset for anchor in one.anchors):
        what = "an anchor lies level with the base or beyond it, where a strap holds no thrust"
        raise AskError(f"anchors: {what}; check x")
    divided, (angles, of_straps) = shared(one), straps_of(muster, one, shape)
    refused = "" if one.ties == "none" else _refused(muster, angles, assumed=bool(of_straps))
    try:
        try:
            demand = _demand(muster, one, shape, divided, angles, refused)
        except NoBalanceError as error:
            refused = f"straps, strut and vehicle find no balance: {error.why}"
            demand = _demand(muster, one, shape, divided, angles, refused, "stays_down")
    except ValueError:
        what = "the strut's line passes the pivot on the wrong side, so it cannot hold the vehicle"
        raise AskError(f"{what}; check contact_x, the heights and the angle") from None
    return Worked((*of_policy, *of_straps), divided, demand)


def straps_of(muster: Muster, one: Situation, shape: Shape) -> tuple[tuple[Fraction, ...], tuple[str, ...]]:
    """The plan angles (degrees) of the straps as given, or of the widest V that rules allow; and what was assumed."""
    if one.ties == "none":
        return (), ()
    if one.anchors:
        base_x = one.contact_x + shape.offset
        return tuple(settled(math.degrees(math.atan2(a.z, max(base_x - a.x, 1e-9)))) for a in one.anchors), ()
    if one.plan_angles:
        return one.plan_angles, ()
    narrowest, widest = half_angles_not_stated(muster)
    wide, narrow = (_allowed_by(muster, kind) for kind in ("strap_spread", "strap_narrow"))
    said = f"the widest {wide}, {float(widest):g} deg to each side, for what they see"
    said += f"; the narrowest {narrow}, {float(narrowest):g} deg, for what pre-tension presses"
    return (widest, -widest), (f"half-angle of the straps not given: {said}",)


def _allowed_by(muster: Muster, kind: str) -> str:
    """Whose limit a value is that the rules of a kind allow."""
    rules = " and ".join(rule.id for rule in muster.book.in_force(kind))
    return f"that {rules} allows" if rules else "that a strap runs, as no rule limits it"


def _refused(muster: Muster, angles: tuple[Fraction, ...], *, assumed: bool) -> str:
    """Why straps cannot hold a base; "" where they may.  One in the strut's line keeps it from neither side.

    What is ``assumed`` is as wide as the family allows that allows most; of what is stated the strictest speaks.
    """
    ruled, widest, most = muster.book.in_force("strap_spread"), half_angles_ruled(muster)[1], max(map(abs, angles))
    if (ruled or 0 not in angles) and not min(angles) < 0 < max(angles):
        lie = "on one side of the strut's line" + " or in it" * (0 in angles)
        return f"all straps lie {lie}: the base swings, no tension holds it"
    if ruled and not assumed and most > widest:
        return f"a strap runs {float(most):.4g} deg from the strut's line, the widest allowed is {float(widest):g} deg"
    return ""


def _demand(
    muster: Muster, one: Situation, shape: Shape, divided: Shared, angles: tuple[Fraction, ...], refused: str,
    refused_by: str = "strap_spread",
) -> Demand:  # fmt: skip
    """Places, straps and forces (ValueError: the straps pull as hard as the strut holds, or it passes its pivot)."""
    bare = one.changed(anchors=(), half_angles=()) if refused else one
    setup = tight = setup_of(bare, shape, () if refused else angles)
    if setup.straps and not (one.anchors or one.plan_angles):
        least = min(half_angles_not_stated(muster))
        tight = setup_of(bare, shape, (least, -least))
    loaded, by_lever = asked_for(one)
    each = unit_forces(setup, per_load(setup, loaded, by_lever=by_lever), least_sideways(muster))
    known = None if divided.whole is None else forces(setup, each, divided.share, divided.whole, divided.by)
    factor = muster.factor(Ask(1, 1, factor=one.factor))
    return Demand(one, setup, tight, loaded, by_lever, factor, each, known, refused, refused_by)


def asked_for(one: Situation) -> tuple[Loaded, bool]:
    """How the load enters the equations, and whether where the weight lies is what is not known."""
    if one.loaded != "unknown":
        return one.loaded, False
    by_lever, weighed = one.weight is not None and "weight_outside" in one.unknown, "weight" not in one.unknown
    if by_lever or (not weighed and one.weight_outside is not None):
        return "overturning", by_lever
    if one.weight_inside is not None:
        return "rest", False
    return "vertical" if weighed or not one.one_end_pivots else "half", False


def least_sideways(muster: Muster) -> Fraction:
    """The least thrust to hold as a share of the vertical."""
    return Fraction(muster.book.ruled("least_sideways", "share", default=0))


def chain_instead(demand: Demand) -> ChainInstead | None:
    """The smallest chain of the unmarked grade that holds in each strap's place; None where none listed does."""
    setup, known = demand.setup, demand.known
    if not setup.straps or known is None:
        return None
    table = default_wll()
    tension = demand.pull(ratio(max(setup.worst))) + max(setup.one.pretension, default=Fraction(0))
    strong = [row for row in table.chain if row.grade == table.unmarked_grade and row.wll >= tension]
    row = min(strong, key=lambda row: row.size, default=None)
    return ChainInstead(row.size, table.unmarked_grade, row.wll, tension, table.source) if row else None


def counted(here: Here, found: tuple[Carrier, ...], wanted: int, label: str) -> Tally:
    """The tally at this length: restrained as everywhere, rated where every link holds."""
    demand, best = here.demand, next(iter(found), None)
    own = best.way.own if best is not None and best.way is not None else Fraction(0)
    load = None if demand.known is None else demand.known.axial_checked + own
    ask = Ask(demand.length, demand.length, load, demand.one.factor, demand.one.ties != "none", demand.one.contact)
    counts = tally(here, ask, label, wanted)
    _verify_ties(here, counts)
    return replace(counts, why_zero=tuple(_why(demand, found, step, why) for step, why in counts.why_zero))


def _why(demand: Demand, found: tuple[Carrier, ...], step: Step, why: str) -> tuple[Step, str]:
    """Why a count is zero here: what this situation refuses comes before what the cache lacks."""
    if step == "restrained" and demand.refused:
        return step, demand.refused
    if step == "rated" and found and found[0].broken:
        first = found[0].broken[0]
        return step, f"{first.link}: {first.why}" if first.why else f"{first.link} does not hold it"
    return step, why


def _verify_ties(here: Here, counts: Tally) -> None:
    """Refuse (FalsePlanError) ties that a situation does not allow, or whose ratings do not hold the struts' thrust."""
    known, taken = here.demand.known, dict(counts.best.ties)
    if here.demand.one.ties == "none" or counts.load is None or known is None:
        return
    rated = {tie.id: here.ties.rating[tie.id].rated for tie in here.ties.allowed}
    holds = sum((rated.get(tie) or 0) * number for tie, number in taken.items())
    if set(taken) - set(rated) or holds < counts.best.count * known.thrust_checked:
        raise FalsePlanError(f"a plan failed its own verification: {taken} do not hold {counts.best.count} bases")


def near(muster: Muster, shape: Shape, length: int) -> tuple[Near, ...]:
    """The nearest lengths below and above that this cache reaches at an angle allowed; none where it reaches this."""
    spans = union_of(muster.joined)
    if any(low <= length <= high for low, high in spans):
        return ()
    if limits := angles_ruled(muster.book):
        longest, shortest = (length_at_angle(shape.height, float(angle)) for angle in limits)
        clipped = ((max(low, math.ceil(shortest)), min(high, math.floor(longest))) for low, high in spans)
        spans = tuple(span for span in clipped if span[0] <= span[1])
    below = max((high for _, high in spans if high < length), default=None)
    above = min((low for low, _ in spans if low > length), default=None)
    found = [length for length in (below, above) if length is not None]
    angles = [settled(angle_of_length_deg(one, shape.height)) if one >= shape.height else None for one in found]
    return tuple(map(Near, found, angles))


def slip_of(one: Situation, shape: Shape, counted: Fraction) -> Slip:
    """Friction: what is needed with no strap, what was said, and what policy counts of it."""
    try:
        head = None if one.face is None else settled(head_friction_needed(shape.angle_deg, one.face))
    except ValueError:
        head = None
    return Slip(settled(foot_friction_needed(shape.angle_deg)), head, one.friction, counted)


def push_of(links: Links, way: TieWay | None) -> Push | None:
    """What pre-tension does by itself; None where there is none.  No strap relieves the strut's own lift."""
    setup, tight = links.demand.setup, links.demand.setup.pretension
    if way is None or not (most := max(tight, default=Fraction(0))):
        return None
    uneven = abs(ratio(strap_pull(setup.straps, [one / most for one in tight])[2])) * most
    return Push(most, way.own, links.demand.upright(way.own), uneven, links.turned(way))
