"""The answer of ``check``: what a cache can build, at once, and what it lacks."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from cache_check.errors import grouped
from cache_check.model.counting import SceneAnswer, Tally
from cache_check.model.result import CheckResult
from cache_check.report import cells, findings, shortly, tally
from cache_check.report.answer import ENDING, FINDINGS, LENGTHS, MATCHED, REACH, Told, Topic
from cache_check.report.page import Line, Part, Short
from cache_check.report.say import Say, listed

TABLE = "needs"
SECTIONS: dict[str, Topic] = {
    "needs": Topic("Struts on each step", lambda one, say: tally.tally(one.tallies, say), cells.TALLIES,
                   lambda one, say: cells.tallies(one.tallies, say), part="struts on each step"),
    "scenes": Topic("Scenes", tally.scenes, tally.SCENES, tally.scene_rows),
    "rigs": Topic("Who brings what", tally.brings, tally.BROUGHT, tally.brought),
    "losses": Topic(findings.LOSS, findings.all_losses, findings.LOSSES, findings.loss_rows,
                    part="what each part's loss costs"),
    "reach": REACH,
    "lengths": LENGTHS,
    "sets": replace(MATCHED, part="matched sets"),
    "gaps": Topic("Gaps", findings.gaps, findings.GAPS, lambda one, _: (
        (g.what, g.have, g.want, g.short, cells.yes(bool(g.binds)), g.rule) for g in one.gaps
    )),
    "findings": FINDINGS,
    "parts": Topic("Parts", findings.parts, findings.PARTS, findings.part_rows),
    **ENDING,
}  # fmt: skip


def short(result: CheckResult, told: Told) -> Short:
    """Each scene or length with what binds; what to do; what hurts most when missing; what nobody knows."""
    say = Say.of(result)
    scenes = tuple(line for _, line, *_ in _scenes(result, told))
    lengths = () if scenes else result.tallies  # nobody asked: how many, and what would allow one more
    alone = []
    for one in lengths:
        held = one.count("restrained")
        restrained = tally.UNRULED if held is None else f"{held} restrained"
        said = f"{one.count('assembled at once')} assembled at once, {restrained}; {say.wants(one.binding, 3)}"
        alone.append(Line(one.label, said))
    why = f": {result.reach.why}" * bool(result.reach.why)
    asked = scenes or tuple(alone) or (Line("", f"No legal assembly can be built{why}.", "not met"),)
    return (shortly.head(result.title, result.basis), Part(asked, "scenes" if scenes else "needs"),
            _rigs(result), *_do(result, told), shortly.worst_loss(result.tallies, say),
            shortly.unknown([*result.basis.unknown, *map(": ".join, result.untold)]))  # fmt: skip


def _do(result: CheckResult, told: Told) -> tuple[Part, Part]:
    """What to do now, and what is only short of spares: pins, where a scene is not met and no next strut wants one."""
    bound, say = {gap.rule for gap in result.gaps if gap.binds}, Say.of(result)
    pins = {rule.id for rule in told.rules.of_kind("spare_pins")} - bound
    spare = [one for one in result.findings if one.rule in pins and not all(scene.met for scene in result.scenes)]
    urgent = [one for one in result.findings if one not in spare]
    later = (replace(line, label="Spares") for line in shortly.todo(spare, told.rules, say).lines)
    return shortly.todo(urgent, told.rules, say, shortly.free_first(result.parts, say)), Part(tuple(later), "findings")


def _rigs(result: CheckResult) -> Part:
    brought = ((one.title or one.scene, [rig for rig in one.brings if rig.number]) for one in result.scenes)
    said = ((f"all of {some[0].rig}" if len(some) == 1 else listed((f"{r.number} of {r.rig}" for r in some), "and"), of)
            for of, some in brought if some)  # fmt: skip
    lines = (f"{of}: {'; '.join(scenes)}" for of, scenes in grouped(said).items())
    return Part(tuple(Line("" if n else "Pieces", line) for n, line in enumerate(lines)), "rigs")


def in_words(result: CheckResult, told: Told) -> dict[str, tuple[str, str]]:
    """Of each scene its struts, and what stands in the way ("" where nothing does), in words of the short answer.

    Of what one loss does it says why: the verdict, which stands beside it, says the rest.
    """
    return {
        one.scene: (got, tally.one_loss(one.missing) if one.verdict == "met" else why.removeprefix("; "))
        for one, _, got, why in _scenes(result, told)
    }


def _holes(result: CheckResult, told: Told) -> dict[str, str]:
    """Of each need whose length lies between two holes, where: the reason, with the two lengths beside it."""
    pitch = {rule.id for rule in told.rules.of_kind("hole_pitch")}
    found = [one.what for one in result.findings if one.rule in pitch]
    parted = ((tally.label, *what.partition(f"{tally.label}: ")) for tally in result.tallies for what in found)
    return {label: lies for label, before, named, lies in parted if named and not before}


def _scenes(result: CheckResult, told: Told) -> Iterator[tuple[SceneAnswer, Line, str, str]]:
    """Each scene; its line; and of that each need wanted and got on its step, and the end, what stands in the way."""
    steps, holes, say = {one.label: one for one in result.tallies}, _holes(result, told), Say.of(result)
    for one in result.scenes:
        needs = [(*need, steps.get(f"{one.scene}: {need[0]}")) for need in one.by_need]
        each = (f"{need} {n} of {wanted} {of.asked_step if of else 'at once'}" for need, wanted, n, of in needs)
        got, why = ", ".join(each) + tally.but_for(one.links), _why(one, needs, holes, say)
        yield one, shortly.verdict(one.verdict, f"{one.title or one.scene}: {got}{why}"), got, why


def _why(one: SceneAnswer, needs: list[tuple[str, int, int, Tally | None]], holes: dict[str, str], say: Say) -> str:
    """What stands in the way: what nobody knows; what holds a need at nothing, else what binds; what one loss does."""
    if one.verdict != "not met":
        return tally.besides(one)
    for need, wanted, served, asked in needs:
        if asked and served < wanted and asked.why_zero and not asked.best.count:
            return f"; {need}: {holes.get(asked.label, asked.why_zero[-1][1])}"
    return tally.besides(one) or f"; {say.wants(one.binding, 3)}"


def several(results: Sequence[CheckResult], told: Told) -> Short:
    """A line for each of several caches, then what to do on each: a few lines of a cache, what is alike said once."""
    most = max(1, 5 // len(results))
    alike = grouped((line, one.title) for one in results for line in _to_do(one, told)[:most])
    named = ((line, listed(rigs, "and") + ", each" * (len(rigs) > 1)) for line, rigs in alike.items())
    return rows(results), Part(tuple(replace(line, text=f"{who}: {line.text}") for line, who in named), "scenes")


def rows(results: Sequence[CheckResult]) -> Part:
    """A line for each of several caches."""
    each = ((one, findings.by_severity(one.findings, none=False) or "no findings") for one in results)
    said = (f"{shortly.rig(one)}: {needs_met(one) if one.scenes else 'no scene asked'}; {of}" for one, of in each)
    return Part(tuple(Line("", line, wide=True) for line in said), "scenes")


def _to_do(one: CheckResult, told: Told) -> list[Line]:
    wanting = [line for scene, line, *_ in _scenes(one, told) if not scene.met]
    now, later = _do(one, told)
    return [*now.lines, *wanting, *later.lines]


def needs_met(result: CheckResult) -> str:
    """How many needs and scenes are met."""
    asked = [one for one in result.tallies if one.verdict is not None]
    if not asked and not result.scenes:
        return "not asked"
    alone = tally.met_of(asked, "needs met alone") if asked else "needs alone not worked out"
    return f"{tally.met_of(result.scenes, 'scenes met')}, {alone}" if result.scenes else alone
