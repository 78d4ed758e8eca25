"""The answer of ``load`` in JSON: SI, units in key names, every key always there; null is unknown or not asked."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from cache_check.report.answers import Envelope, FindingShape
from cache_check.report.records import AssemblyShape, BasisShape, Count, Shape, TallyShape


class GeometryShape(Shape):
    """The strut as set."""

    contact_height_mm: float
    ground_drop_mm: float
    height_above_seat_mm: float
    base_offset_mm: float
    length_mm: float
    angle_deg: float


class ForcesShape(Shape):
    """The forces on one strut."""

    whole_n: float
    share_n: float
    share_by: str
    vertical_n: float
    axial_n: float
    thrust_n: float
    axial_with_straps_n: float
    axial_checked_n: float
    thrust_checked_n: float
    thrust_governed_by: str
    base_reaction_n: float
    bearing_n: float


class ShareShape(Shape):
    """One way of sharing the load."""

    by: str
    each_n: float
    governs: bool


class StrapShape(Shape):
    """One strap as it runs; the plan angle is positive to the left."""

    plan_angle_deg: float
    rise_deg: float
    to_anchor_mm: float | None
    pretension_n: float
    tension_n: float | None
    most_n: float | None


class TieWayShape(Shape):
    """One kind of strap or chain as a way of holding each base; null per base: none, or not known to, hold."""

    part: str
    kind: Literal["strap", "chain"]
    rated_n: float | None
    rated_by: str
    per_base: Count | None
    each_side: Count
    on_the_line: Count
    tension_n: float
    in_all: Count | None
    usable: Count
    bases: Count
    with_one_lost_n: float | None
    length_mm: float | None


class ComparisonShape(Shape):
    """A short cut of the trade beside the statics."""

    what: str
    practice_n: float
    statics_n: float | None
    along_strut_n: float | None
    rests_on: str
    differ: str
    tie: str
    ties_by_practice: Count | None
    ties_by_statics: Count | None


class LinkShape(Shape):
    """One link of the chain."""

    link: str
    kind: Literal["strut", "tie", "point", "hardware", "ground"]
    demand_n: float | None
    rated_n: float | None
    holds: bool
    counts: bool
    note: str


class ChartRowShape(Shape):
    """The row of a chart that was used."""

    chart: str
    up_to_mm: float


class CarrierShape(Shape):
    """One assembly at the length needed."""

    assembly: AssemblyShape
    carries: bool
    refused: str
    rated_n: float | None
    chart_row: ChartRowShape | None
    governing: str
    margin: float | None
    head: str
    head_captured: bool | None
    largest_share: float | None
    links: list[LinkShape]


class GroundShape(Shape):
    """The ground under one base."""

    soil_pa: float | None
    bearing_n: float
    on: str
    area_m2: float | None
    pressure_pa: float | None
    pad_side_mm: float | None
    pads: list[PadShape]


class PadShape(Shape):
    """Pads of the cache that are large enough."""

    part: str
    usable: Count


class SlipShape(Shape):
    """Friction for information."""

    foot_needs: float | None
    head_needs: float | None
    counted: float


class PushShape(Shape):
    """Pre-tension by itself."""

    each_n: float
    strut_n: float
    lift_n: float
    sideways_n: float
    share: float | None


class ChainShape(Shape):
    """The smallest listed chain that holds in place of straps, one for each."""

    size_mm: float
    grade: int
    rated_n: float
    tension_n: float
    source: str


class LargestShape(Shape):
    """The other way round; a force in N, a length in mm, a pressure in Pa."""

    what: str
    value: float | None
    unit: Literal["N", "mm", "Pa"]
    way: Literal["at most", "at least"]
    because: str


class NearShape(Shape):
    """A length that is reached beside the one needed."""

    length_mm: float
    angle_deg: float | None


class WantedShape(Shape):
    """Struts for the whole load by equal share."""

    count: Count
    each_n: float
    by: str
    floor: Count


class LoadShape(Shape):
    """The answer of ``load``."""

    name: str
    title: str
    situation: str
    basis: BasisShape
    verdict: str
    geometry: GeometryShape
    assumed: list[str]
    unknown: list[str]
    refused: str
    forces: ForcesShape | None
    shares: list[ShareShape]
    struts_wanted: WantedShape | None
    straps: list[StrapShape]
    ties: list[TieWayShape]
    doubled: TieWayShape | None
    chain_instead: ChainShape | None
    comparisons: list[ComparisonShape]
    friction: SlipShape
    pretension: PushShape | None
    tally: TallyShape
    carriers: list[CarrierShape]
    nearest_lengths: list[NearShape]
    ground: GroundShape | None
    largest: list[LargestShape]
    findings: list[FindingShape]


class LoadEnvelope(Envelope[LoadShape]):
    """Answers of ``load``, one for each cache or one for the pool."""

    form: Literal["cache-check/load/1"] = Field(alias="schema")


GroundShape.model_rebuild()
