"""The answer of ``build``: may these parts, in this order, be built; if not, why not, and what may."""

from __future__ import annotations

from cache_check.model.assembly import Assembly, Broken, Legality
from cache_check.model.result import BuildResult
from cache_check.report import data, shortly
from cache_check.report.answer import ENDING, Maker, Told
from cache_check.report.page import Block, Line, Mark, Part, Points, Section, Short
from cache_check.report.say import Say, counted, ratio

TABLES = data.BUILD
SECTIONS: dict[str, Maker] = {
    "broken": lambda one, _: _rules(one.verdict),
    "built": lambda one, _: Section("As built", _built(one.verdict.assembly, Say.of(one))),
    "nearest": lambda one, _: Section("Nearest legal build", (_nearest(one.verdict, Say.of(one)),)),
    "notes": lambda one, _: Section("Notes", (Points("Build notes:", one.verdict.notes or ("none",)),)),
    **ENDING,
}


def title(result: BuildResult) -> str:
    """The head of the whole page."""
    return f"{result.title}: {Say.of(result).stack(result.verdict.parts)}"


def short(result: BuildResult, _: Told) -> Short:
    """Whether it may be built, what forbids it, what it is, and the nearest that may be."""
    say, one = Say.of(result), result.verdict
    said = Line("LEGAL" if one.legal else "NOT LEGAL", _verdict(one) + _trusted(result, say), _mark(one))
    broken = [Line("Broken", f"{b.says}: {b.remedy} ({b.rule} {b.title})", "not met") for b in one.broken]
    few = [Line("Short of", f"{say.name(part)}: {want} wanted, {have} usable") for part, want, have in one.short_of]
    built = (
        [Line("As built", f"{say.stack(one.assembly.parts)}: {'; '.join(_facts(one.assembly, say))}")]
        if one.assembly
        else []
    )
    near = _nearest(one, say)
    nearest = [] if one.legal and not one.short_of else [Line("Nearest", f"{near.lead} {'; '.join(near.items)}")]
    notes = [Line("Note", text) for text in one.notes]
    return (
        shortly.head(title(result), result.basis),
        Part((said,)),
        Part(tuple(broken), "broken"),
        Part((*few, *built, *nearest)),
        Part(tuple(notes), "notes"),
        shortly.unknown(result.basis.unknown),
    )


def _mark(one: Legality) -> Mark:
    return "met" if one.legal and not one.short_of else "not met"


def _rules(verdict: Legality) -> Section:
    return Section("Rules broken", tuple(_broken(one) for one in verdict.broken) or ("None.",))


def _verdict(verdict: Legality) -> str:
    if not verdict.legal:
        return "Do not build it."
    if verdict.short_of:
        return "But SHORT of usable pieces: it cannot be built from this cache as it is."
    return "The usable pieces suffice for one."


def _trusted(result: BuildResult, say: Say) -> str:
    """What a legal stack is and is not rated for, and what holds its base: in one breath with legal."""
    one, assembly = result.carries, result.verdict.assembly
    if one is None or assembly is None:
        return ""
    at = f" at {ratio(one.factor)} or stricter, as marked"
    ends = [("closed", one.closed), ("open", one.open)]
    rated = [f"{say.down(load)} {end}" if load is not None else f"unrated {end}" for end, load in ends]
    said = "UNRATED" if one.closed is None and one.open is None else f"Rated {', '.join(rated)}{at}"
    why = f" ({'; '.join(one.unrated)})" if one.unrated else ""
    base = {"holds": "its base can be held", "unknown": "whether its base is held is not known"}
    return f" {said}{why}; {base.get(one.base.state, 'its base is NOT held')}: {one.base.why}."


def _broken(one: Broken) -> Points:
    lead = f"{one.severity.upper()} {one.rule} {one.title}"
    return Points(lead, (one.says, f"do: {one.remedy}", f"source: {one.source}"))


def _built(one: Assembly | None, say: Say) -> tuple[Block, ...]:
    if one is None:
        return ("Not legal, so no length is given.",)
    return (Points(f"{say.stack(one.parts)}:", _facts(one, say)),)


def _facts(one: Assembly, say: Say) -> tuple[str, ...]:
    return (
        f"length, closed to open: {say.ends(one)}",
        f"extensions: {one.extensions}; joints: {one.joints}",
        f"loose pins: {say.pieces(one.pins)}",
        f"weight with pins, without straps or chains: {say.weight(one.mass)}",
    )


def _nearest(verdict: Legality, say: Say) -> Points:
    if verdict.nearest is None:
        return Points("None: the usable parts make no legal assembly.")
    if not verdict.changes:
        return Points(f"These very parts, as {say.stack(verdict.nearest.parts)}.")
    lead = f"{counted(verdict.changes, 'part')} changed: {say.stack(verdict.nearest.parts)}:"
    return Points(lead, _facts(verdict.nearest, say))
