"""The answers in JSON, one record for each command, and the envelope that they come in."""

from __future__ import annotations

from typing import Generic, Literal, TypeVar

from pydantic import Field

from cache_check.model.part import Kind
from cache_check.model.rule import ParameterType, Severity, Stricter
from cache_check.report.records import (
    AssemblyShape,
    BasisShape,
    BySeverity,
    Count,
    Input,
    MatchedShape,
    ProfileShape,
    ReachShape,
    SceneShape,
    SettingShape,
    Shape,
    TallyShape,
    Tool,
)


class GapShape(Shape):
    """Too little of something, in figures."""

    what: str
    have: Count
    want: Count
    short: Count
    says: str
    rule: str


class FigureShape(Shape):
    """A figure of a finding; lengths in mm, by the ending of the name."""

    name: str
    value: float | int | str


class FindingShape(Shape):
    """One finding."""

    severity: Severity
    rule: str
    title: str
    rig: str
    part: str
    where: str
    what: str
    figures: list[FigureShape]
    effect: str
    remedy: str
    source: str


class PartOut(Shape):
    """Pieces that are not usable, and why."""

    why: str
    count: Count


class PartShape(Shape):
    """One part type of the cache."""

    part: str
    title: str
    kind: Kind
    on_the_book: Count | None
    usable: Count
    not_usable: list[PartOut]


class UntoldShape(Shape):
    """A part of the answer that was not worked out, and why; its list is empty for that reason alone."""

    part: str
    why: str


class CheckShape(Shape):
    """The answer of ``check`` for one cache or pool."""

    name: str
    title: str
    basis: BasisShape
    findings_by_severity: BySeverity
    tallies: list[TallyShape]
    scenes: list[SceneShape]
    reach: ReachShape
    profiles: list[ProfileShape]
    matched_sets: list[MatchedShape]
    gaps: list[GapShape]
    findings: list[FindingShape]
    parts: list[PartShape]
    not_worked_out: list[UntoldShape]


class ReachAnswer(Shape):
    """The answer of ``reach``."""

    name: str
    title: str
    basis: BasisShape
    at: TallyShape | None
    reach: ReachShape
    profiles: list[ProfileShape]
    assemblies_listed: bool
    assemblies: list[AssemblyShape]


class BrokenShape(Shape):
    """A rule that a stack breaks."""

    severity: Severity
    rule: str
    title: str
    says: str
    remedy: str
    source: str


class ShortOf(Shape):
    """A part of which there are too few usable pieces."""

    part: str
    wanted: Count
    usable: Count


class BuildShape(Shape):
    """The answer of ``build``."""

    name: str
    title: str
    parts: list[str]
    legal: bool
    short_of: list[ShortOf]
    broken: list[BrokenShape]
    assembly: AssemblyShape | None
    nearest: AssemblyShape | None
    parts_changed: Count
    notes: list[str]
    basis: BasisShape


class ParameterShape(Shape):
    """A parameter of a rule, its value in SI."""

    name: str
    type: ParameterType
    value: float | int | bool | str | list[str]
    value_unit: str
    stricter: Stricter
    about: str


class RuleShape(Shape):
    """One rule with what is in force."""

    rule: str
    title: str
    on: bool
    severity: Severity
    fixed: bool
    why: str
    source: str
    remedy: str
    kind: str
    since: str
    parameters: list[ParameterShape]


class RulesShape(Shape):
    """The answer of ``rules``."""

    version: str
    rules: list[RuleShape]
    settings: list[SettingShape]


Answer = TypeVar("Answer", bound=Shape)


class Envelope(Shape, Generic[Answer]):
    """What every answer comes in."""

    form: str = Field(alias="schema")
    tool: Tool
    caution: list[str]
    inputs: list[Input]
    answers: list[Answer]


class CheckEnvelope(Envelope[CheckShape]):
    """Answers of ``check``, one for each cache or one for the pool."""

    form: Literal["cache-check/check/1"] = Field(alias="schema")


class ReachEnvelope(Envelope[ReachAnswer]):
    """The answer of ``reach``."""

    form: Literal["cache-check/reach/1"] = Field(alias="schema")


class BuildEnvelope(Envelope[BuildShape]):
    """The answer of ``build``."""

    form: Literal["cache-check/build/1"] = Field(alias="schema")


class RulesEnvelope(Envelope[RulesShape]):
    """The answer of ``rules``."""

    form: Literal["cache-check/rules/1"] = Field(alias="schema")


ENVELOPES: dict[str, type[Envelope[CheckShape] | Envelope[ReachAnswer] | Envelope[BuildShape] | Envelope[RulesShape]]]
ENVELOPES = {"check": CheckEnvelope, "reach": ReachEnvelope, "build": BuildEnvelope, "rules": RulesEnvelope}
