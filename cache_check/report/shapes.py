"""Results in the shape of the JSON, in the order of the page."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from cache_check.model.assembly import Assembly, Span
from cache_check.model.finding import Finding
from cache_check.model.result import (
    Basis,
    Binding,
    BuildResult,
    CheckResult,
    Gap,
    MatchedSet,
    Packing,
    PartLine,
    Profile,
    Reach,
    ReachResult,
    SceneAnswer,
    Tally,
)
from cache_check.model.rule import SEVERITIES, RuleBook
from cache_check.report import answers
from cache_check.report import records as to
from cache_check.report.shapes_of_rules import setting
from cache_check.units import NM_PER_MM


def check(result: CheckResult, book: RuleBook) -> answers.CheckShape:
    """The answer of ``check``."""
    found = sorted(result.findings, key=lambda one: one.order)
    return answers.CheckShape(
        name=result.name,
        title=result.title,
        basis=basis(result.basis, book),
        findings_by_severity=to.BySeverity(**{one: sum(f.severity == one for f in found) for one in SEVERITIES}),
        tallies=[tally(one) for one in result.tallies],
        scenes=[scene(one) for one in result.scenes],
        reach=reach(result.reach),
        profiles=[_profile(one) for one in result.profiles],
        matched_sets=[matched_set(one) for one in result.matched],
        gaps=[_gap(one) for one in result.gaps],
        findings=[finding(one) for one in found],
        parts=[_part(one) for one in result.parts],
        not_worked_out=[answers.UntoldShape(part=part, why=why) for part, why in result.untold],
    )


def reach_answer(result: ReachResult, book: RuleBook) -> answers.ReachAnswer:
    """The answer of ``reach``."""
    return answers.ReachAnswer(
        name=result.name,
        title=result.title,
        basis=basis(result.basis, book),
        at=None if result.at is None else tally(result.at),
        reach=reach(result.reach),
        profiles=[_profile(one) for one in result.profiles],
        assemblies_listed=len(result.reach.assemblies) == result.reach.count,
        assemblies=[assembly(one) for one in result.reach.assemblies],
    )


def build(result: BuildResult, book: RuleBook) -> answers.BuildShape:
    """The answer of ``build``."""
    verdict = result.verdict
    return answers.BuildShape(
        name=result.name,
        title=result.title,
        parts=list(verdict.parts),
        legal=verdict.legal,
        short_of=[answers.ShortOf(part=part, wanted=n, usable=have) for part, n, have in verdict.short_of],
        broken=[
            answers.BrokenShape(
                severity=one.severity, rule=one.rule, title=one.title, says=one.says, remedy=one.remedy,
                source=one.source,
            )
            for one in verdict.broken
        ],
        assembly=None if verdict.assembly is None else assembly(verdict.assembly),
        nearest=None if verdict.nearest is None else assembly(verdict.nearest),
        parts_changed=verdict.changes,
        notes=list(verdict.notes),
        basis=basis(result.basis, book),
    )  # fmt: skip


def basis(one: Basis, book: RuleBook) -> to.BasisShape:
    """What an answer rests on."""
    return to.BasisShape(
        rigs=list(one.rigs),
        pooled=one.pooled,
        shown_units=one.units,
        book_dates=[
            to.BookDate(rig=rig, counted_on=day.isoformat() if day else None) for rig, day in one.book_dates
        ],
        on=one.on.isoformat(),
        design_factor=_number(one.factor),
        rules_version=one.rules_version,
        supposed=list(one.changes),
        settings=[setting(changed, book) for changed in one.settings],
        rules_off=list(one.rules_off),
        stricter=list(one.stricter),
        ignored=list(one.ignored),
        unknown=list(one.unknown),
        friction_counted=False,
        pretension_counted=False,
    )  # fmt: skip


def tally(one: Tally) -> to.TallyShape:
    """The tally at one length or range."""
    why = dict(one.why_zero)
    return to.TallyShape(
        label=one.label,
        shortest_mm=_mm(one.shortest),
        longest_mm=_mm(one.longest),
        load_n=_number(one.load),
        design_factor=_number(one.factor),
        wanted=one.wanted,
        steps=[to.StepCount(step=step, count=count, why_zero=why.get(step)) for step, count in one.counts],
        met=one.met,
        asked_step=one.asked_step,
        one_missing_from=one.missing_step,
        worst_to_lose=list(one.lost),
        binds=_binding(one.binding),
        example=_packing(one.best),
    )


def reach(one: Reach) -> to.ReachShape:
    """The reach of a cache."""
    return to.ReachShape(
        assembly_count=one.count,
        union=span_shapes(one.union),
        blind_spots=[to.BlindSpot(over_mm=_mm(low), under_mm=_mm(high)) for low, high in one.blind_spots],
        by_fitting=[
            to.FittingReach(part=part, serves_as=role, reach=span_shapes(spans)) for role, part, spans in one.by_fitting
        ],
    )  # fmt: skip


def _mm(nm: int) -> float:
    return nm / NM_PER_MM


def _number(value: Fraction | None) -> float | None:
    return None if value is None else float(value)


def span_shapes(spans: Iterable[Span]) -> list[to.SpanShape]:
    """Lengths."""
    return [to.SpanShape(from_mm=_mm(low), to_mm=_mm(high)) for low, high in spans]


def piece_counts(counts: Iterable[tuple[str, int]]) -> list[to.PieceCount]:
    """Pieces by part."""
    return [to.PieceCount(part=part, count=count) for part, count in counts]


def assembly(one: Assembly) -> to.AssemblyShape:
    """One assembly."""
    return to.AssemblyShape(
        parts=list(one.parts),
        body=one.body,
        closed_mm=_mm(one.closed),
        open_mm=_mm(one.open),
        settable=span_shapes(one.spans),
        extensions=one.extensions,
        joints=one.joints,
        pins=piece_counts(one.pins),
        mass_kg=_number(one.mass),
    )


def _packing(one: Packing) -> to.PackingShape:
    return to.PackingShape(
        count=one.count,
        at_most=one.bound,
        proven=one.proven,
        assemblies=[to.Built(number=number, assembly=assembly(built)) for built, number in one.assemblies],
        ties=piece_counts(one.ties),
    )


def _binding(one: Binding) -> to.BindingShape:
    return to.BindingShape(singles=list(one.singles), pairs=list(one.pairs), part_types_tried=one.tried)


def scene(one: SceneAnswer) -> to.SceneShape:
    """All needs of a scene at once."""
    return to.SceneShape(
        scene=one.scene,
        title=one.title,
        wanted=one.wanted,
        served=one.served,
        at_most=one.bound,
        met=one.served >= one.wanted,
        needs=[to.NeedServed(need=need, wanted=wanted, served=served) for need, wanted, served in one.by_need],
        binds=_binding(one.binding),
        example=_packing(one.packing),
    )


def _profile(one: Profile) -> to.ProfileShape:
    stretches = [
        to.StretchShape(
            from_mm=_mm(stretch.low), to_mm=_mm(stretch.high), from_included=stretch.low_included,
            to_included=stretch.high_included, count=stretch.count,
        )
        for stretch in one.stretches
    ]  # fmt: skip
    return to.ProfileShape(step=one.step, proven=one.proven, stretches=stretches)


def matched_set(one: MatchedSet) -> to.MatchedShape:
    """A matched set."""
    return to.MatchedShape(
        count=one.count,
        step=one.step,
        lengths=span_shapes(one.spans),
        longest_common=span_shapes([one.common])[0] if one.common else None,
        example=None if one.packing is None else _packing(one.packing),
    )


def _gap(one: Gap) -> answers.GapShape:
    return answers.GapShape(
        what=one.what, have=one.have, want=one.want, short=one.short, says=one.says, rule=one.rule
    )  # fmt: skip


def finding(one: Finding) -> answers.FindingShape:
    """One finding."""
    figures = [
        answers.FigureShape(name=f"{name.removesuffix('_nm')}_mm", value=_mm(value))
        if name.endswith("_nm") and not isinstance(value, str)
        else answers.FigureShape(name=name, value=value)
        for name, value in one.figures
    ]
    return answers.FindingShape(
        severity=one.severity, rule=one.rule, title=one.title, rig=one.rig, part=one.part, where=one.where,
        what=one.what, figures=figures, effect=one.effect, remedy=one.remedy, source=one.source,
    )  # fmt: skip


def _part(one: PartLine) -> answers.PartShape:
    return answers.PartShape(
        part=one.part,
        title=one.title,
        kind=one.kind,
        on_the_book=one.on_book,
        usable=one.usable,
        not_usable=[answers.PartOut(why=why, count=count) for why, count in one.out],
    )  # fmt: skip
