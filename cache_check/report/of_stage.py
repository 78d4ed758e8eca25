"""The answer of ``stage``: the ready sets as rows, then what a crew does with them in each scene."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from itertools import groupby

from cache_check import units
from cache_check.model.staging import ReadySetPlan, SceneStaged, StageResult, Staging, StepOnScene, StrutOnScene
from cache_check.model.verdict import WORST_FIRST, Verdict
from cache_check.report import data_of_plans, lengths, shortly
from cache_check.report.answer import ENDING, Maker, Told
from cache_check.report.page import Block, Line, Part, Points, Section, Short, Table, words
from cache_check.report.say import Say, counted, listed
from cache_check.report.tally import beside, served_met
from cache_check.units import System

UNRATED = "unrated"
_ENDS = ("closed", "mid", "open")


def _made(heading: str, make: Callable[[StageResult, Staging, Say], Iterable[Block]]) -> Maker:
    """A section of the staging, which needs have to be given for."""

    def made(result: StageResult, _: Told) -> Section:
        one = result.staging
        asked = tuple(make(result, one, Say.of(result))) if one else ("No needs file was given.",)
        return Section(heading, asked)

    return made


TABLES = data_of_plans.STAGE
SECTIONS: dict[str, Maker] = {
    "sets": lambda one, _: _the_sets(one, Say.of(one)),
    "where": lambda one, _: Section("Where they lie", tuple(_where(one, _ready(one), Say.of(one)))),
    "scenes": _made("On scene", lambda _, one, say: _scenes(one, say)),
    "loose": _made("What is left loose", lambda _, one, say: _loose(one, say)),
    "turns": _made("What each set turns into", lambda _, one, say: _turns(one, say)),
    "holes": _made("Holes between ready sets", lambda _, one, say: (_holes(one, say),)),
    "matched": lambda one, _: lengths.matched(one.matched, Say.of(one)),
    **ENDING,
}


def title(result: StageResult) -> str:
    """The head of the whole page."""
    return f"{result.title}: what to leave built"


def _ready(result: StageResult) -> tuple[ReadySetPlan, ...]:
    return result.staging.sets if result.staging else result.stowed


def short(result: StageResult, _: Told) -> Short:
    """The sets and where they lie, each scene with its joints, and the holes between the sets."""
    say, one = Say.of(result), result.staging
    alike: dict[str, list[str]] = {}
    for ready in _ready(result):
        alike.setdefault(_set(ready, say), []).append(ready.name)
    sets = tuple(Line(f"Set {', '.join(names)}", said) for said, names in alike.items())
    scenes = tuple(_scene_line(scene) for scene in one.scenes) if one else ()
    holes = tuple(say.blind(span) for span in one.holes) if one else ()
    gaps = (Line("No set for", "; ".join(holes)),) if holes else ()
    loose = tuple(Line("Left loose", said) for said in left_loose(one, say)) if one else ()
    return (
        shortly.head(title(result), result.basis),
        Part((Line("Sets", in_short(result)),)),
        Part(sets, "sets"),
        Part(gaps),
        Part(scenes, "scenes"),
        Part(loose),
        shortly.unknown(result.basis.unknown),
    )


def _set(one: ReadySetPlan, say: Say) -> str:
    place = _lies(one, say)[1]
    return f"{say.stack(one.assembly.parts)}, {say.ends(one.assembly)}; lies in {place}; {one.carry} to carry"


def _scene_line(one: SceneStaged) -> Line:
    served = one.served
    built = sum(strut.as_built for strut in one.struts)
    text = f"{served.title or served.scene}: {served.served} of {served.wanted}, {built} as built"
    text += f", {counted(one.joints, 'joint')} to make or break{beside(served.missing, why=True)}"
    return shortly.verdict(served.verdict, text)


def several(results: Sequence[StageResult], _: Told) -> Short:
    """A line for each of several caches, with the worst verdict of its scenes."""
    lines = []
    for one in results:
        said = [scene.served.verdict for scene in one.staging.scenes] if one.staging else []
        worst: Verdict = min(said, key=WORST_FIRST.index, default="not known")
        lines.append(shortly.verdict(worst, f"{one.title}: {in_short(one)}"))
    return (Part(tuple(lines), "sets"),)


def in_short(result: StageResult) -> str:
    """The one line that is read if no other is."""
    one = result.staging
    if one is None:
        return "No needs file was given, so no scene was asked: the matched sets that the cache can make."
    met = sum(scene.served.met for scene in one.scenes)
    joints = sum(scene.joints for scene in one.scenes)
    off = listed(Say.of(result).all_names(one.unweighed))
    kept_off = f" Nothing with {off} is left built, since its weight is not known." if one.unweighed else ""
    return (
        f"{counted(len(one.sets), 'ready set')} of at most {result.most_sets}; {met} of {len(one.scenes)} scenes met; "
        f"{counted(joints, 'joint')} to make or break in all scenes (weighted {one.weighted_joints}), "
        f"{proof(one)}{kept_off}"
    )


def proof(one: Staging) -> str:
    """What is proven of the sets, and what is not, and why."""
    fewest = "proven the fewest"
    if one.weighted_joints > one.bound:
        fewest = f"not proven the fewest: no choice of sets needs fewer than {one.bound} weighted"
    best = f" NOT PROVEN THE BEST: {one.unproven}." if one.unproven else ""
    return f"{fewest} in the order listed for each.{best}"


def _the_sets(result: StageResult, say: Say) -> Section:
    """The sets as rows; where the scenes were not asked, those of the largest matched set."""
    long, mass = say.length_unit, say.mass_unit
    heads = f"set|parts, ground to load|#closed, {long}|#open, {long}|#extensions|#joints|#weight, {mass}|carried by"
    table = Table(words(heads), tuple(_row(one, say) for one in _ready(result)))
    none = "None: no set left built would save a joint in any scene, or none fits and may be carried."
    said = in_short(result) if result.staging else "The largest matched set, each where it would lie by itself."
    blocks = (table, _limits(result, say)) if table.rows else (none,)
    return Section("Ready sets", (said, *blocks))


def _where(result: StageResult, sets: tuple[ReadySetPlan, ...], say: Say) -> Iterable[Block]:
    heads = f"set|lies in|#to spare, {say.length_unit}|straps or chains|" + "|".join(
        f"#rated {e}, {say.force_unit}" for e in _ENDS
    )
    yield Table(words(heads), tuple(_lies(one, say) for one in sets))
    unchecked = dict.fromkeys((one.stowed.compartment, what) for one in sets for what in one.stowed.unchecked)
    if unchecked:
        yield Points("Not checked:", tuple(f"{place or 'stowage'}: {what}" for place, what in unchecked))


def _row(one: ReadySetPlan, say: Say) -> tuple[str, ...]:
    return (
        one.name,
        say.stack(one.assembly.parts),
        say.bare_length(one.assembly.closed, "up"),
        say.bare_length(one.assembly.open, "down"),
        str(one.assembly.extensions),
        str(one.assembly.joints),
        say.bare_mass(one.assembly.mass),
        one.carry,
    )


def _lies(one: ReadySetPlan, say: Say) -> tuple[str, ...]:
    across = ", on the diagonal" if one.stowed.diagonal else ""
    where = f"{one.stowed.compartment} of {one.stowed.rig}{across}" if one.stowed.compartment else "not stated"
    spare = say.bare_length(one.stowed.spare_length, "down") if one.stowed.compartment else "unknown"
    loads = [_load(load, say) for _, load in one.rated]
    loads += [loads[-1]] * (len(_ENDS) - len(loads))
    return (one.name, where, spare, _ties(one, say), *loads)


def _load(load: Fraction | None, say: Say) -> str:
    return UNRATED if load is None else units.show(load, "force", say.system, "down", unit=False)


def _ties(one: ReadySetPlan, say: Say) -> str:
    if one.ties:
        return say.pieces(one.ties)
    return f"none left of the {one.ties_wanted} it wants" if one.ties_wanted else "its base cannot be held"


def _limits(result: StageResult, say: Say) -> str:
    if result.one_person is None or result.two_persons is None:
        return "Weight is with loose pins, without straps or chains. No carry weight is ruled."
    system: System = say.system
    one = units.show(result.one_person, "mass", system, "down")
    two = units.show(result.two_persons, "mass", system, "down")
    return (
        "Weight is with loose pins, without straps or chains. "
        f"One person carries at most {one}, two carry at most {two}; a heavier set is not left built."
    )


def _scenes(one: Staging, say: Say) -> Iterable[Block]:
    yield (
        "Each scene uses the sets and the loose pieces afresh. A joint made or broken counts one; straps and locking "
        "are extra. Margin is how far off the asked lengths may be before the strut no longer fits."
    )
    rows = tuple(
        (
            scene.served.title or scene.served.scene,
            str(scene.served.weight),
            str(scene.served.wanted),
            str(scene.served.served),
            served_met(scene.served),
            str(sum(strut.as_built for strut in scene.struts)),
            str(scene.joints),
        )
        for scene in one.scenes
    )
    yield Table(words("scene|#weight|#wanted|#served|scene|#as built|#joints on scene"), rows)
    for scene in one.scenes:
        yield _scene(scene, say)


def _scene(scene: SceneStaged, say: Say) -> Points:
    held = f", held by {say.pieces(scene.ties)}" if scene.ties else ""
    lead = f"{scene.served.title or scene.served.scene}, {counted(scene.joints, 'joint')} made or broken{held}:"
    order = "; ".join(steps(scene.steps, say))
    items = [*(_strut(strut, say) for strut in scene.struts), *([f"in this order: {order}"] if order else [])]
    return Points(lead, tuple(items) or ("nothing can be served",))


def _strut(one: StrutOnScene, say: Say) -> str:
    margin = f"margin {say.length(one.margin, 'down')}"
    parts = "" if one.as_built else f"{say.stack(one.assembly.parts)} from "
    return f"{one.name} for {one.need}: {parts}{whence(one, say)}, {margin}"


def whence(one: StrutOnScene, say: Say) -> str:
    """What a strut is taken from: a set as it lies, what sets yield, loose pieces."""
    if one.as_built:
        return f"set {one.sets[0]} as built"
    found = [f"what set {name} yields" for name in one.sets]
    found += [f"loose {listed(say.all_names(one.loose), 'and')}"] if one.loose else []
    return listed(found, "and")


def steps(done: Iterable[StepOnScene], say: Say) -> tuple[str, ...]:
    """What is done in order: with each set, then with each strut, all its joints in one line."""
    lines: list[str] = []
    for (does, of), same in groupby(done, lambda step: (step.does, step.of)):
        word, between, of = ("part", "from", f"set {of}") if does == "break" else ("join", "to", of)
        joints = ", ".join(f"{say.name(one.lower)} {between} {say.name(one.upper)}" for one in same)
        lines.append(f"{len(lines) + 1}. {of}: {word} {joints}")
    return tuple(lines)


def left_loose(one: Staging, say: Say) -> tuple[str, ...]:
    """What is in no set; of a pool rig by rig."""
    return tuple(f"{on.rig}: {say.pieces(on.pieces)}" for on in one.loose_on) or (say.pieces(one.loose),)


def _loose(one: Staging, say: Say) -> Iterable[Block]:
    if one.loose_on:
        rows = tuple((on.rig, say.name(part), str(count)) for on in one.loose_on for part, count in on.pieces)
        yield Table(words("on|part|#loose"), rows)
    else:
        yield Table(words("part|#loose"), tuple((say.name(part), str(count)) for part, count in one.loose))


def _turns(one: Staging, say: Say) -> Iterable[Block]:
    alike: dict[ReadySetPlan, list[str]] = {}
    for ready in one.sets:
        like = next((other for other in alike if other.assembly == ready.assembly), ready)
        alike.setdefault(like, []).append(ready.name)
    rows = tuple(
        (
            ", ".join(names),
            say.stack(other.parts),
            say.bare_length(other.closed, "up"),
            say.bare_length(other.open, "down"),
            str(broken),
            str(made),
        )
        for ready, names in alike.items()
        for other, broken, made in ready.turns_into
    )
    yield "What loose pieces make of each set by itself, where it reaches lengths that the set does not:"
    heads = f"set|turns into|#closed, {say.length_unit}|#open, {say.length_unit}|#joints broken|#joints made"
    yield Table(words(heads), rows)


def _holes(one: Staging, say: Say) -> Points:
    if not one.holes:
        return Points("None: between the shortest and the longest set every length that the loose cache has is there.")
    return Points(
        "Lengths that no ready set covers and the loose cache does:", tuple(say.blind(span) for span in one.holes)
    )
