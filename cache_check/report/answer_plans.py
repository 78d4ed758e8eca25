"""The answers of ``stage`` and ``buy`` in JSON.  Money is in hundredths of the currency."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from cache_check.report.answers import Envelope
from cache_check.report.records import (
    AssemblyShape,
    BasisShape,
    Count,
    MatchedShape,
    NeedServed,
    PieceCount,
    SceneShape,
    Shape,
    SpanShape,
)


class ServedShape(Shape):
    """How far a scene is met; a scene may have all its struts and lack what must be left over."""

    scene: str
    title: str
    weight: Count
    met: bool
    needs: list[NeedServed]


class OpensShape(Shape):
    """A scene that would serve fewer struts without a line of the list."""

    scene: str
    struts: Count
    struts_without_this_line: Count


class BuyLineShape(Shape):
    """One line of a list."""

    part: str
    source: str
    moved: bool
    packs: Count
    pieces_in_a_pack: Count
    pieces: Count
    pack_price_hundredths: Count
    once_per_order_hundredths: Count
    cost_hundredths: Count
    opens: list[OpensShape]


class SourcedPieces(Shape):
    """So many pieces of a part from a source."""

    part: str
    source: str
    count: Count


class FrontierShape(Shape):
    """One step from today to everything met: the least cost that does so much."""

    cost_hundredths: Count
    scenes_met: list[str]
    struts_served: Count
    buys: list[SourcedPieces]


class DeadShape(Shape):
    """Usable pieces that no best plan takes."""

    part: str
    usable_today: Count
    idle_today: Count
    usable_then: Count
    idle_then: Count


class OutOfReachShape(Shape):
    """A need that no list can meet, and the rules of which each alone forbids it."""

    scene: str
    need: str
    wanted: Count
    attainable: Count
    says: str
    forbidden_by: list[str]


class GivingScene(Shape):
    """What a rig that gives serves of a scene by itself."""

    scene: str
    struts_before: Count
    struts_after: Count


class GivingShape(Shape):
    """A rig that gives pieces."""

    title: str
    scenes: list[GivingScene]


class QuoteShape(Shape):
    """Where prices come from."""

    title: str
    currency: str
    dated: str | None
    not_parts_here: list[str]
    parts_without_a_price: list[str]


class StepAsked(Shape):
    """The step that a need's struts are counted on."""

    scene: str
    need: str
    step: str


class PurchaseShape(Shape):
    """A proven list; without quotes a piece costs one."""

    quotes: list[QuoteShape]
    budget_hundredths: Count | None
    meets_every_scene: bool
    cost_hundredths: Count
    pieces: Count
    lines: list[BuyLineShape]
    before: list[ServedShape]
    after: list[ServedShape]
    scenes: list[SceneShape]
    frontier: list[FrontierShape]
    frontier_complete: bool
    dead_stock: list[DeadShape]
    giving: list[GivingShape]
    out_of_reach: list[OutOfReachShape]


class BuyShape(Shape):
    """The answer of ``buy`` for one cache or pool."""

    name: str
    title: str
    basis: BasisShape
    currency: str
    must_leave: list[str]
    steps: list[StepAsked]
    purchases: list[PurchaseShape]


class MovedPiece(Shape):
    """A piece and the rig that gives it."""

    part: str
    giver: str


class MoveShape(Shape):
    """A move that helps and costs the giver nothing."""

    pieces: list[MovedPiece]
    taker: str
    scene: str
    struts_before: Count
    struts_after: Count


class RigServed(Shape):
    """One rig by itself."""

    rig: str
    title: str
    scenes: list[ServedShape]


class CountyShape(Shape):
    """Several rigs, each by itself, and the moves that help."""

    rigs: list[RigServed]
    steps: list[StepAsked]
    moves: list[MoveShape]


class BuyEnvelope(Envelope[BuyShape]):
    """Answers of ``buy``; ``county`` is null where one cache or pool was asked."""

    form: Literal["cache-check/buy/1"] = Field(alias="schema")
    county: CountyShape | None


class StowedShape(Shape):
    """Where a ready set lies; an empty compartment: none is stated, or none fits."""

    compartment: str
    rig: str
    spare_length_mm: float
    diagonal: bool
    not_checked: list[str]


class RatedAt(Shape):
    """A rated load; null is unrated."""

    length_mm: float
    load_n: float | None


class TurnsInto(Shape):
    """What loose pieces make of a set."""

    assembly: AssemblyShape
    joints_broken: Count
    joints_made: Count


class ReadySetShape(Shape):
    """One ready set."""

    name: str
    assembly: AssemblyShape
    carried_by: str
    stowed: StowedShape
    ties: list[PieceCount]
    ties_wanted: Count
    rated: list[RatedAt]
    turns_into: list[TurnsInto]


class StepOnSceneShape(Shape):
    """One joint broken or made."""

    does: Literal["break", "make"]
    lower: str
    upper: str
    of: str


class StrutShape(Shape):
    """One strut of a scene."""

    name: str
    need: str
    assembly: AssemblyShape
    restrained: bool
    as_built: bool
    sets: list[str]
    loose: list[str]
    joints_made: Count
    margin_mm: float
    ties: list[PieceCount]


class SceneStagedShape(Shape):
    """How one scene is served with the sets."""

    served: ServedShape
    joints: Count
    struts: list[StrutShape]
    steps: list[StepOnSceneShape]
    ties: list[PieceCount]


class StagingShape(Shape):
    """The proven ready sets."""

    weighted_joints: Count
    least_margin_mm: float | None
    sets: list[ReadySetShape]
    scenes: list[SceneStagedShape]
    loose: list[PieceCount]
    holes: list[SpanShape]


class StageShape(Shape):
    """The answer of ``stage`` for one cache or pool; ``staging`` is null where no needs were given."""

    name: str
    title: str
    basis: BasisShape
    most_sets: Count
    one_person_kg: float | None
    two_persons_kg: float | None
    staging: StagingShape | None
    matched_sets: list[MatchedShape]
    largest_matched_set: list[ReadySetShape]


class StageEnvelope(Envelope[StageShape]):
    """Answers of ``stage``, one for each cache or one for the pool."""

    form: Literal["cache-check/stage/1"] = Field(alias="schema")


ENVELOPES: dict[str, type[Envelope[Any]]] = {"stage": StageEnvelope, "buy": BuyEnvelope}
