"""The answer of ``build``: may these parts, in this order, be built; if not, why not, and what may."""

from cache_check.model.assembly import Assembly, Legality
from cache_check.model.result import BuildResult
from cache_check.model.verdict import OF_STATE
from cache_check.report import cells, shortly
from cache_check.report.answer import ENDING, Told, Topic
from cache_check.report.basis import at_factor
from cache_check.report.page import Line, Mark, Part, Points, Rows, Short
from cache_check.report.say import Say, counted


def _row(result: BuildResult, say: Say) -> Rows:
    one, carries = result.verdict, result.carries
    rated = (cells.down(carries.closed, say), cells.down(carries.open, say)) if carries else (None, None)
    unrated = "; ".join(carries.unrated) or None if carries else None
    held = OF_STATE[carries.base.state].upper() if carries else None
    stack = cells.stack(one.assembly, say) if one.assembly else (say.stack(one.parts), *(None,) * 5)
    short = sum(want - have for _, want, have in one.short_of)
    yield *stack, cells.yes(one.legal), len(one.broken), short, *rated, unrated, held


TABLE = "built"
RATED = "legal|#rules broken|#short|#rated closed, {force}|#rated open, {force}|unrated|verdict on its base"
SECTIONS: dict[str, Topic] = {
    "broken": Topic(
        "Rules broken", lambda one, _: tuple(
            Points(f"{b.severity.upper()} {b.rule} {b.title}", (b.says, f"do: {b.remedy}", f"source: {b.source}"))
            for b in one.verdict.broken
        ) or ("None.",),
        "severity|rule|title|what|do|source",
        lambda one, _: ((b.severity, b.rule, b.title, b.says, b.remedy, b.source) for b in one.verdict.broken),
    ),
    "built": Topic("As built", lambda one, say: (
        _built(one.verdict.assembly, say) if one.verdict.assembly else "Not legal, so no length is given.",
    ), f"{cells.STACK}|{RATED}", _row),
    "nearest": Topic("Nearest legal build", lambda one, say: (_nearest(one.verdict, say),)),
    "notes": Topic("Notes", lambda one, _: (Points("Build notes:", one.verdict.notes or ("none",)),)),
    **ENDING,
}  # fmt: skip


def short(result: BuildResult, _: Told) -> Short:
    """Whether it may be built, what forbids it, what it is, and the nearest that may be."""
    say, one = Say.of(result), result.verdict
    sound = one.legal and not one.short_of
    mark: Mark = "met" if sound else "not met"
    may = "The usable pieces suffice for one."
    if not sound:
        lacks = "But SHORT of usable pieces: it cannot be built from this cache as it is."
        may = lacks if one.legal else "Do not build it."
    said = Line("LEGAL" if one.legal else "NOT LEGAL", may + _trusted(result, say), mark)
    broken = [Line("Broken", f"{b.says}: {b.remedy} ({b.rule} {b.title})", "not met") for b in one.broken]
    few = [Line("Short of", f"{say.name(part)}: {want} wanted, {have} usable") for part, want, have in one.short_of]
    facts = [("As built", _built(one.assembly, say))] if one.assembly else []
    facts += [] if sound else [("Nearest", _nearest(one, say))]
    built = [Line(label, f"{of.lead} {'; '.join(of.items)}") for label, of in facts]
    notes = tuple(Line("Note", text) for text in one.notes)
    return (shortly.head(shortly.title("build", result), result.basis), Part((said,)), Part(tuple(broken), "broken"),
            Part((*few, *built)), Part(notes, "notes"), shortly.unknown(result.basis.unknown))  # fmt: skip


def _trusted(result: BuildResult, say: Say) -> str:
    """What a legal stack is and is not rated for, and what holds its base: in one breath with legal."""
    one, assembly = result.carries, result.verdict.assembly
    if one is None or assembly is None:
        return ""
    at = f" {at_factor(result.basis, one.factor, marked=one.marked)}"
    ends = [("closed", one.closed), ("open", one.open)]
    rated = [f"{say.down(load)} {end}" for end, load in ends if load is not None]
    unrated = "".join(f", UNRATED {end}" for end, load in ends if load is None)
    said = f"Rated {', '.join(rated)}{at}{unrated}" if rated else "UNRATED"
    why = f" ({'; '.join(one.unrated)})" if one.unrated else ""
    base = {"holds": "its base can be held", "unknown": "whether its base is held is not known"}
    return f" {said}{why}; {base.get(one.base.state, 'its base is NOT held')}: {one.base.why}."


def _built(one: Assembly, say: Say, lead: str = "") -> Points:
    return Points(f"{lead}{say.stack(one.parts)}:", (
        f"length, closed to open: {say.ends(one)}", f"extensions: {one.extensions}; joints: {one.joints}",
        f"loose pins: {say.pieces(one.pins)}",
        f"weight with pins, without straps or chains: {say.weight(one.mass)}",
    ))  # fmt: skip


def _nearest(verdict: Legality, say: Say) -> Points:
    if verdict.nearest is None:
        return Points("None: the usable parts make no legal assembly.")
    if not verdict.changes:
        return Points(f"These very parts, as {say.stack(verdict.nearest.parts)}.")
    return _built(verdict.nearest, say, f"{counted(verdict.changes, 'part')} changed: ")
