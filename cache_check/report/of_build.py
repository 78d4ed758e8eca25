"""The page of ``build``: may these parts, in this order, be built; if not, why not, and what may."""

from __future__ import annotations

from collections.abc import Sequence

from cache_check.model.assembly import Assembly, Broken, Legality
from cache_check.model.cache import Source
from cache_check.model.result import BuildResult
from cache_check.model.rule import RuleBook
from cache_check.report import basis
from cache_check.report.caution import caution, reminder
from cache_check.report.page import Block, Page, Paragraph, Points, Section
from cache_check.report.say import Say, counted


def page(result: BuildResult, book: RuleBook, read: Sequence[Source] = ()) -> Page:
    """The page; the verdict comes first."""
    say = Say(result.basis.units, result.names)
    verdict = result.verdict
    return Page(
        f"{result.title}: {say.stack(verdict.parts)}",
        (
            Section("Legality", (Paragraph(_verdict(verdict)), reminder(), *_short(verdict, say))),
            Section("Rules broken", tuple(_broken(one) for one in verdict.broken) or (Paragraph("None."),)),
            Section("As built", _built(verdict.assembly, say)),
            Section("Nearest legal build", (_nearest(verdict, say),)),
            Section("Notes", (Points("Build notes:", verdict.notes) if verdict.notes else Paragraph("None."),)),
            Section("Rig, dates and rules", (basis.head(result.basis),)),
            basis.rests_on(result.basis, book, read),
            caution(),
        ),
    )


def _verdict(verdict: Legality) -> str:
    if not verdict.legal:
        return "NOT LEGAL: do not build it."
    if verdict.short_of:
        return "Legal, but SHORT of usable pieces: it cannot be built from this cache as it is."
    return "Legal, and the usable pieces suffice for one."


def _short(verdict: Legality, say: Say) -> tuple[Block, ...]:
    lines = tuple(f"{say.name(part)}: {want} wanted, {have} usable" for part, want, have in verdict.short_of)
    return (Points("Short of:", lines),) if lines else ()


def _broken(one: Broken) -> Points:
    lead = f"{one.severity.upper()} {one.rule} {one.title}"
    return Points(lead, (one.says, f"do: {one.remedy}", f"source: {one.source}"))


def _built(one: Assembly | None, say: Say) -> tuple[Block, ...]:
    if one is None:
        return (Paragraph("Not legal, so no length is given."),)
    return (Points(f"{say.stack(one.parts)}:", _facts(one, say)),)


def _facts(one: Assembly, say: Say) -> tuple[str, ...]:
    return (
        f"length, closed to open: {say.ends(one)}",
        f"extensions: {one.extensions}; joints: {one.joints}",
        f"loose pins: {say.pieces(one.pins)}",
        f"weight with pins, without straps or chains: {say.weight(one.mass)}",
    )


def _nearest(verdict: Legality, say: Say) -> Block:
    if verdict.nearest is None:
        return Paragraph("None: the usable parts make no legal assembly.")
    if not verdict.changes:
        return Paragraph(f"These very parts, as {say.stack(verdict.nearest.parts)}.")
    lead = f"{counted(verdict.changes, 'part')} changed: {say.stack(verdict.nearest.parts)}:"
    return Points(lead, _facts(verdict.nearest, say))
