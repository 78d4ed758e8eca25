"""The shape of the JSON of ``audit`` and ``history``: SI units, every key always there."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from cache_check.model.audit import Outcome
from cache_check.model.rule import Severity
from cache_check.report.answers import Envelope, FindingShape
from cache_check.report.records import BasisShape, BySeverity, Count, Shape, TallyShape


class CountShape(Shape):
    """What was counted, by whom, against which book."""

    path: str
    sha256: str
    counted_on: str | None
    counted_by: str
    second_person: str
    made_from_book: str


class VerdictShape(Shape):
    """The result by stated policy; ``policy`` is the rule, empty where none judges."""

    outcome: Outcome
    policy: str
    why: list[str]


class ComparedShape(Shape):
    """One need or length, by the book and today."""

    label: str
    by_the_book: TallyShape
    today: TallyShape


class PerNeed(Shape):
    """Struts of one need or length."""

    label: str
    struts: int


class CostShape(Shape):
    """What one piece, or so many of a lot, out of use costs."""

    rule: str
    part: str
    serial: str
    number: Count
    why: str
    needs_met_again: Count
    struts_back: list[PerNeed]
    needs_it_alone_loses: Count
    struts_it_alone_takes: list[PerNeed]


class AuditFindingShape(FindingShape):
    """A finding of an audit; ``audits_in_a_row`` is null where no record is kept."""

    serial: str
    counted_out: bool
    costs: CostShape | None
    audits_in_a_row: Count | None


class FallShape(Shape):
    """A piece that will fall out of use."""

    first_day_out: str
    part: str
    serial: str
    where: str
    rule: str
    why: str


class StepAhead(Shape):
    """From this day on, so many struts on the step asked."""

    from_day: str
    count: Count


class CourseShape(Shape):
    """How one need fares until then."""

    label: str
    steps: list[StepAhead]
    then: TallyShape


class AheadShape(Shape):
    """What falls until a day to come."""

    until: str
    falls: list[FallShape]
    needs: list[CourseShape]


class KeptShape(Shape):
    """The entry under which an audit was kept."""

    record: str
    entry: Count
    hash: str


class AuditShape(Shape):
    """The answer of ``audit``; ``count`` is null where the book itself was audited, ``ahead`` where not asked."""

    name: str
    title: str
    book: str
    book_on: str | None
    count: CountShape | None
    basis: BasisShape
    result: VerdictShape
    findings_by_severity: BySeverity
    compared: list[ComparedShape]
    costs: list[CostShape]
    findings: list[AuditFindingShape]
    ahead: AheadShape | None
    kept: KeptShape | None


class AuditEnvelope(Envelope[AuditShape]):
    """The answer of ``audit``."""

    form: Literal["cache-check/audit/1"] = Field(alias="schema")


class KeptFindingShape(Shape):
    """A finding as it was kept, and since when it is open."""

    rule: str
    severity: Severity
    part: str
    serial: str
    what: str
    since: str
    times: Count


class EntryShape(Shape):
    """One entry of a record: an audit, or a correction of one."""

    entry: Count
    kind: str
    rig: str
    on: str
    by: str
    outcome: str
    corrects: Count | None
    says: str
    findings: Count
    hash: str
    sound: bool


class StrutsShape(Shape):
    """Struts on the step asked, in the last audit and the one before."""

    label: str
    step: str
    wanted: Count | None
    by_the_book: Count
    today: Count
    audit_before: Count | None


class SinceShape(Shape):
    """What changed between the last two audits of a rig."""

    rig: str
    earlier: Count | None
    later: Count
    open: list[KeptFindingShape]
    repeated: list[KeptFindingShape]
    new: list[KeptFindingShape]
    gone: list[KeptFindingShape]
    struts: list[StrutsShape]


class HistoryShape(Shape):
    """The answer of ``history``.  ``faults`` says what is wrong with the record; empty where it is sound."""

    path: str
    entries_read: Count
    faults: list[str]
    entries: list[EntryShape]
    rigs: list[SinceShape]


class HistoryEnvelope(Envelope[HistoryShape]):
    """The answer of ``history``."""

    form: Literal["cache-check/history/1"] = Field(alias="schema")


ENVELOPES: dict[str, type[Envelope[Any]]] = {"audit": AuditEnvelope, "history": HistoryEnvelope}
