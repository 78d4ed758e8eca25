"""A situation with what policy says where it says nothing, its load divided, and what it asks of strut and ground."""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import cached_property, partial
from typing import Any

from cache_check import units
from cache_check.errors import listed
from cache_check.frozen import dataclass
from cache_check.loads.chart import DesignFactor
from cache_check.loads.conventions import settled, sin_deg
from cache_check.loads.demand import two_strut_shares
from cache_check.loads.solve import Setup, lever_of, pivot_lift, product, push_arm, push_left, ratio
from cache_check.model.load import Forces, ShareOf
from cache_check.model.part import Footprint, Pad
from cache_check.model.situation import Loaded, Situation
from cache_check.model.verdict import LinkCheck, LinkName, State
from cache_check.planning.packing.muster import Muster


def with_policy(muster: Muster, one: Situation) -> tuple[Situation, tuple[str, ...]]:
    """The situation with policy's allowance, sideways share, pre-tension and friction; and what was so assumed."""
    unsaid, values = tuple(_at_nought(one)), dict[str, Any]()
    # First, since policy has no careful value for a place, and a short answer has no room for all that is assumed.
    assumed = [f"{listed(unsaid, 'and')} not stated: taken as 0"] if unsaid else []
    if one.weight_inside is not None and one.push_height is None:
        assumed.append("height of the push not stated: that of the contact")
    if one.on_this_side is None and not one.strut_places:
        assumed.append("struts that share the load not stated (on_this_side): one carries all of it")
    allowance, ruled = allowance_ruled(muster), _by(muster, "assumed_loads")
    if one.dynamic_allowance is None:
        values["dynamic_allowance"] = allowance
        assumed.append(f"dynamic allowance not stated: load times {float(allowance):g}, {ruled}")
    share = Fraction(muster.book.ruled("assumed_loads", "sideways", default=0))
    if (one.weight_inside is not None and one.sideways_share is None) and share:
        values["sideways_share"] = share
        assumed.append(f"sideways share not stated: {float(share):g} of the weight pushes to the side, {ruled}")
    tight = pretension_ruled(muster)
    if not one.pretension and one.ties != "none" and tight and one.steepness != 90 and one.base_offset != 0:
        values["pretension"] = (tight,)
        shown = units.show(tight, "force", muster.cache.units, "up")
        assumed.append(f"pre-tension not stated: {shown} in each tie, {_by(muster, 'strap_tension')}")
    values["friction"] = min(one.friction, Fraction(muster.book.ruled("assumed_loads", "friction", default=0)))
    if one.ties != "none":
        assumed.append("ties act in the strut's plane; lines share at the worst, ties on one line evenly")
    if one.on_the_other_side:
        assumed.append("struts on the other side are taken as set like those on this side")
    return one.changed(**values), tuple(assumed)


def _at_nought(one: Situation) -> Iterator[str]:
    """The places that a situation does not state and of which 0 is not the severe side."""
    said, higher = one.model_fields_set | {*one.unknown}, (one.push_height or 0) > one.contact_height
    if "ground_drop" not in said:
        yield "ground drop"
    if said & {"weight_inside", "weight_outside"} and "contact_x" not in said:
        yield "contact offset (contact_x)"
    # At rest a higher pivot takes more from the arm of the push than from the strut's, but for one pushed above it.
    if "pivot_height" not in said and ("weight_outside" in said or higher or one.contact_x < 0):
        yield "pivot height"
    if one.ties != "none" and not one.anchors and not one.rise:
        yield "rise of the straps"


def allowance_ruled(muster: Muster) -> Fraction:
    """What policy takes every load times, where a situation names nothing."""
    return Fraction(muster.book.ruled("assumed_loads", "allowance", default=1))


def pretension_ruled(muster: Muster) -> Fraction:
    """The policy's pre-tension of each strap, N, where a situation names none."""
    return Fraction(muster.book.ruled("strap_tension", "pretension", default=0))


def half_angles_ruled(muster: Muster, families: Iterable[str] | None = None) -> tuple[Fraction, Fraction]:
    """The narrowest and the widest half-angle of straps in plan that the rules allow some families, degrees."""
    ruled = muster.book.ruled
    widest = min(89, ruled("strap_spread", "max", families, 89))  # a strap across the strut's line holds no thrust
    return Fraction(ruled("strap_narrow", "min", families, 0)), Fraction(widest)


def half_angles_not_stated(muster: Muster) -> tuple[Fraction, Fraction]:
    """The same of any family of the rig: its straps may run so whatever another family's sheet asks of its own.

    Where one lets none spread, none is taken to: its own bases are held by no strap, and these are not told apart.
    """
    each = [half_angles_ruled(muster, (family,)) for family in muster.book.families or ("",)]
    wide = [widest for _, widest in each]
    return min(narrow for narrow, _ in each), max(wide) if all(wide) else Fraction(0)


def _by(muster: Muster, kind: str) -> str:
    """The rules that say a value; what these rest on stands with them."""
    return f"by {' and '.join(rule.id for rule in muster.book.in_force(kind)) or 'no rule'}"


@dataclass(frozen=True)
class Shared:
    """The whole load (None: unknown), multiplied; the share of one strut, its ``part`` of that; and every share."""

    whole: Fraction | None
    share: Fraction
    part: Fraction
    by: str
    shares: tuple[ShareOf, ...]


def shared(one: Situation) -> Shared:
    """The load of a situation, divided; in the unit that the situation gives it in (a lever unknown: of a lever)."""
    whole, named = _whole(one), _named(one)
    by, part = max(named, key=lambda item: item[1])
    listed = tuple(ShareOf(name, size * whole, name == by) for name, size in named) if whole is not None else ()
    return Shared(whole, Fraction(0) if whole is None else part * whole, part, by, listed)


def _whole(one: Situation) -> Fraction | None:
    """What all the struts carry together: force, allowance included; at rest what its weight leaves of the push."""
    if one.loaded == "unknown":
        return None
    if one.loaded == "rest":
        assert one.weight is not None
        return one.weight * push_left(one)
    given = one.axial if one.axial is not None else one.vertical if one.loaded == "vertical" else one.weight
    assert given is not None
    return given * one.allowance


def _named(one: Situation) -> list[tuple[str, Fraction]]:
    """Every way of sharing that is checked, as a part of the whole: in place, and with one strut failed there."""
    count = one.sharing
    if one.axial is not None or count == 1:
        return [("one strut", Fraction(1))]
    if count == 2:
        named: dict[str, float | Fraction] = {"one of the two failed: the other takes all": 1}
        if one.strut_places:
            assert one.load_at is not None
            first_at, second_at = one.strut_places
            first, second = two_strut_shares(1, first_at, second_at, one.load_at)
            named |= {"first strut, by lever arm": first, "second strut, by lever arm": second}
        else:
            named["equal"] = Fraction(1, 2)
    else:
        # Three stiff struts and more: statics does not say who carries, and a load that rocks stands on two.
        named = {"any two carry it": Fraction(1, 2), "one failed": Fraction(1, count - 1), "equal": Fraction(1, count)}
    return [(name, part if isinstance(part, Fraction) else ratio(part)) for name, part in named.items()]


NM_PER_M = 1_000_000_000
LOAD = "find the load, or go by the largest that still passes"
_STATES: dict[bool | None, State] = {True: "holds", False: "does not hold", None: "unknown"}


def told(of: LinkName, link: str, kind: str, holds: bool | None, why: str, ask: str = "") -> LinkCheck:
    """A link that takes no force: it holds, does not hold, or is not known (None); then ``ask`` says what to do."""
    return LinkCheck(of, link, _STATES[holds], kind, why, "" if holds else ask)


@dataclass(frozen=True)
class Demand:
    """What a situation asks of every strut: length, forces for a load of 1, and for its own (None: not known)."""

    one: Situation  # with the policy's values where nothing was said
    setup: Setup
    tight: Setup  # where pre-tension presses the most: as narrow as rules allow, if nobody says how straps run
    loaded: Loaded  # how the load enters the equations
    by_lever: bool  # where the weight lies is what is not known
    factor: DesignFactor
    each: Forces
    known: Forces | None
    refused: str  # why the straps hold nothing
    refused_by: str  # the kind of rule by which

    @cached_property
    def length(self) -> int:
        """How long the strut is between its seats, nm."""
        return self.setup.shape.geometry().length

    def upright(self, own: Fraction) -> Fraction:
        """How hard (N) a strut force that pre-tension makes lifts, and presses the ground."""
        if not (tight := max(self.tight.pretension, default=Fraction(0))):
            return Fraction(0)
        return product(own / tight, settled(sin_deg(self.setup.angle))) * tight

    @cached_property
    def lifted(self) -> bool | None:
        """Whether all struts together lift the vehicle off its pivot; None where its weight or lever is wanting."""
        if self.known is not None:
            left = self.known.pivot_reaction
            return None if left is None else left < 0
        if self.by_lever or self.one.weight is not None or self.loaded not in ("overturning", "rest"):
            return None
        # Each newton of a weight that is not known turns and presses alike, whatever it is.
        return (push_left(self.one) if self.loaded == "rest" else 1) * pivot_lift(self.setup, lever_of(self.one)) > 1

    @cached_property
    def on_pivot(self) -> Fraction | None:
        """The most that all struts together may carry of a push, or lever (nm), that keeps a known weight on its pivot.

        In the unit of the whole load without its allowance; None where no such thing is asked.
        """
        if self.one.weight is None or not (self.by_lever or self.loaded == "rest"):
            return None
        lever = Fraction(self.one.contact_height if self.by_lever else push_arm(self.one))
        lift = pivot_lift(self.setup, lever)
        return lever / lift if self.by_lever else self.one.weight / (lift * self.one.allowance)

    def pull(self, per_thrust: Fraction) -> Fraction:
        """A force (N) in proportion to what its base pushes out with; under a load of 1 where none is known."""
        return product(per_thrust, self.each.thrust_checked) * (self.known or self.each).share

    def force(
        self, of: LinkName, link: str, kind: str, fixed: Fraction, share: str, times: Fraction | int,
        rated: Fraction | None, why: str = "", ask: str = "", *, unknown: bool = True,
    ) -> LinkCheck:  # fmt: skip
        """A link that must take ``fixed`` and ``times`` a force of the situation, named by ``share``."""
        unit: Fraction = getattr(self.each, share)
        each = unit if times == 1 else product(Fraction(times), unit)
        must = None if self.known is None else fixed + each * self.known.share
        holds: bool | None = None
        if rated is None:
            holds = None if unknown else False
        elif (fixed if must is None else must) > rated:
            holds = False
        elif must is not None or not each:
            holds = True
        elif not ask:
            ask = LOAD
        ask = "" if holds else ask
        return LinkCheck(of, link, _STATES[holds], kind, why, ask, rated, fixed, each, must, loaded=True)


class Ground:
    """The ground under any base of a muster in one situation, and the pads that go between."""

    def __init__(self, muster: Muster, demand: Demand) -> None:
        self.muster, self.demand = muster, demand
        self.names = muster.cache.catalogue.said

    def links(self, base: str, own: Fraction) -> Iterator[LinkCheck]:
        """The base, else the smallest pad on the book that the ground takes it on, with ``own`` from pre-tension."""
        soil, fixed = self.demand.one.softest, self.demand.upright(own)
        bears = partial(self.demand.force, "ground", "ground", "ground_bearing", fixed, "bearing", 1)
        if not self.muster.book.in_force("ground_bearing"):
            return
        if soil is None:
            why = f"what the ground bears is not {'known' if 'soil' in self.demand.one.unknown else 'stated'}"
            yield bears(None, why, "judge the ground under each base: soil")
            return
        found = [
            bears(None, on, "measure what the base covers") if area is None else bears(area * soil, on)
            for on, area in self.stands_on(base)
        ]
        known = [link for link in found if link.rated is not None]
        best = max(known or found, key=lambda link: link.rated or 0)
        yield next((link for link in known if link.state == "holds"), best)

    def stands_on(self, base: str) -> Iterator[tuple[str, Fraction | None]]:
        """What may lie under a base, smallest first, and its m2 (None: not known); a given pad only if on the book."""
        pads = [(pad, footprint) for pad, footprint, _ in pads_of(self.muster)]
        alone = self._alone(base) or None
        if not (asked := self.demand.one.pad):
            yield "on the base alone", alone
            areas = ((self.names[pad.id], area_of(footprint)) for pad, footprint in pads)
            yield from ((f"on {name}", area) for name, area in sorted(areas, key=lambda item: item[1]))
        elif any(min(f.length, f.width) >= min(asked) and max(f.length, f.width) >= max(asked) for _, f in pads):
            yield "on the pad given", Fraction(min(asked) * max(asked), NM_PER_M**2)
        else:
            yield "on the base alone: no pad of the size given is on the book", alone

    def pad_needed(self, base: str, own: Fraction, share: Fraction | None = None) -> Fraction:
        """The m2 of the pad that a base needs (0: none) under the load, or ``share``, and ``own`` of pre-tension."""
        demand, soil = self.demand, self.demand.one.softest
        share = demand.known.share if share is None and demand.known is not None else share
        if soil is None or share is None or not self.muster.book.in_force("ground_bearing"):
            return Fraction(0)
        must, alone = demand.each.bearing * share + demand.upright(own), self._alone(base)
        # Of a base that nobody measured it is known only where a pad must make up for that.
        known = alone or any(area_of(footprint) * soil >= must for _, footprint, _ in pads_of(self.muster))
        return must / soil if demand.one.pad or (known and alone * soil < must) else Fraction(0)

    def shares(self, base: str, own: Fraction) -> Iterator[Fraction]:
        """The shares of a load at which a base comes to what the ground takes, alone and on each pad of the book."""
        demand, soil = self.demand, self.demand.one.softest
        if soil is not None and demand.each.bearing and self.muster.book.in_force("ground_bearing"):
            for _, area in self.stands_on(base):
                yield max(Fraction(0), ((area or 0) * soil - demand.upright(own)) / demand.each.bearing)

    def _alone(self, base: str) -> Fraction:
        footprint = getattr(self.muster.cache.catalogue.by_id[base], "footprint", None)
        return Fraction(0) if footprint is None else area_of(footprint)


def pads_of(muster: Muster) -> Iterator[tuple[Pad, Footprint, int]]:
    """The usable pads of known size, and how many of each."""
    for part in muster.cache.catalogue.parts:
        if isinstance(part, Pad) and part.footprint is not None and muster.usable.counts[part.id] > 0:
            yield part, part.footprint, muster.usable.counts[part.id]


def area_of(footprint: Footprint) -> Fraction:
    """The area (m2) of a footprint."""
    return Fraction(footprint.length * footprint.width, NM_PER_M**2)


def need_a_pad(bases: int) -> str:
    """How many bases need one."""
    return f"{bases} {'base needs' if bases == 1 else 'bases need'} a pad on this ground"


def pads_large(muster: Muster, least: Fraction) -> tuple[tuple[str, int], ...]:
    """The usable pads that have an area (m2) of at least so much, and how many of each."""
    return tuple((pad.id, number) for pad, footprint, number in pads_of(muster) if area_of(footprint) >= least)
