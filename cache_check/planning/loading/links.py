"""What must hold for one strut in its place: each link holds, does not hold or is not known, and who could tell."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from functools import cache, cached_property
from math import ceil
from typing import Any, cast

from cache_check.loads.conventions import settled
from cache_check.loads.demand import foot_friction_needed, head_friction_needed
from cache_check.model.assembly import Assembly
from cache_check.model.load import TieWay
from cache_check.model.part import Fitting, Tie
from cache_check.model.quantities import STRUCTURE
from cache_check.model.situation import Situation
from cache_check.model.verdict import LinkCheck, LinkName
from cache_check.planning.loading.demand import Demand, Ground, told
from cache_check.planning.loading.holding import Ties, fit_points, hardware_of, heaped, ties_ruled
from cache_check.planning.packing.muster import Muster
from cache_check.planning.packing.ratings import ANGLED, leans, stands_at
from cache_check.planning.packing.verdicts import BARE, no_limit

MOST_TOLD = 10  # how often it is what keeps the vehicle there; it may be without end, where hardly anything does
OFF_PIVOT = "the struts together would lift the vehicle off its pivot"
STRONGER = "stand the strut steeper, narrow the V, or take a base with stronger or more points"
MAKER = "ask the maker, and write it on the book"


class Links:
    """The links of any strut of a muster in one situation, each worked out once; ``kept`` as of ``Judged``."""

    def __init__(self, muster: Muster, demand: Demand, ties: Ties, kept: dict[object, Any]) -> None:
        self.muster, self.demand, self.ties, self._kept = muster, demand, ties, kept
        self.points, self.ground = fit_points(muster), Ground(muster, demand)
        self.names = muster.cache.catalogue.said
        length, factor = demand.length, demand.factor
        # What a strut itself is rated for at the length needed, kept: struts held in many ways are asked for each.
        self.of_strut = cache(lambda assembly: muster.capacity.links(assembly, length, length, factor))
        self._angle = cache(lambda families: tuple(self._angled(families)))
        self._ground = cache(lambda base, own: tuple(self.ground.links(base, own)))
        self._pressed = cache(lambda part, number: tuple(self._pretension(part, number)) if part else ())
        self._held = cache(lambda base, families, part, number: tuple(self._holding(base, families, part, number)))

    def of(self, assembly: Assembly, way: TieWay | None) -> tuple[LinkCheck, ...]:
        """Every link of an assembly whose base is held one way; None is by nothing."""
        by_id, own = self.muster.cache.catalogue.by_id, way.own if way else Fraction(0)
        families = tuple(dict.fromkeys(by_id[part].family for part in assembly.parts))
        held = (way.part, way.per_base) if way else (None, 0)
        return (
            told("length", "length", "needs_met", True, "the body can be set to it"), *self._angle(families),
            *self._head(assembly), *self._chart(assembly, own), *self._held(assembly.ground, families, *held),
            *self._ground(assembly.ground, own), *self._down, *self._pressed(*held),
        )  # fmt: skip

    def _angled(self, families: tuple[str, ...]) -> Iterator[LinkCheck]:
        if (book := self.muster.book).in_force(ANGLED, families):
            at = Fraction(self.demand.setup.shape.geometry().angle_deg)
            holds, said = stands_at(book, families, at), leans(book, at, families)
            yield told("angle", "angle", ANGLED, holds, said, "set it otherwise")

    def _head(self, assembly: Assembly) -> Iterator[LinkCheck]:
        one, kind = self.demand.one, "head_for_contact"
        head = self.muster.cache.catalogue.by_id[assembly.load]
        assert isinstance(head, Fitting)
        name = self.names[head.id]
        if not self.muster.book.in_force(kind):
            return
        if one.contact is None:
            why, ask = "the kind of contact is not stated", "look what it stands against: contact"
            yield told("head", name, kind, None, why, ask)
        elif not head.contacts:
            yield told("head", name, kind, None, "the book does not say what it is made for", MAKER)
        elif one.contact not in head.contacts:
            yield told("head", name, kind, False, f"not listed for {one.contact}", "take another head or contact")
        else:
            yield told("head", name, "head_captured", *self._captured(one))

    def _captured(self, one: Situation) -> tuple[bool | None, str, str]:
        """Whether a head that is listed for the contact stays on it without friction."""
        captured = self.muster.book.ruled("head_captured", "captured", default=None)
        if captured is None or one.contact in captured:
            return True, f"made for {one.contact}" + ", which holds it" * (captured is not None), ""
        if one.face is None:
            why = f"{one.contact} holds it only by friction, unless the strut meets it squarely"
            return None, why, "measure how far the face looks down: face"
        try:
            slips = head_friction_needed(self.demand.setup.angle, one.face) > 1e-9
        except ValueError:
            slips = True
        if slips:
            return False, f"it slips on {one.contact}: only friction holds it", "fasten the head"
        return True, f"made for {one.contact}, which it meets squarely", ""

    def _chart(self, assembly: Assembly, own: Fraction) -> Iterator[LinkCheck]:
        for one in self.of_strut(assembly):
            name, ask = self.names.get(one.part, one.name), f"{one.ask}, and write it on the book"
            kind, ask = _rated(one.rated, "load_check", "unrated", ask)
            yield self.demand.force(
                "chart", name, kind, own, "axial_checked", 1, one.rated, one.why, ask, unknown=one.unknown
            )
        if self.demand.one.loaded == "half":
            why = "half of the weight is a rule of thumb: where the weight lies is not known"
            ask = "find the centre of gravity: weight_inside or weight_outside"
            yield told("chart", "load", "assumed_loads", None, why, ask)

    def _holding(self, base: str, families: tuple[str, ...], part: str | None, number: int) -> Iterator[LinkCheck]:
        """So many ties of a part, their hardware, their far ends, and the points of the base."""
        demand = self.demand
        if base not in self.muster.columns.pointed:
            few, ask = "too few attachment points", "take a base that has them"
            yield told("points", f"points of {self.names[base]}", "attachment_points", False, few, ask)
        if part is None or demand.refused:
            why = demand.refused or f"nothing holds the base; friction {self._rubs()}"
            kind = demand.refused_by if demand.refused else "straps_per_base"
            ask = "hold the base on both sides" + ", no wider than allowed" * bool(demand.refused)
            ask = "bring the anchors lower" if kind == "stays_down" else ask
            yield told("ties", "straps or chain", kind, False, why, ask)
            return
        tie, way = self.ties.of[part], self.ties.way(part, number)
        yield from self.tied(base, part, number)
        if way.per_base < (least := ties_ruled(self.muster.book, (*families, tie.family))):
            why = f"{way.per_base} on a base, {least} asked for one of its families"
            yield told("ties", self.names[tie.id], "straps_per_base", False, why, "hold it with more")
        yield from self._far(tie, way)

    def _rubs(self) -> str:
        """Whether friction alone would hold the base, where policy counts any."""
        if not (counts := self.demand.one.friction):
            return "is not counted"
        would = settled(foot_friction_needed(self.demand.setup.angle)) <= counts
        return f"of {float(counts):g}, counted as policy says, would {'' if would else 'not '}hold it alone"

    def tied(self, base: str, part: str, number: int) -> tuple[LinkCheck, ...]:
        """The points of a base, so many ties of a part and their hardware against what it pushes out."""
        key = base, part, number, self.points[base]  # of the stock these points alone make a difference
        if key not in self._kept:
            self._kept[key] = tuple(self._tied(base, part, number))
        return cast("tuple[LinkCheck, ...]", self._kept[key])

    def _tied(self, base: str, part: str, number: int) -> Iterator[LinkCheck]:
        tie, way, rating = self.ties.of[part], self.ties.way(part, number), self.ties.rating[part]
        yield from self._points(base, way)
        says = f"each of {way.per_base}; {rating.by}"
        _, ask = _rated(rating.rated)
        yield self._pull("ties", self.names[tie.id], "strap_tension", rating.rated, way, says, ask)
        if tie.id in self.muster.bare:
            yield told("ties", f"hardware of {self.names[tie.id]}", "anchor_hardware", None, *BARE)
        for one in hardware_of(self.muster.cache, tie):
            kind, ask = _rated(one.wll)
            why, ask = no_limit(self.muster, one.id, ask) if ask else ("", "")
            yield self._pull("ties", self.names[one.id], kind, one.wll, way, why, ask)

    def _pull(
        self, of: LinkName, link: str, kind: str, rated: Fraction | None, way: TieWay, why: str, ask: str, heap: int = 1
    ) -> LinkCheck:
        """A link that takes what comes on one tie, or on so many that hang on one point."""
        fixed, times = heap * way.pretension, heap * way.per_thrust
        return self.demand.force(of, link, kind, fixed, "thrust_checked", times, rated, why, ask)

    def _points(self, base: str, way: TieWay) -> Iterator[LinkCheck]:
        if not (limits := self.ties.of_points(base)):
            return
        fit = self.points[base]
        heap = heaped(way, fit)
        rated = None if None in limits else min(limit for limit in limits if limit is not None)
        said = f"{heap} on one point" if heap > 1 else "one on each"
        said += f", {fit} of {len(limits)} fit" if fit < len(limits) else ""
        name, (kind, ask) = f"points of {self.names[base]}", _rated(rated)
        said, ask = no_limit(self.muster, base, ask) if ask else (said, "")
        link = self._pull("points", name, kind, rated, way, said, ask, heap)
        yield replace(link, ask=STRONGER) if link.state == "does not hold" else link

    def hold(self, base: str, way: TieWay, tension: Fraction) -> bool:
        """Whether a tie, its hardware, the point that it hangs on and its far end are known to hold so much."""
        limits = self.ties.limits(way, base, self.points[base])
        return all(limit is not None and limit >= tension for limit in limits)

    def _far(self, tie: Tie, way: TieWay) -> Iterator[LinkCheck]:
        """The far ends: near enough for the tie, and as strong."""
        one, name = self.demand.one, f"reach of {self.names[tie.id]}"
        if self.muster.book.in_force("strap_reach"):
            lengths = [line.length for line in self.demand.setup.lines() if line.length is not None]
            farthest = one.anchor_distance or max(lengths, default=None)
            yield told("ties", name, "strap_reach", *self._reach(tie, farthest))
        if not self.muster.book.in_force("restraint_marked"):
            return
        if one.far_anchors == STRUCTURE:
            yield told("ties", "far anchors", "restraint_marked", True, "on structure, as stated")
        else:
            assert not isinstance(one.far_anchors, str)
            kind, ask = _rated(one.far_anchors, ask="look what they are hooked to: far_anchors")
            why = "what they hold is not stated" if ask else "as stated"
            yield self._pull("ties", "far anchors", kind, one.far_anchors, way, why, ask)

    def _reach(self, tie: Tie, far: int | None) -> tuple[bool | None, str, str]:
        if far is None:
            return None, "how far the anchors are is not stated", "measure it: anchor_distance, or anchors"
        if tie.length is None:
            return None, "its length is not on the book", "measure it, and write it on the book"
        if tie.length < far + int(self.muster.book.ruled("strap_reach", "tail")):
            return False, "too short for anchor, wrap and tail", "join two, or bring the anchor nearer"
        return True, "long enough for anchor, wrap and tail", ""

    @cached_property
    def _down(self) -> tuple[LinkCheck, ...]:
        """Base and pivot stay down, all struts together."""
        if not self.muster.book.in_force("stays_down"):
            return ()
        forces = self.demand.known or self.demand.each
        lifted = forces.base_reaction < 0 or (forces.base_reaction == 0 and forces.axial_checked > 0)
        lower, flatter = "bring the anchors lower", "set them flatter, or farther from the pivot"
        base = self._stays("base", lifted, "the rising straps lift the base off the ground", lower)
        pivot = self.demand.lifted
        return (base,) if pivot is None else (base, self._stays("pivot", pivot, OFF_PIVOT, flatter))

    def _stays(self, what: str, lifted: bool, why: str, ask: str) -> LinkCheck:
        return told("stays down", what, "stays_down", not lifted, why if lifted else "the ground pushes back", ask)

    def _pretension(self, part: str, number: int) -> Iterator[LinkCheck]:
        """The pre-tension of all struts on one side moves nothing."""
        way = self.ties.way(part, number)
        if not way.pretension or not self.muster.book.in_force("pretension_push"):
            return
        most = Fraction(self.muster.book.ruled("pretension_push", "share"))
        holds, share = None, self.turned(way)
        why, ask = "what it would have to move is not stated", "say weight, where it lies, and edges_apart"
        if share is not None:
            holds, ask = settled(float(share)) <= most, "take out the slack by hand only"
            made = f"{ceil(share * 100)}%" if share < MOST_TOLD else f"over {MOST_TOLD:.0%}"
            why = f"all struts' makes {made} of what keeps the vehicle there, {float(most):.0%} allowed"
        yield told("pre-tension", "pre-tension", "pretension_push", holds, why, ask)

    def turned(self, way: TieWay, one: Situation | None = None) -> Fraction | None:
        """What pre-tension of all struts makes of the least moment, or load, that keeps the vehicle where it is.

        At rest, struts on this side would turn it about the other edge and those on the other side about this one.
        ``one`` is the situation with a load that is not known filled in.
        """
        one = one or self.demand.one
        struts = one.sharing
        if one.weight is not None and one.weight_outside is not None:
            return struts * self.ties.turns(way) / (one.weight * one.weight_outside)
        if one.weight is not None and one.weight_inside is not None:
            if one.edges_apart is None:
                return None
            turn, sides = self.ties.turns(way, one.edges_apart), [(struts, one.edges_apart - one.weight_inside)]
            sides += [(one.on_the_other_side, one.weight_inside)] if one.on_the_other_side else []
            return max(n * turn / (one.weight * left) if left else Fraction(10**6) for n, left in sides)
        return None if one.vertical is None else struts * self.demand.upright(way.own) / one.vertical


def _rated(
    limit: Fraction | None, rated: str = "strap_tension", bare: str = "restraint_marked", ask: str = MAKER
) -> tuple[str, str]:
    """The kind of rule that what has a limit, or has none, falls under; and for the latter what to do."""
    return (bare, ask) if limit is None else (rated, "")
