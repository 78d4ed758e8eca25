"""Which assemblies carry a load at the length needed: every link down to the ground, what governs, the margin."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from cache_check.loads.capacity import charts_for
from cache_check.loads.chart import row_at_or_above
from cache_check.loads.doubt import rows_of
from cache_check.loads.rating import DesignFactor
from cache_check.model.assembly import Assembly
from cache_check.model.load import Carrier, Forces, LinkCheck, TieWay
from cache_check.model.part import Fitting, Footprint, Hardware, Tie
from cache_check.model.situation import Situation
from cache_check.planning.packing.muster import Muster

NM_PER_M = 1_000_000_000


@dataclass(frozen=True)
class Demand:
    """What a situation asks of every assembly: length, forces for a load of 1, and for its own (None: unknown)."""

    one: Situation
    length: int
    factor: DesignFactor
    each: Forces
    known: Forces | None
    ways: tuple[TieWay, ...]
    held: bool
    sine: Fraction
    refused: str


def carriers(muster: Muster, demand: Demand) -> tuple[Carrier, ...]:
    """Every assembly that covers the length, bought pieces included: those that carry first, best margin first.

    Then by weight, then by joints, then in the fixed order of assemblies.
    """
    mask = muster.columns.covering(demand.length, demand.length)
    found = [
        _carrier(muster, demand, assembly)
        for assembly, columns in zip(muster.columns.assemblies, muster.columns.of_assembly, strict=True)
        if columns & mask
    ]
    return tuple(sorted(found, key=_order))


def _order(one: Carrier) -> tuple[bool, bool, bool, Fraction, bool, Fraction, int]:
    ratio = one.governing.ratio
    mass = one.assembly.mass
    return (
        not one.carries, bool(one.refused), ratio is None, -(ratio or Fraction(0)),
        mass is None, mass or Fraction(0), one.assembly.joints,
    )  # fmt: skip


def _carrier(muster: Muster, demand: Demand, assembly: Assembly) -> Carrier:
    way = leading(demand.ways) if demand.held else None
    strut = tuple(_strut(muster, demand, assembly, way))
    chain = (*strut, *_ties(muster, demand, assembly, way), *_ground(muster, demand, assembly, way))
    counting = [link for link in chain if link.counts]
    governing = _governing(counting)
    head, captured, refused = _head(muster, demand.one, assembly)
    refused = refused or _unheld(muster, demand, assembly, way)
    rated = _governing(list(strut))
    margin = governing.ratio - 1 if demand.known is not None and governing.ratio is not None else None
    largest = [link.largest for link in counting if link.largest is not None]
    return Carrier(
        assembly=assembly,
        links=chain,
        governing=governing,
        rated=rated.rated,
        chart_row=_chart_row(muster, assembly, demand.length),
        margin=margin,
        way=way,
        head=head,
        captured=captured,
        carries=not refused and all(link.holds for link in counting),
        refused=refused,
        largest=None if refused or any(link.rated is None for link in counting) else min(largest, default=None),
    )


def _unheld(muster: Muster, demand: Demand, assembly: Assembly, way: TieWay | None) -> str:
    """Why nothing holds the base of an assembly; "" where something does, or no restraint is asked."""
    if not demand.held:
        return ""
    if assembly.ground not in muster.columns.pointed:
        return "its base has too few attachment points"
    return "" if way is not None else "no strap or chain here holds its base"


def _governing(counting: list[LinkCheck]) -> LinkCheck:
    """The first unrated link, else the one with least to spare."""
    unrated = next((link for link in counting if link.rated is None), None)
    loaded = [link for link in counting if link.ratio is not None]
    return unrated or min(loaded or counting, key=lambda link: link.ratio or Fraction(0))


def leading(ways: tuple[TieWay, ...]) -> TieWay | None:
    """The way to show first: one that the usable pieces suffice for, the fewest to a base, then the stronger."""

    def order(way: TieWay) -> tuple[bool, int, Fraction]:
        each = way.per_base or 0
        alike = sum(w.usable for w in ways if w.kind == way.kind and w.per_base is not None and w.per_base <= each)
        return alike < each, each, -(way.rated or Fraction(0))

    return min((way for way in ways if way.per_base is not None), key=order, default=None)


def _link(
    demand: Demand, link: str, kind: str, rated: Fraction | None, fixed: Fraction, share: str, times: Fraction,
    why: str = "", *, counts: bool = True,
) -> LinkCheck:  # fmt: skip
    """A link whose demand is ``fixed`` and ``times`` a force of the situation, named by ``share``."""
    each: Fraction = getattr(demand.each, share)
    known = None if demand.known is None else fixed + times * getattr(demand.known, share)
    return LinkCheck(link, kind, rated, fixed, times * each, known, why, counts)  # type: ignore[arg-type]


def _strut(muster: Muster, demand: Demand, assembly: Assembly, way: TieWay | None) -> Iterator[LinkCheck]:
    own = way.own if way else Fraction(0)
    names = muster.cache.catalogue.short_names
    for link in muster.capacity.links(assembly, demand.length, demand.length, demand.factor):
        name = next((short for part, short in names.items() if link.name == part.rpartition("/")[2]), link.name)
        yield _link(demand, name, "strut", link.rated, own, "axial_checked", Fraction(1), link.why)


def _ties(muster: Muster, demand: Demand, assembly: Assembly, way: TieWay | None) -> Iterator[LinkCheck]:
    if way is None or way.per_base is None:
        return
    names = muster.cache.catalogue.short_names
    counts = unknown_counts(muster)
    each = f"each of {way.per_base}"
    yield _link(
        demand, names[way.part], "tie", way.rated, way.pretension, "thrust_checked", way.per_thrust,
        f"{each}; {way.rated_by}",
    )  # fmt: skip
    tie, base = muster.cache.catalogue.by_id[way.part], muster.cache.catalogue.by_id[assembly.ground]
    assert isinstance(tie, Tie)
    assert isinstance(base, Fitting)
    if base.points:
        heaped = -(-way.per_base // len(base.points))
        limits = [point.wll for point in base.points]
        rated = None if None in limits else min(limit for limit in limits if limit is not None)
        said = f"{heaped} on one point" if heaped > 1 else "the weaker" if len(set(limits)) > 1 else ""
        yield _link(
            demand, f"points of {names[base.id]}", "point", rated, heaped * way.pretension, "thrust_checked",
            heaped * way.per_thrust, said if rated is not None else "no limit on the book: unknown",
            counts=rated is not None or not counts,
        )  # fmt: skip
    for name in tie.needs:
        hardware = muster.cache.catalogue.by_id.get(name)
        if isinstance(hardware, Hardware):
            yield _link(
                demand, names[hardware.id], "hardware", hardware.wll, way.pretension, "thrust_checked", way.per_thrust,
                "" if hardware.wll is not None else "no limit on the book: unknown",
                counts=hardware.wll is not None or not counts,
            )  # fmt: skip


def unknown_counts(muster: Muster) -> bool:
    """Whether a base counts though its points or hardware carry no limit."""
    return bool(muster.book.ruled("restraint_marked", "unknown_counts", default=True))


def area_under(muster: Muster, one: Situation, base: str) -> Fraction | None:
    """The area (m2) on the ground: the pad's, else the base's own; None where neither is known."""
    if one.pad:
        return Fraction(one.pad[0] * one.pad[-1], NM_PER_M**2)
    fitting = muster.cache.catalogue.by_id[base]
    footprint: Footprint | None = getattr(fitting, "footprint", None)
    return None if footprint is None else Fraction(footprint.length * footprint.width, NM_PER_M**2)


def _ground(muster: Muster, demand: Demand, assembly: Assembly, way: TieWay | None) -> Iterator[LinkCheck]:
    """The ground, where its bearing value is known; with no pad given it counts only where the base alone suffices.

    Where it does not suffice the pad that it takes is printed, and is part of the answer.
    """
    soil = demand.one.soil
    if soil is None or not muster.book.in_force("ground_bearing"):
        return
    area = area_under(muster, demand.one, assembly.ground)
    rated = None if area is None else area * soil
    on = "on the pad" if demand.one.pad else "on the base alone"
    own = way.own * demand.sine if way else Fraction(0)
    why = on if area is not None else "footprint unknown"
    link = _link(demand, "ground", "ground", rated, own, "bearing", Fraction(1), why)
    suffices = demand.known is not None and link.holds
    yield link if demand.one.pad or suffices else replace(link, counts=False, why=f"{why}: it takes a pad")


def _chart_row(muster: Muster, assembly: Assembly, length: int) -> tuple[str, int] | None:
    """The chart and the length limit of the row that speaks for an assembly at a length."""
    catalogue = muster.cache.catalogue
    for chart in charts_for(catalogue, catalogue.by_id[assembly.body].family, assembly.body):
        place = row_at_or_above(rows_of(chart), length)
        if place is not None and not muster.capacity.doubts(chart):
            return chart.id, chart.rows[place].length
    return None


def _head(muster: Muster, one: Situation, assembly: Assembly) -> tuple[str, bool | None, str]:
    """How the head meets the contact, whether that holds it, and why it is refused ("": it is not)."""
    if one.contact is None:
        return "", None, ""
    head = muster.cache.catalogue.by_id[assembly.load]
    assert isinstance(head, Fitting)
    made = one.contact in head.contacts
    said = f"made for {one.contact}" if made else f"not listed for {one.contact}"
    if not head.contacts:
        said = "the book does not say what it is made for"
    rules = muster.book.in_force("head_for_contact")
    stops = any(muster.book.severity(rule.id) == "stop" for rule in rules)
    return said, made and captures(muster, one.contact), "" if made or not stops else f"head {said}"


def captures(muster: Muster, contact: str) -> bool:
    """Whether a kind of contact holds a head made for it."""
    return contact in muster.book.ruled("head_captured", "captured", default=(contact,))
