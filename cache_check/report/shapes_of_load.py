"""The answer of ``load`` in the shape of the JSON, in the order of the page."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from cache_check.model.load import Carrier, Ground, Largest, LinkCheck, LoadResult, TieWay
from cache_check.model.rule import RuleBook
from cache_check.report import answer_load as to
from cache_check.report import shapes
from cache_check.report.of_load import in_short
from cache_check.units import NM_PER_MM


def load(result: LoadResult, book: RuleBook) -> to.LoadShape:
    """The answer of ``load``."""
    basis = shapes.basis(result.basis, book)
    one = result.situation
    found = sorted(result.findings, key=lambda finding: finding.order)
    return to.LoadShape(
        name=result.name,
        title=result.title,
        situation=one.title,
        basis=basis.model_copy(
            update={"friction_counted": bool(one.friction), "pretension_counted": result.push is not None}
        ),
        verdict=in_short(result),
        geometry=_geometry(result),
        assumed=list(result.assumed),
        unknown=list(one.unknown),
        refused=result.refused,
        forces=_forces(result),
        shares=[to.ShareShape(by=s.by, each_n=float(s.each), governs=s.governs) for s in result.shares],
        struts_wanted=_wanted(result),
        straps=_straps(result),
        ties=[_way(way, result.tally.wanted or 1) for way in result.ties],
        doubled=None if result.doubled is None else _way(result.doubled, result.tally.wanted or 1),
        chain_instead=_chain(result),
        comparisons=_comparisons(result),
        friction=to.SlipShape(
            foot_needs=_n(result.slip.foot), head_needs=_n(result.slip.head), counted=float(result.slip.counted)
        ),
        pretension=_push(result),
        tally=shapes.tally(result.tally),
        carriers=[_carrier(carrier) for carrier in result.carriers],
        nearest_lengths=[to.NearShape(length_mm=_mm(n.length), angle_deg=_n(n.angle_deg)) for n in result.near],
        ground=None if result.ground is None else _ground(result.ground),
        largest=[_largest(value) for value in result.largest],
        findings=[shapes.finding(finding) for finding in found],
    )


def _mm(nm: int) -> float:
    return nm / NM_PER_MM


def _n(value: Fraction | None) -> float | None:
    return None if value is None else float(value)


def _geometry(result: LoadResult) -> to.GeometryShape:
    shape, one = result.geometry, result.situation
    return to.GeometryShape(
        contact_height_mm=_mm(one.contact_height),
        ground_drop_mm=_mm(one.ground_drop),
        height_above_seat_mm=_mm(shape.height),
        base_offset_mm=_mm(shape.offset),
        length_mm=_mm(shape.length),
        angle_deg=float(shape.angle_deg),
    )


def _forces(result: LoadResult) -> to.ForcesShape | None:
    one = result.forces
    if one is None:
        return None
    return to.ForcesShape(
        whole_n=float(one.whole),
        share_n=float(one.share),
        share_by=one.share_by,
        vertical_n=float(one.vertical),
        axial_n=float(one.axial),
        thrust_n=float(one.thrust),
        axial_with_straps_n=float(one.axial_with_straps),
        axial_checked_n=float(result.tally.load or one.axial_checked),
        thrust_checked_n=float(one.thrust_checked),
        thrust_governed_by=one.governs_thrust,
        base_reaction_n=float(one.base_reaction),
        bearing_n=float(one.bearing),
    )


def _wanted(result: LoadResult) -> to.WantedShape | None:
    one = result.wanted
    if one is None:
        return None
    return to.WantedShape(count=one.count, each_n=float(one.each), by=one.by, floor=one.floor)


def _straps(result: LoadResult) -> list[to.StrapShape]:
    thrust = None if result.forces is None else result.forces.thrust_checked
    return [
        to.StrapShape(
            plan_angle_deg=float(line.plan_angle_deg),
            rise_deg=float(line.rise_deg),
            to_anchor_mm=None if line.length is None else _mm(line.length),
            pretension_n=float(line.pretension),
            tension_n=None if thrust is None else float(thrust * line.unit + line.pretension),
            most_n=None if thrust is None else float(thrust * line.worst + line.pretension),
        )
        for line in result.lines
    ]


def _way(one: TieWay, wanted: int) -> to.TieWayShape:
    return to.TieWayShape(
        part=one.part,
        kind=one.kind,
        rated_n=_n(one.rated),
        rated_by=one.rated_by,
        per_base=one.per_base,
        each_side=one.each_side,
        on_the_line=one.on_the_line,
        tension_n=float(one.tension),
        in_all=None if one.per_base is None else one.per_base * wanted,
        usable=one.usable,
        bases=one.bases,
        with_one_lost_n=_n(one.one_lost),
        length_mm=None if one.length is None else _mm(one.length),
    )


def _comparisons(result: LoadResult) -> list[to.ComparisonShape]:
    return [
        to.ComparisonShape(
            what=one.what,
            practice_n=float(one.practice),
            statics_n=_n(one.statics),
            along_strut_n=_n(one.along_strut),
            rests_on=one.rests_on,
            differ=one.differ,
            tie=one.tie,
            ties_by_practice=one.ties_by_practice,
            ties_by_statics=one.ties_by_statics,
        )
        for one in result.comparisons
    ]


def _push(result: LoadResult) -> to.PushShape | None:
    one = result.push
    if one is None:
        return None
    return to.PushShape(
        each_n=float(one.each), strut_n=float(one.strut), lift_n=float(one.lift), sideways_n=float(one.sideways),
        share=_n(one.share),
    )  # fmt: skip


def _chain(result: LoadResult) -> to.ChainShape | None:
    one = result.chain
    if one is None:
        return None
    return to.ChainShape(
        size_mm=_mm(one.size), grade=one.grade, rated_n=float(one.rated), tension_n=float(one.tension),
        source=one.source,
    )  # fmt: skip


def _carrier(one: Carrier) -> to.CarrierShape:
    row = one.chart_row
    return to.CarrierShape(
        assembly=shapes.assembly(one.assembly),
        carries=one.carries,
        refused=one.refused,
        rated_n=_n(one.rated),
        chart_row=None if row is None else to.ChartRowShape(chart=row[0], up_to_mm=_mm(row[1])),
        governing=one.governing.link,
        margin=_n(one.margin),
        head=one.head,
        head_captured=one.captured,
        largest_share=_n(one.largest),
        links=[_link(link) for link in one.links],
    )


def _link(one: LinkCheck) -> to.LinkShape:
    return to.LinkShape(
        link=one.link, kind=one.kind, demand_n=_n(one.demand), rated_n=_n(one.rated), holds=one.holds,
        counts=one.counts, note=one.why,
    )  # fmt: skip


def _ground(one: Ground) -> to.GroundShape:
    return to.GroundShape(
        soil_pa=_n(one.soil),
        bearing_n=float(one.bearing),
        on=one.on,
        area_m2=_n(one.area),
        pressure_pa=_n(one.pressure),
        pad_side_mm=None if one.pad_side is None else _mm(one.pad_side),
        pads=[to.PadShape(part=part, usable=count) for part, count in one.pads],
    )


def _largest(one: Largest) -> to.LargestShape:
    value = _n(one.value)
    if one.dimension == "length" and value is not None:
        value /= NM_PER_MM
    units: dict[str, Literal["N", "mm", "Pa"]] = {"force": "N", "length": "mm", "pressure": "Pa"}
    return to.LargestShape(what=one.what, value=value, unit=units[one.dimension], way=one.way, because=one.because)
