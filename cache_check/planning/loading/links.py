"""What must hold for one strut in its place: each link holds, does not hold or is not known, and who could tell."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cache_check.frozen import dataclass
from cache_check.loads.capacity import Link as Strength
from cache_check.loads.conventions import settled
from cache_check.loads.demand import head_friction_needed
from cache_check.loads.rating import DesignFactor
from cache_check.loads.solve import Setup
from cache_check.model.assembly import Assembly
from cache_check.model.load import Forces, TieWay
from cache_check.model.part import Fitting, Footprint, Pad, Tie
from cache_check.model.situation import STRUCTURE, Situation
from cache_check.model.verdict import LinkCheck, LinkName, State
from cache_check.planning.loading.holding import FitPoints, Ties, hardware_of, heaped, ties_ruled
from cache_check.planning.packing.muster import Muster

NM_PER_M = 1_000_000_000
MAKER = "ask the maker, and write it on the book"
LOAD = "find the load, or go by the largest that still passes"


@dataclass(frozen=True)
class Demand:
    """What a situation asks of every strut: length, forces for a load of 1, and for its own (None: not known).

    ``one`` has the policy's values where nothing was said; ``refused`` says why the straps hold nothing, and
    ``refused_by`` the kind of rule by which.
    """

    one: Situation
    setup: Setup
    length: int
    factor: DesignFactor
    each: Forces
    known: Forces | None
    sine: Fraction
    refused: str
    refused_by: str


class Links:
    """The links of any strut of a muster in one situation, each worked out once."""

    def __init__(self, muster: Muster, demand: Demand, ties: Ties) -> None:
        self.muster, self.demand, self.ties = muster, demand, ties
        self.points = FitPoints(muster)
        self.names = muster.cache.catalogue.said
        self._of_strut: dict[Assembly, tuple[Strength, ...]] = {}

    def of(self, assembly: Assembly, way: TieWay | None) -> tuple[LinkCheck, ...]:
        """Every link of an assembly whose base is held one way; None is by nothing."""
        return (
            LinkCheck("length", "length", "holds", "needs_met", "the body can be set to it"),
            *self._angle(assembly),
            *self._head(assembly),
            *self._chart(assembly, way),
            *self._held(assembly, way),
            *self._ground(assembly, way),
            *self._down(),
            *self._pretension(way),
        )

    def _force(
        self, of: LinkName, link: str, kind: str, rated: Fraction | None, fixed: Fraction, share: str, times: Fraction,
        why: str = "", ask: str = "", *, unknown: bool = True,
    ) -> LinkCheck:  # fmt: skip
        """A link that must take ``fixed`` and ``times`` a force of the situation, named by ``share``."""
        demand = self.demand
        each: Fraction = getattr(demand.each, share)
        must = None if demand.known is None else fixed + times * getattr(demand.known, share)
        state: State = "unknown"
        if rated is None:
            state = "unknown" if unknown else "does not hold"
        elif (fixed if must is None else must) > rated:
            state = "does not hold"
        elif must is not None or not each * times:
            state = "holds"
        elif not ask:
            ask = LOAD
        ask = "" if state == "holds" else ask
        return LinkCheck(of, link, state, kind, why, ask, rated, fixed, times * each, must, loaded=True)

    def _angle(self, assembly: Assembly) -> Iterator[LinkCheck]:
        book, families = self.muster.book, self._families(assembly)
        if not book.in_force("strut_angle", families):
            return
        low = Fraction(book.ruled("strut_angle", "min", families))
        high = Fraction(book.ruled("strut_angle", "max", families))
        at = Fraction(self.demand.setup.shape.geometry().angle_deg)
        said = f"{float(at):.4g} deg from the horizontal, {float(low):g} to {float(high):g} allowed"
        within = low <= at <= high
        yield LinkCheck("angle", "angle", "holds" if within else "does not hold", "strut_angle", said,
                        "" if within else "set it otherwise")  # fmt: skip

    def _head(self, assembly: Assembly) -> Iterator[LinkCheck]:
        """The head is listed for the contact, and stays on it without friction."""
        one, kind = self.demand.one, "head_for_contact"
        head = self.muster.cache.catalogue.by_id[assembly.load]
        assert isinstance(head, Fitting)
        name = self.names[head.id]
        if not self.muster.book.in_force("head_for_contact"):
            return
        if one.contact is None:
            why, ask = "the kind of contact is not stated", "look what it stands against: contact"
            yield LinkCheck("head", name, "unknown", kind, why, ask)
        elif not head.contacts:
            yield LinkCheck("head", name, "unknown", kind, "the book does not say what it is made for", MAKER)
        elif one.contact not in head.contacts:
            why, ask = f"not listed for {one.contact}", "take another head or contact"
            yield LinkCheck("head", name, "does not hold", kind, why, ask)
        else:
            yield LinkCheck("head", name, *self._captured(one))

    def _captured(self, one: Situation) -> tuple[State, str, str, str]:
        """Whether a head that is listed for the contact stays on it without friction."""
        kind = "head_captured"
        if one.contact in self.muster.book.ruled("head_captured", "captured", default=(one.contact,)):
            return "holds", kind, f"made for {one.contact}, which holds it", ""
        if one.face is None:
            why = f"{one.contact} holds it only by friction, unless the strut meets it squarely"
            return "unknown", kind, why, "measure how far the face looks down: face"
        try:
            slips = head_friction_needed(self.demand.setup.angle, one.face) > 1e-9
        except ValueError:
            slips = True
        if slips:
            return "does not hold", kind, f"it slips on {one.contact}: only friction holds it", "fasten the head"
        return "holds", kind, f"made for {one.contact}, which it meets squarely", ""

    def _chart(self, assembly: Assembly, way: TieWay | None) -> Iterator[LinkCheck]:
        demand, own = self.demand, way.own if way else Fraction(0)
        for one in self.of_strut(assembly):
            kind, ask = ("unrated", MAKER) if one.rated is None else ("load_check", "")
            yield self._force(
                "chart", self.names.get(one.part, one.name), kind, one.rated, own, "axial_checked", Fraction(1),
                one.why, ask, unknown=one.unknown,
            )  # fmt: skip
        if demand.one.loaded == "half":
            why = "half of the weight is a rule of thumb: where the weight lies is not known"
            ask = "find the centre of gravity: weight_inside or weight_outside"
            yield LinkCheck("chart", "load", "unknown", "assumed_loads", why, ask)

    def of_strut(self, assembly: Assembly) -> tuple[Strength, ...]:
        """What the strut itself is rated for at the length needed, link by link."""
        if assembly not in self._of_strut:
            length, factor = self.demand.length, self.demand.factor
            self._of_strut[assembly] = self.muster.capacity.links(assembly, length, length, factor)
        return self._of_strut[assembly]

    def _held(self, assembly: Assembly, way: TieWay | None) -> Iterator[LinkCheck]:
        """Ties, their hardware, their far ends, and the points of the base."""
        demand = self.demand
        base = assembly.ground
        if base not in self.muster.columns.pointed:
            yield LinkCheck("points", f"points of {self.names[base]}", "does not hold", "attachment_points",
                            "too few attachment points", "take a base that has them")  # fmt: skip
        if way is None or demand.refused:
            why = demand.refused or "nothing holds the base; friction is not counted"
            kind = demand.refused_by if demand.refused else "straps_per_base"
            yield LinkCheck("ties", "straps or chain", "does not hold", kind, why, "hold the base on both sides")
            return
        tie = self.muster.cache.catalogue.by_id[way.part]
        assert isinstance(tie, Tie)
        yield from self.tied(base, tie, way)
        least = ties_ruled(self.muster.book, (*self._families(assembly), tie.family))
        if way.per_base < least:
            why = f"{way.per_base} on a base, {least} asked for one of its families"
            yield LinkCheck("ties", self.names[tie.id], "does not hold", "straps_per_base", why, "hold it with more")
        yield from self._far(tie, way)

    def tied(self, base: str, tie: Tie, way: TieWay) -> Iterator[LinkCheck]:
        """The points of a base, its ties and their hardware against what it pushes out."""
        fitting = self.muster.cache.catalogue.by_id[base]
        assert isinstance(fitting, Fitting)
        yield from self._points(fitting, way)
        yield self._force(
            "ties", self.names[tie.id], "strap_tension", way.rated, way.pretension, "thrust_checked", way.per_thrust,
            f"each of {way.per_base}; {way.rated_by}", MAKER if way.rated is None else "",
        )  # fmt: skip
        for one in hardware_of(self.muster.cache, tie):
            yield self._force(
                "ties", self.names[one.id], _marked(one.wll), one.wll, way.pretension, "thrust_checked", way.per_thrust,
                *(("", "") if one.wll is not None else ("no limit on the book", MAKER)),
            )  # fmt: skip

    def _points(self, base: Fitting, way: TieWay) -> Iterator[LinkCheck]:
        if not base.points:
            return
        fit, limits = self.points.of(base), [point.wll for point in base.points]
        heap = heaped(way, fit)
        rated = None if None in limits else min(limit for limit in limits if limit is not None)
        said = f"{heap} on one point" if heap > 1 else "one on each"
        said += f", {fit} of {len(base.points)} fit" if fit < len(base.points) else ""
        marked = (said, "") if rated is not None else ("no limit on the book", MAKER)
        yield self._force(
            "points", f"points of {self.names[base.id]}", _marked(rated), rated, heap * way.pretension,
            "thrust_checked", heap * way.per_thrust, *marked,
        )  # fmt: skip

    def _far(self, tie: Tie, way: TieWay) -> Iterator[LinkCheck]:
        """The far ends: near enough for the tie, and as strong."""
        one, name = self.demand.one, f"reach of {self.names[tie.id]}"
        lengths = [line.length for line in self.demand.setup.lines() if line.length is not None]
        far = one.anchor_distance or max(lengths, default=None)
        if self.muster.book.in_force("strap_reach"):
            yield LinkCheck("ties", name, *self._reach(tie, far))
        if not self.muster.book.in_force("restraint_marked"):
            return
        if one.far_anchors is None:
            why, ask = "what they hold is not stated", "look what they are hooked to: far_anchors"
            yield LinkCheck("ties", "far anchors", "unknown", "restraint_marked", why, ask)
        elif one.far_anchors == STRUCTURE:
            yield LinkCheck("ties", "far anchors", "holds", "restraint_marked", "on structure, as stated")
        else:
            assert isinstance(one.far_anchors, Fraction)
            yield self._force(
                "ties", "far anchors", "strap_tension", one.far_anchors, way.pretension, "thrust_checked",
                way.per_thrust, "as stated",
            )  # fmt: skip

    def _reach(self, tie: Tie, far: int | None) -> tuple[State, str, str, str]:
        kind = "strap_reach"
        if far is None:
            return "unknown", kind, "how far the anchors are is not stated", "measure it: anchor_distance, or anchors"
        if tie.length is None:
            return "unknown", kind, "its length is not on the book", "measure it, and write it on the book"
        if tie.length < far + int(self.muster.book.ruled("strap_reach", "tail", default=0)):
            return "does not hold", kind, "too short for anchor, wrap and tail", "join two, or bring the anchor nearer"
        return "holds", kind, "long enough for anchor, wrap and tail", ""

    def _ground(self, assembly: Assembly, way: TieWay | None) -> Iterator[LinkCheck]:
        """The base alone, else the smallest pad on the book that the ground takes it on."""
        soil = self.demand.one.softest
        if not self.muster.book.in_force("ground_bearing"):
            return
        if soil is None:
            why = f"what the ground bears is not {'known' if 'soil' in self.demand.one.unknown else 'stated'}"
            ask = "judge the ground under each base: soil"
            yield LinkCheck("ground", "ground", "unknown", "ground_bearing", why, ask)
            return
        own = way.own * self.demand.sine if way else Fraction(0)
        found = [
            self._force("ground", "ground", "ground_bearing", None if area is None else area * soil, own, "bearing",
                        Fraction(1), on, "" if area is not None else "measure what the base covers")
            for on, area in self.stands_on(assembly.ground)
        ]  # fmt: skip
        known = [link for link in found if link.rated is not None]
        best = max(known or found, key=lambda link: link.rated or 0)
        yield next((link for link in known if link.state == "holds"), best)

    def stands_on(self, base: str) -> Iterator[tuple[str, Fraction | None]]:
        """What may stand on the ground under a base, the smallest first, and its area (m2; None: not known).

        A pad that is given counts as far as one of its size is on the book.
        """
        one, book = self.demand.one, self.muster.cache.catalogue.by_id[base]
        pads = {self.names[part.id]: _sides(part) for part, _ in pads_of(self.muster)}
        if one.pad:
            asked = (min(one.pad), max(one.pad))
            if any(sides[0] >= asked[0] and sides[1] >= asked[1] for sides in pads.values()):
                yield "on the pad given", Fraction(asked[0] * asked[1], NM_PER_M**2)
                return
            yield (
                "on the base alone: no pad of the size given is on the book",
                area_of(getattr(book, "footprint", None)) or None,
            )
            return
        yield "on the base alone", area_of(getattr(book, "footprint", None)) or None
        areas = {name: Fraction(sides[0] * sides[1], NM_PER_M**2) for name, sides in pads.items()}
        yield from ((f"on {name}", area) for name, area in sorted(areas.items(), key=lambda item: item[1]))

    def pad_needed(self, base: str, own: Fraction) -> Fraction:
        """The area (m2) of the pad that a base needs, ``own`` being what pre-tension puts in its strut; 0: none."""
        demand, soil = self.demand, self.demand.one.softest
        if soil is None or demand.known is None or not self.muster.book.in_force("ground_bearing"):
            return Fraction(0)
        must = demand.known.bearing + own * demand.sine
        alone = area_of(getattr(self.muster.cache.catalogue.by_id[base], "footprint", None))
        return must / soil if demand.one.pad or alone * soil < must else Fraction(0)

    def _down(self) -> Iterator[LinkCheck]:
        """Base and pivot stay down, all struts together."""
        known = self.demand.known
        if not self.muster.book.in_force("stays_down"):
            return
        forces = known or self.demand.each
        lifted = forces.base_reaction < 0 or (forces.base_reaction == 0 and forces.axial_checked > 0)
        yield self._stays("base", lifted, "the rising straps lift the base off the ground", "bring the anchors lower")
        if known is not None and known.pivot_reaction is not None:
            why = "the struts together would lift the vehicle off its pivot"
            yield self._stays("pivot", known.pivot_reaction < 0, why, "set them flatter, or farther from the pivot")

    def _stays(self, what: str, lifted: bool, why: str, ask: str) -> LinkCheck:
        if not lifted:
            return LinkCheck("stays down", what, "holds", "stays_down", "the ground pushes back")
        return LinkCheck("stays down", what, "does not hold", "stays_down", why, ask)

    def _pretension(self, way: TieWay | None) -> Iterator[LinkCheck]:
        """The pre-tension of all struts on one side moves nothing."""
        of: LinkName = "pre-tension"
        kind = "pretension_push"
        if way is None or not way.pretension or not self.muster.book.in_force("pretension_push"):
            return
        most = Fraction(self.muster.book.ruled("pretension_push", "share"))
        share = self.turned(way)
        if share is None:
            why, ask = "what it would have to move is not stated", "say weight, where it lies, and edges_apart"
            yield LinkCheck(of, of, "unknown", kind, why, ask)
            return
        why = f"all struts' makes {float(share):.0%} of what keeps the vehicle there, {float(most):.0%} allowed"
        ask = "take out the slack by hand only"
        if settled(float(share)) > most:
            yield LinkCheck(of, of, "does not hold", kind, why, ask)
        else:
            yield LinkCheck(of, of, "holds", kind, why)

    def turned(self, way: TieWay) -> Fraction | None:
        """What pre-tension of all struts makes of the least moment, or load, that keeps the vehicle where it is.

        At rest, struts on this side would turn it about the other edge and those on the other side about this one.
        """
        one, struts = self.demand.one, self.demand.one.sharing
        if one.weight is not None and one.weight_outside is not None:
            return struts * self.ties.turns(way) / (one.weight * one.weight_outside)
        if one.weight is not None and one.weight_inside is not None:
            if one.edges_apart is None:
                return None
            shares = [(struts, self.ties.turns(way, one.edges_apart), one.edges_apart - one.weight_inside)]
            if one.on_the_other_side:
                shares.append((one.on_the_other_side, self.ties.turns(way, one.edges_apart), one.weight_inside))
            return max(n * turn / (one.weight * left) if left else Fraction(10**6) for n, turn, left in shares)
        if one.vertical is not None:
            return struts * way.own * self.demand.sine / one.vertical
        return None

    def _families(self, assembly: Assembly) -> tuple[str, ...]:
        by_id = self.muster.cache.catalogue.by_id
        return tuple(dict.fromkeys(by_id[part].family for part in assembly.parts))


def _marked(limit: Fraction | None) -> str:
    """The kind of rule that a piece with this limit falls under."""
    return "strap_tension" if limit is not None else "restraint_marked"


def pads_of(muster: Muster) -> Iterator[tuple[Pad, int]]:
    """The usable pads of known size, and how many of each."""
    for part in muster.cache.catalogue.parts:
        if isinstance(part, Pad) and part.footprint is not None and muster.usable.counts[part.id] > 0:
            yield part, muster.usable.counts[part.id]


def _sides(pad: Pad) -> tuple[int, int]:
    assert pad.footprint is not None
    sides = (pad.footprint.length, pad.footprint.width)
    return min(sides), max(sides)


def area_of(footprint: Footprint | None) -> Fraction:
    """The area (m2) of a footprint; 0 where it is not known."""
    return Fraction(0) if footprint is None else Fraction(footprint.length * footprint.width, NM_PER_M**2)
