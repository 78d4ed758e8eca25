"""Audits in the shape of the JSON, in the order of the page."""

from __future__ import annotations

from collections.abc import Sequence

from cache_check.model.audit import Ahead, AuditFinding, AuditResult, Cost
from cache_check.model.count import CountSheet
from cache_check.model.history import Again, History, KeptFinding, Since
from cache_check.model.rule import SEVERITIES, RuleBook
from cache_check.report import answer_audit as to
from cache_check.report.records import BySeverity
from cache_check.report.shapes import basis, finding, tally


def audit(result: AuditResult, book: RuleBook) -> to.AuditShape:
    """The answer of ``audit``."""
    labels = [one.label for one in result.compared]
    return to.AuditShape(
        name=result.name,
        title=result.title,
        book=result.book,
        book_on=result.book_on.isoformat() if result.book_on else None,
        count=_count(result.count),
        basis=basis(result.basis, book),
        result=to.VerdictShape(
            outcome=result.verdict.outcome, policy=result.verdict.policy, why=list(result.verdict.why)
        ),
        findings_by_severity=BySeverity(
            **{one: sum(found.finding.severity == one for found in result.findings) for one in SEVERITIES}
        ),
        compared=[
            to.ComparedShape(label=one.label, by_the_book=tally(one.book), today=tally(one.today))
            for one in result.compared
        ],
        costs=[_cost(one, labels) for one in result.costs],
        findings=[_finding(one, labels) for one in result.findings],
        ahead=_ahead(result.ahead, labels) if result.ahead else None,
        kept=to.KeptShape(record=result.kept.path, entry=result.kept.entry, hash=result.kept.hash)
        if result.kept
        else None,
    )


def _count(one: CountSheet | None) -> to.CountShape | None:
    if one is None:
        return None
    return to.CountShape(
        path=one.path,
        sha256=one.sha256,
        counted_on=one.on.isoformat() if one.on else None,
        counted_by=one.by,
        second_person=one.second,
        made_from_book=one.book,
    )


def _cost(one: Cost, labels: Sequence[str]) -> to.CostShape:
    def per_need(struts: tuple[int, ...]) -> list[to.PerNeed]:
        return [to.PerNeed(label=label, struts=number) for label, number in zip(labels, struts, strict=True)]

    return to.CostShape(
        rule=one.cause.rule,
        part=one.cause.part,
        serial=one.cause.serial,
        number=one.cause.number,
        why=one.cause.why,
        needs_met_again=one.met_again,
        struts_back=per_need(one.back),
        needs_it_alone_loses=one.unmet_alone,
        struts_it_alone_takes=per_need(one.alone),
    )


def _finding(one: AuditFinding, labels: Sequence[str]) -> to.AuditFindingShape:
    return to.AuditFindingShape(
        **finding(one.finding).model_dump(),
        serial=one.finding.serial,
        counted_out=one.contained,
        costs=_cost(one.cost, labels) if one.cost else None,
        audits_in_a_row=one.times or None,
    )


def _ahead(one: Ahead, labels: Sequence[str]) -> to.AheadShape:
    return to.AheadShape(
        until=one.until.isoformat(),
        falls=[
            to.FallShape(
                first_day_out=fall.on.isoformat(), part=fall.part, serial=fall.serial, where=fall.where,
                rule=fall.rule, why=fall.why,
            )
            for fall in one.falls
        ],
        needs=[
            to.CourseShape(
                label=label,
                steps=[to.StepAhead(from_day=day.isoformat(), count=count) for day, count in steps],
                then=tally(then),
            )
            for label, steps, then in zip(labels, one.steps, one.tallies, strict=True)
        ],
    )  # fmt: skip


def history(one: History) -> to.HistoryShape:
    """The answer of ``history``."""
    return to.HistoryShape(
        path=one.path,
        entries_read=len(one.entries),
        faults=list(one.faults),
        entries=[
            to.EntryShape(
                entry=entry.number, kind=entry.kind, rig=entry.rig, on=entry.on, by=entry.by, outcome=entry.outcome,
                corrects=entry.corrects, says=entry.says, findings=len(entry.findings), hash=entry.hash,
                sound=entry.sound,
            )
            for entry in one.entries
        ],
        rigs=[_since(since) for since in one.since],
    )  # fmt: skip


def _since(one: Since) -> to.SinceShape:
    return to.SinceShape(
        rig=one.rig,
        earlier=one.earlier,
        later=one.later,
        open=[_again(found) for found in one.open],
        repeated=[_again(found) for found in one.repeated],
        new=[_again(found) for found in one.new],
        gone=[_kept(found, "", 0) for found in one.gone],
        struts=[
            to.StrutsShape(
                label=struts.label, step=struts.step, wanted=struts.wanted, by_the_book=struts.book,
                today=struts.today, audit_before=before,
            )
            for struts, before in one.struts
        ],
    )  # fmt: skip


def _again(one: Again) -> to.KeptFindingShape:
    return _kept(one.finding, one.since, one.times)


def _kept(one: KeptFinding, since: str, times: int) -> to.KeptFindingShape:
    return to.KeptFindingShape(
        rule=one.rule, severity=one.severity, part=one.part, serial=one.serial, what=one.what, since=since, times=times
    )
