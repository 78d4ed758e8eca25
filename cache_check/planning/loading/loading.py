"""From a situation to its whole answer: shares, straps, assemblies, counts, ground, and the way back."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from fractions import Fraction

from cache_check.joining.reach import reach_of
from cache_check.loads.conventions import settled, sin_deg
from cache_check.loads.geometry import angle_of_length_deg
from cache_check.loads.pretension import lift_on_vehicle, sideways_pull, strut_force
from cache_check.loads.rating import DesignFactor
from cache_check.loads.restraint import Strap
from cache_check.loads.slip import foot_friction_needed, head_friction_needed
from cache_check.loads.solve import Setup, Shape, forces, per_load, ratio, setup_of, unit_forces
from cache_check.model.load import Carrier, ChainInstead, Forces, Near, Push, Slip, TieWay
from cache_check.model.part import Tie
from cache_check.model.result import Step, Tally
from cache_check.model.situation import Situation
from cache_check.model.tie_rating import DefaultWll, rating_of
from cache_check.planning.loading.carrying import Demand, leading
from cache_check.planning.loading.holding import Here, doubled, ties_ruled, way_of
from cache_check.planning.loading.sharing import Shared
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.tally import tally
from cache_check.planning.packing.verify import FalsePlanError

NO_BALANCE = "straps, strut and vehicle find no balance"
KINDS = {"straps": ("strap",), "chains": ("chain",), "either": ("strap", "chain"), "none": ()}


@dataclass(frozen=True)
class Straps:
    """The straps of a situation: plan angles taken (degrees), what was assumed of them, and why they are refused."""

    plan_angles_deg: tuple[Fraction, ...]
    assumed: tuple[str, ...]
    refused: str


def straps_of(muster: Muster, one: Situation, shape: Shape) -> Straps:
    """The straps as given, or the widest V that STR-3 allows; refused where they cannot hold a base."""
    if one.ties == "none":
        return Straps((), (), "")
    assumed: list[str] = []
    widest = widest_deg(muster)
    angles = one.plan_angles
    if one.anchors:
        base_x = one.contact_x + shape.offset
        angles = tuple(settled(math.degrees(math.atan2(a.z, max(base_x - a.x, 1e-9)))) for a in one.anchors)
    elif not angles:
        angles = (widest, -widest)
        said = f"{float(widest):g} deg to each side, the widest that STR-3 allows"
        assumed.append(f"half-angle of the straps not given: {said}")
    if not one.anchors and not one.rise:
        assumed.append("rise of the straps not given: level")
    return Straps(angles, tuple(assumed), _refused(muster, angles, widest))


def _refused(muster: Muster, angles: tuple[Fraction, ...], widest: Fraction) -> str:
    if not any(angle <= 0 for angle in angles) or not any(angle >= 0 for angle in angles):
        return "all straps lie on one side of the strut's line: the base swings, no tension holds it"
    if muster.book.in_force("strap_spread") and any(abs(angle) > widest for angle in angles):
        most = max(abs(angle) for angle in angles)
        return f"a strap runs {float(most):.4g} deg from the strut's line, the widest allowed is {float(widest):g} deg"
    return ""


def widest_deg(muster: Muster) -> Fraction:
    """The widest half-angle in plan that the rules allow, degrees."""
    return min(Fraction(muster.book.value(rule.id, "max")) for rule in muster.book.of_kind("strap_spread"))


@dataclass(frozen=True)
class Statics:
    """A situation solved: places and straps, forces for a load of 1 and for its own (None: the load is unknown)."""

    setup: Setup
    loaded: str
    by_lever: bool
    each: Forces
    known: Forces | None


def pretensioned(muster: Muster, one: Situation) -> Situation:
    """The situation with the policy's pre-tension where it names none."""
    policy = pretension_ruled(muster)
    if one.pretension or one.ties == "none" or not policy or one.steepness == 90 or one.base_offset == 0:
        return one
    return one.changed(pretension=(policy,))


def pretension_ruled(muster: Muster) -> Fraction:
    """The policy's pre-tension of each strap, N, where a situation names none."""
    return Fraction(muster.book.ruled("strap_tension", "pretension", default=0))


def statics_of(muster: Muster, one: Situation, shape: Shape, straps: Straps, shared: Shared) -> Statics:
    """Places, straps and forces.

    Raises:
        ValueError: no balance: the straps pull as hard as the strut holds, or the strut passes its pivot.
    """
    held = replace(straps, plan_angles_deg=()) if straps.refused else straps
    bare = one.changed(anchors=(), half_angles=()) if straps.refused else one
    setup = setup_of(bare, shape, held.plan_angles_deg)
    loaded, by_lever = asked_for(one)
    each = unit_forces(setup, per_load(setup, loaded, by_lever=by_lever), least_sideways(muster))
    known = None if shared.whole is None else forces(setup, each, shared.share, shared.whole, shared.by)
    return Statics(setup, loaded, by_lever, each, known)


def asked_for(one: Situation) -> tuple[str, bool]:
    """How the load enters the equations, and whether the lever is what is not known."""
    if one.loaded != "unknown":
        return one.loaded, False
    if one.weight is not None and "lever" in one.unknown:
        return "overturning", True
    if "weight" in one.unknown and one.lever is not None:
        return "overturning", False
    if "weight" in one.unknown and one.one_end_pivots:
        return "half", False
    return "vertical", False


def least_sideways(muster: Muster) -> Fraction:
    """The least thrust to hold as a share of the vertical."""
    return Fraction(muster.book.ruled("least_sideways", "share", default=0))


def ways_of(muster: Muster, one: Situation, solved: Statics, table: DefaultWll) -> tuple[TieWay, ...]:
    """Every kind of strap or chain in the catalogue that the situation allows, as a way of holding each base."""
    if not solved.setup.straps:
        return ()
    thrust = (solved.known or solved.each).thrust_checked
    families = {part.family for part in muster.cache.catalogue.parts if part.kind == "fitting"}
    minimum = max((ties_ruled(muster.book, family) for family in families), default=0)
    found = []
    for tie in ties_allowed(muster, one):
        rating = rating_of(tie, table)
        # With no load known the fewest that may be used are taken, and the load follows from what they hold.
        asked = thrust if solved.known is not None else min(thrust, Fraction(1))
        found.append(way_of(tie, rating, solved.setup, asked, muster.usable.counts[tie.id], minimum))
    return tuple(found)


def ties_allowed(muster: Muster, one: Situation) -> list[Tie]:
    """The straps and chains of the catalogue that a situation allows."""
    parts = muster.cache.catalogue.parts
    return [part for part in parts if isinstance(part, Tie) and part.kind in KINDS[one.ties]]


def doubled_way(muster: Muster, one: Situation, solved: Statics, table: DefaultWll) -> TieWay | None:
    """The straps of the situation doubled, of the strap that leads; None where there is none to double."""
    ways = ways_of(muster, one, solved, table)
    straps = [way for way in ways if way.kind == "strap" and way.rated is not None]
    if not straps or solved.known is None or len(solved.setup.straps) > 5:
        return None
    first = leading(tuple(straps)) or straps[0]
    tie = muster.cache.catalogue.by_id[first.part]
    assert isinstance(tie, Tie)
    return doubled(tie, rating_of(tie, table), solved.setup, solved.known.thrust_checked, first.usable)


def chain_instead(solved: Statics, table: DefaultWll) -> ChainInstead | None:
    """The smallest chain of the unmarked grade that holds in each strap's place; None where none listed does."""
    setup, known = solved.setup, solved.known
    if not setup.straps or known is None:
        return None
    tension = ratio(max(setup.worst)) * known.thrust_checked + max(setup.one.pretension, default=Fraction(0))
    for size, grade, wll in sorted(table.chain):
        if grade == table.unmarked_grade and wll >= tension:
            return ChainInstead(size, grade, wll, tension, table.source)
    return None


def here_of(muster: Muster, ways: tuple[TieWay, ...]) -> Here:
    """The muster of a situation, its bases held by the ways that hold."""
    return Here(muster, {way.part: way.per_base for way in ways if way.per_base is not None})


def counted(here: Here, demand: Demand, found: tuple[Carrier, ...], wanted: int | None, label: str) -> Tally:
    """The tally at this length: bases held by as many ties as the thrust takes, rated where the chain carries."""
    own = max((way.own for way in demand.ways if way.per_base is not None), default=Fraction(0))
    load = None if demand.known is None else demand.known.axial_checked + own
    ask = Ask(demand.length, demand.length, load, demand.one.factor, demand.held)
    here.carrying = frozenset(one.assembly for one in found if one.carries)
    counts = tally(here, ask, label, wanted)
    _verify_ties(here, demand, counts)
    return replace(counts, why_zero=tuple(_why(demand, found, step, why) for step, why in counts.why_zero))


def _why(demand: Demand, found: tuple[Carrier, ...], step: Step, why: str) -> tuple[Step, str]:
    """Why a count is zero here: what this situation refuses comes before what the cache lacks."""
    if step == "restrained" and demand.refused:
        return step, demand.refused
    if step == "restrained" and not any(way.per_base for way in demand.ways):
        return step, "no strap or chain here holds this thrust at these angles"
    best = next((one for one in found if not one.refused), None)
    if step == "rated" and best is not None and best.governing.kind != "strut":
        return step, f"{best.governing.link} is not rated for it"
    return step, why


def _verify_ties(here: Here, demand: Demand, counts: Tally) -> None:
    """Refuse a packing whose ties are not all rated for what the thrust puts on them.

    Raises:
        FalsePlanError: fewer ties than the strongest of them asks for, or one that this situation does not allow.
    """
    if not demand.held:
        return
    least = min(here.wanted.values(), default=0)
    taken = dict(counts.best.ties)
    if set(taken) - set(here.wanted) or sum(taken.values()) < least * counts.best.count:
        raise FalsePlanError(f"a plan failed its own verification: {taken} do not hold {counts.best.count} bases")


def near(muster: Muster, shape: Shape, length: int) -> tuple[Near, ...]:
    """The nearest lengths below and above that this cache reaches, where it does not reach the length itself."""
    spans = reach_of(muster.joined, 0).union
    if any(low <= length <= high for low, high in spans):
        return ()
    below = max((high for _, high in spans if high < length), default=None)
    above = min((low for low, _ in spans if low > length), default=None)
    return tuple(
        Near(found, settled(angle_of_length_deg(found, shape.height)) if found >= shape.height else None)
        for found in (below, above)
        if found is not None
    )


def slip_of(one: Situation, shape: Shape) -> Slip:
    """Friction for information."""
    foot = settled(foot_friction_needed(shape.angle_deg))
    try:
        head = None if one.face is None else settled(head_friction_needed(shape.angle_deg, one.face))
    except ValueError:
        head = None
    return Slip(foot, head, one.friction)


def push_of(solved: Statics, way: TieWay | None) -> Push | None:
    """What pre-tension does by itself; None where there is none."""
    tight = solved.setup.pretension
    if not any(tight):
        return None
    straps: tuple[Strap, ...] = solved.setup.straps
    most = max(tight)
    shares = [one / most for one in tight]
    own = ratio(strut_force(straps, shares, solved.setup.angle)) * most
    lift = ratio(lift_on_vehicle(straps, shares, solved.setup.angle)) * most
    if way is not None and way.own > own:
        lift, own = lift * way.own / own, way.own
    share = lift / solved.known.vertical if solved.known is not None and solved.known.vertical else None
    sideways = abs(ratio(sideways_pull(straps, shares))) * most
    return Push(most, own, lift, sideways, share)


def demand_of(one: Situation, solved: Statics, ways: tuple[TieWay, ...], factor: DesignFactor, refused: str) -> Demand:
    """What is asked of every assembly."""
    return Demand(
        one=one,
        length=solved.setup.shape.geometry().length,
        factor=factor,
        each=solved.each,
        known=solved.known,
        ways=ways,
        held=one.ties != "none",
        sine=settled(sin_deg(solved.setup.angle)),
        refused=refused,
    )
