"""The answer of ``load``: what to set, what it carries, what holds it; then how that was found."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from cache_check.model.load import Carrier, Ground, LoadResult, TieWay
from cache_check.model.verdict import Verdict
from cache_check.report import basis, findings, load_builds, load_forces, shortly, tally
from cache_check.report.answer import Maker, Told
from cache_check.report.caution import NOT_COUNTED, caution
from cache_check.report.load_say import LoadSay, percent
from cache_check.report.page import Line, Paragraph, Part, Points, Section, Short

TABLE = "builds"


def _say(result: LoadResult) -> LoadSay:
    return LoadSay(result.basis.units, result.names)


def _made(make: Callable[[LoadResult, LoadSay], Section]) -> Maker:
    return lambda one, _: make(one, _say(one))


SECTIONS: dict[str, Maker] = {
    "set": lambda one, _: Section("In short", (Paragraph(in_short(one)), Points("Set it so:", _do(one, _say(one))))),
    "situation": _made(load_forces.situation),
    "forces": _made(load_forces.forces),
    "straps": _made(load_forces.straps),
    "builds": _made(load_builds.builds),
    "steps": lambda one, _: tally.tally((one.tally,), _say(one)),
    "thumb": _made(load_forces.thumb),
    "ground": _made(load_builds.ground),
    "largest": _made(load_builds.largest),
    "friction": _made(load_forces.friction),
    "findings": lambda one, _: findings.findings(one.findings, _say(one)),
    "basis": lambda one, told: basis.rests_on(one.basis, told.rules, told.read),
    "caution": lambda one, _: caution(counted(one)),
}


def title(result: LoadResult) -> str:
    """The head of the whole page."""
    return f"{result.title}: {result.situation.title or 'what a strut carries here'}"


def short(result: LoadResult, told: Told) -> Short:
    """The verdict, what a crew does with its hands, what to put right, and what was assumed or is not known."""
    say = _say(result)
    said = verdict(result)
    stop = any(one.severity == "stop" for one in result.findings)
    do = () if stop else tuple(Line("Set it so", text) for text in _do(result, say))
    assumed = (Line("Assumed", "; ".join(result.assumed)),) if result.assumed else ()
    nobody_knows = [f"{one} of the situation" for one in result.situation.unknown]
    passes = load_builds.largest(result, say).blocks[:1] if result.forces is None else ()
    most = [Line("Passes", text) for block in passes if isinstance(block, Points) for text in block.items[:3]]
    return (
        shortly.head(title(result), result.basis),
        Part((shortly.verdict(said, in_short(result)),)),
        Part(do, "set"),
        Part(tuple(most), "largest"),
        shortly.todo(result.findings, told.rules, say),
        Part(assumed),
        shortly.unknown([*nobody_knows, *result.basis.unknown]),
    )


def several(results: Sequence[LoadResult], _: Told) -> Short:
    """A line for each of several caches."""
    lines = tuple(shortly.verdict(verdict(one), f"{one.title}: {in_short(one)}") for one in results)
    return (Part((Line("", results[0].situation.title or "One situation", wide=True),)), Part(lines, "set"))


def verdict(result: LoadResult) -> Verdict:
    """Met, not met or not known, by the words of the line that says more."""
    said = _verdict(result, result.tally.wanted or 1)
    if said.startswith(("STOP", "SHORT")) or "none that large" in said:
        return "not met"
    return "not known" if result.forces is None or "UNKNOWN" in said else "met"


def counted(result: LoadResult) -> str:
    """The line of the caution that says whether friction and pre-tension are counted."""
    one = result.situation
    if not one.friction and result.push is None:
        return NOT_COUNTED
    friction = f"counted at a coefficient of {float(one.friction):g}" if one.friction else "not counted"
    tight = "counted on top of the load" if result.push is not None else "not counted"
    return f"Friction under the base is {friction}. Pre-tension of straps is {tight}."


def in_short(result: LoadResult) -> str:
    """The verdict, in the one line that is read if no other is."""
    one, wanted = result.tally, result.tally.wanted or 1
    verdict = _verdict(result, wanted)
    steps = ", ".join(f"{count} {step}" for step, count in one.counts[3:] if count is not None)
    tally = findings.by_severity(result.findings)
    return f"{verdict} At this length {steps}; {wanted} wanted. Findings: {tally}."


def _verdict(result: LoadResult, wanted: int) -> str:
    """Met only where nothing stops it, nothing is short, and the load is known."""
    severities = {finding.severity for finding in result.findings}
    if "stop" in severities:
        return "STOP: do not set it so; the findings say why."
    if not result.tally.met:
        return f"SHORT {max(1, wanted - result.tally.best.count)}: not enough here for this load."
    if "short" in severities:
        return "SHORT: the findings say of what."
    if result.forces is None:
        return "The load is not known: what still passes is given under The other way round."
    return _on_ground(result)


def _on_ground(result: LoadResult) -> str:
    """Met, and on what ground: a strut that holds is of no use where it sinks."""
    ground = result.ground
    if ground is None:
        return "MET."
    if ground.soil is None:
        return "MET by struts and straps; whether the ground holds is UNKNOWN."
    if ground.pad_side is None or not _sinks(ground):
        return "MET."
    least = LoadSay(result.basis.units, result.names).length(ground.pad_side, "up")
    none = "" if ground.pads else "; none that large is on the book"
    return f"MET only on a stiff pad of at least {least} square under each base{none}."


def _sinks(ground: Ground) -> bool:
    """Whether the ground takes less than what stands on it: the pad given, or the base alone; unknown counts so."""
    return ground.soil is None or ground.pressure is None or ground.pressure > ground.soil


def _do(result: LoadResult, say: LoadSay) -> tuple[str, ...]:
    shape, one = result.geometry, result.situation
    drop = f", ground at the base {say.length(abs(one.ground_drop), 'up')} {_way(one.ground_drop)}"
    lines = [
        f"strut {say.length(shape.length, 'nearest')} long between its seats, at {say.angle(shape.angle_deg)} from the "
        f"horizontal; base {say.length(shape.offset, 'nearest')} out from under the contact, which is "
        f"{say.length(one.contact_height, 'nearest')} up{drop if one.ground_drop else ''}"
    ]
    if result.forces is not None:
        lines.append(
            f"load along the strut {say.up(result.tally.load or result.forces.axial_checked)}; its base pushes "
            f"{say.up(result.forces.thrust_checked)} out along the ground"
        )
    lines.append(_build(result, say))
    lines.append(_hold(result, say))
    lines.extend(_under(result, say))
    return tuple(lines)


def _under(result: LoadResult, say: LoadSay) -> tuple[str, ...]:
    """What goes under each base; where nobody knows the ground, that it is not known."""
    ground = result.ground
    if ground is None:
        return ()
    if ground.soil is None:
        return ("ground: what it bears was not given, so whether it holds the base is unknown",)
    if ground.pad_side is None or not _sinks(ground):
        return ()
    none = "" if ground.pads else "; none that large is on the book"
    return (f"under each base a stiff pad of at least {say.length(ground.pad_side, 'up')} square{none}",)


def _way(drop: int) -> str:
    return "lower" if drop > 0 else "higher"


def _build(result: LoadResult, say: LoadSay) -> str:
    best = next(iter(result.carriers), None)
    if best is None:
        near = " or ".join(load_builds.near(one, say) for one in result.near)
        return f"build: none, since no assembly here reaches this length; it reaches {near or 'nothing'}"
    stack = say.stack(best.assembly.parts)
    if not best.carries:
        return f"build: none here carries it; {stack} comes nearest: {load_builds.why_not(best, say)}"
    return f"build: {stack}{_rated(best, result, say)}"


def _rated(best: Carrier, result: LoadResult, say: LoadSay) -> str:
    factor = say.ratio(result.basis.factor)
    rated = f", rated {say.down(best.rated)}{factor} at this length" if best.rated is not None else ""
    spare = f"; {percent(best.margin)} to spare, {best.governing.link} governs" if best.margin is not None else ""
    return f"{rated}{spare}"


def _hold(result: LoadResult, say: LoadSay) -> str:
    if result.situation.ties == "none":
        return "hold: no straps or chain in this situation; only friction holds the base, and it is not counted"
    if result.refused:
        return f"hold: refused; {result.refused}"
    if not result.ties:
        return "hold: no strap or chain of the kind asked is on the book"
    way = load_forces.first(result)
    if way is None or way.per_base is None:
        return "hold: no strap or chain here holds this thrust at these angles"
    each = _each(way, say, known=result.forces is not None)
    return f"hold: {each}; {way.per_base * (result.tally.wanted or 1)} in all, {way.usable} usable"


def _each(way: TieWay, say: LoadSay, *, known: bool) -> str:
    pull = f", {say.up(way.tension)} in the tightest" if known else ""
    pull += f", rated {say.down(way.rated)}" if way.rated is not None else ""
    return f"{way.per_base} x {say.name(way.part)} on each base{pull}"
