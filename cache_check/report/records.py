"""The shape of the JSON: frozen copies of the results, in SI, with units in key names and every key always there.

These are kept apart from the model on purpose: the model may change, this shape only with a new version.
Lengths are millimetres, forces newtons, masses kilograms, unrounded.  null means unknown or not asked.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from cache_check.model.result import Step
from cache_check.model.rule import Severity
from cache_check.units import System

Count = Annotated[int, Field(ge=0)]


class Shape(BaseModel):
    """A frozen record without extra keys."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Tool(Shape):
    """What wrote this."""

    name: Literal["cache-check"]
    version: str


class Input(Shape):
    """A file that was read."""

    path: str
    sha256: str


class BySeverity(Shape):
    """Findings, or broken rules, by severity."""

    stop: Count
    short: Count
    watch: Count
    note: Count


class SpanShape(Shape):
    """Lengths, both ends included unless the key says otherwise."""

    from_mm: float
    to_mm: float


class PieceCount(Shape):
    """So many pieces of a part."""

    part: str
    count: Count


class SettingShape(Shape):
    """A setting that changed a rule; values in SI, as text where they are neither number nor switch."""

    rule: str
    on: bool | None
    severity: Severity | None
    values: list[ValueShape]
    family: str | None
    rig: str | None
    by: str
    why: str


class ValueShape(Shape):
    """A named value and its unit ("mm", "N", "kg", "deg", "days" or "")."""

    name: str
    value: float | int | bool | str | list[str]
    value_unit: str


class BookDate(Shape):
    """The day a rig was counted."""

    rig: str
    counted_on: str | None


class BasisShape(Shape):
    """What an answer rests on."""

    rigs: list[str]
    pooled: bool
    shown_units: System
    book_dates: list[BookDate]
    on: str
    design_factor: float | None
    rules_version: str
    supposed: list[str]
    settings: list[SettingShape]
    rules_off: list[str]
    stricter: list[str]
    ignored: list[str]
    unknown: list[str]
    friction_counted: bool
    pretension_counted: bool


class AssemblyShape(Shape):
    """A legal assembly, parts from ground to load."""

    parts: list[str]
    body: str
    closed_mm: float
    open_mm: float
    settable: list[SpanShape]
    extensions: Count
    joints: Count
    pins: list[PieceCount]
    mass_kg: float | None


class Built(Shape):
    """So many of one assembly."""

    number: Count
    assembly: AssemblyShape


class PackingShape(Shape):
    """How many at once, one way to do it, and the proven most."""

    count: Count
    at_most: Count
    proven: bool
    assemblies: list[Built]
    ties: list[PieceCount]


class BindingShape(Shape):
    """What stops the next strut: one more of a single part, else of a pair."""

    singles: list[str]
    pairs: list[tuple[str, str]]
    part_types_tried: Count


class StepCount(Shape):
    """The count on a step; null where it was not asked.  ``why_zero`` is null unless the count fell to zero here."""

    step: Step
    count: Count | None
    why_zero: str | None


class TallyShape(Shape):
    """The tally at one length or range."""

    label: str
    shortest_mm: float
    longest_mm: float
    load_n: float | None
    design_factor: float | None
    wanted: Count | None
    steps: list[StepCount]
    met: bool | None
    asked_step: Step
    one_missing_from: Step
    worst_to_lose: list[str]
    binds: BindingShape
    example: PackingShape


class NeedServed(Shape):
    """How much of a need is served with the rest of its scene."""

    need: str
    wanted: Count
    served: Count


class SceneShape(Shape):
    """All needs of a scene at once."""

    scene: str
    title: str
    wanted: Count
    served: Count
    at_most: Count
    met: bool
    needs: list[NeedServed]
    binds: BindingShape
    example: PackingShape


class FittingReach(Shape):
    """The reach with one fitting choice fixed."""

    part: str
    serves_as: str
    reach: list[SpanShape]


class BlindSpot(Shape):
    """Lengths that nothing covers, both ends excluded."""

    over_mm: float
    under_mm: float


class ReachShape(Shape):
    """The reach of a cache; ``assemblies`` is empty where they were too many to list."""

    assembly_count: Count
    union: list[SpanShape]
    blind_spots: list[BlindSpot]
    by_fitting: list[FittingReach]


class StretchShape(Shape):
    """One stretch of a profile."""

    from_mm: float
    to_mm: float
    from_included: bool
    to_included: bool
    count: Count


class ProfileShape(Shape):
    """How many at once by length on a step."""

    step: Step
    proven: bool
    stretches: list[StretchShape]


class MatchedShape(Shape):
    """Where so many stand at once, and the set whose common reach is longest."""

    count: Count
    step: Step
    lengths: list[SpanShape]
    longest_common: SpanShape | None
    example: PackingShape | None


SettingShape.model_rebuild()
