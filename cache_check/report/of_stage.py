"""The answer of ``stage``: the ready sets as rows, then what a crew does with them in each scene."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import groupby

from cache_check.errors import grouped
from cache_check.model.counting import FromRig
from cache_check.model.staging import ReadySetPlan, SceneStaged, StageResult, Staging, StepOnScene, StrutOnScene
from cache_check.model.verdict import worst_of
from cache_check.report import cells, shortly
from cache_check.report.answer import ENDING, MATCHED, Told, Topic
from cache_check.report.page import Block, Cell, Line, Part, Points, Rows, Short
from cache_check.report.say import UNKNOWN, Say, counted, listed
from cache_check.report.tally import beside_struts, besides, had, met_of, served_met

UNRATED = "unrated"
NO_SET = "None is left built, since none saves a joint in any scene, or none fits and may be carried"
_LOADS = "#rated closed, {force}|#rated mid, {force}|#rated open, {force}"


def short(result: StageResult, _: Told) -> Short:
    """The sets and where they lie, each scene with its joints, and the holes between the sets."""
    say, one = Say.of(result), result.staging
    alike: dict[str, list[str]] = {}
    for ready in result.sets:
        said = f"{say.stack(ready.assembly.parts)}, {say.ends(ready.assembly)}; lies in {_lies(ready, say)[1]}"
        alike.setdefault(f"{said}; {ready.carry} to carry", []).append(ready.name)
    sets = tuple(Line(f"Set {', '.join(names)}", said) for said, names in alike.items())
    scenes = tuple(_scene_line(scene) for scene in one.scenes) if one else ()
    holes = tuple(say.blind(span) for span in one.holes) if one else ()
    gaps = (Line("No set for", "; ".join(holes)),) if holes else ()
    left = [f"{on.rig}: {say.pieces(on.pieces)}" for on in one.loose_on] or [say.pieces(one.loose)] if one else []
    ties = sum((Counter(dict(ready.ties)) for ready in one.sets), Counter()) if one else Counter()
    allotted = (Line("With sets", f"{say.pieces(ties.items())}, allotted to hold them"),) if ties else ()
    return (
        shortly.head(shortly.title("stage", result), result.basis), Part((Line("Sets", in_short(result)),)),
        Part(sets, "sets"), Part(gaps), Part(scenes, "scenes"),
        Part((*(Line("Left loose", said) for said in left), *allotted)), shortly.unknown(result.basis.unknown),
    )  # fmt: skip


def _scene_line(one: SceneStaged) -> Line:
    served = one.served
    built = sum(strut.as_built for strut in one.struts)
    text = f"{served.title or served.scene}: {had(served)}, {built} as built"
    text += f", {counted(one.joints, 'joint')} to make or break{besides(served)}"
    return shortly.verdict(served.verdict, text)


def several(results: Sequence[StageResult], _: Told) -> Short:
    """A line for each of several caches, with the worst verdict of its scenes."""
    scenes = [(one, one.staging.scenes if one.staging else ()) for one in results]
    said = ((one, worst_of(scene.served.verdict for scene in of)) for one, of in scenes)
    return (Part(tuple(shortly.verdict(worst, f"{shortly.rig(one)}: {in_short(one)}") for one, worst in said), "sets"),)


def in_short(result: StageResult) -> str:
    """The one line that is read if no other is."""
    if (one := result.staging) is None:
        return "No needs file was given, so no scene was asked: the matched sets that the cache can make."
    met = met_of((scene.served for scene in one.scenes), "scenes met")
    joints = sum(scene.joints for scene in one.scenes)
    off = listed(Say.of(result).all_names(one.unweighed))
    kept_off = f" Nothing with {off} is left built, since its weight is not known." if one.unweighed else ""
    if not one.unproven and not any(scene.struts for scene in one.scenes):
        return f"None is left built, since no strut stands in any scene; {met}.{kept_off}"
    sets = f"{counted(len(one.sets), 'ready set')} of at most {result.most_sets}"
    return (
        f"{sets if one.sets else NO_SET}; {met}; {counted(joints, 'joint')} to make or break in all scenes "
        f"(weighted {one.weighted_joints}), {proof(one)}{kept_off}"
    )


def proof(one: Staging) -> str:
    """What is proven of the sets, and what is not, and why."""
    fewest = "proven the fewest"
    if one.weighted_joints > one.bound:
        fewest = f"not proven the fewest: no choice of sets needs fewer than {one.bound} weighted"
    best = f" NOT PROVEN THE BEST: {one.unproven}." if one.unproven else ""
    return f"{fewest} in the order listed and one way up for each.{best}"


def _the_sets(result: StageResult, say: Say) -> Iterator[Block]:
    yield in_short(result) if result.staging else "The largest matched set, each where it would lie by itself."
    rows = [(one.name, *cells.stack(one.assembly, say, UNKNOWN), one.carry) for one in result.sets]
    if rows:
        yield say.table(f"set|{cells.STACK}|carried by", rows)
        carry = " No carry weight is ruled."
        if result.one_person is not None and result.two_persons is not None:
            one, two = say.weight(result.one_person, "down"), say.weight(result.two_persons, "down")
            carry = f" One person carries at most {one}, two carry at most {two}; a heavier set is not left built."
        yield f"Weight is with loose pins, without straps or chains.{carry}"
    elif not result.staging:
        yield "None: no strut stands."


def _where(result: StageResult, say: Say) -> Iterator[Block]:
    sets = result.sets
    yield say.table("set|lies in|#to spare, {length}|straps or chains|" + _LOADS, (_lies(one, say) for one in sets))
    unchecked = dict.fromkeys((one.stowed.compartment, what) for one in sets for what in one.stowed.unchecked)
    if unchecked:
        yield Points("Not checked:", tuple(f"{place or 'stowage'}: {what}" for place, what in unchecked))


def _where_rows(result: StageResult, say: Say) -> Rows:
    for one in result.sets:
        lies = one.stowed
        place = (lies.compartment, lies.rig, cells.yes(lies.diagonal)) if lies.compartment else (None, None, None)
        spare = say.bare_length(lies.spare_length, "down") if lies.compartment else None
        ties = " + ".join(say.name(part) for part, _ in one.ties), sum(number for _, number in one.ties)
        loads = (cells.down(load, say) for load in _loads(one))
        yield one.name, *place, spare, one.carry, *ties, one.ties_wanted, *loads


def _lies(one: ReadySetPlan, say: Say) -> tuple[str, ...]:
    across = ", on the diagonal" if one.stowed.diagonal else ""
    where = f"{one.stowed.compartment} of {one.stowed.rig}{across}" if one.stowed.compartment else "a place not stated"
    spare = say.bare_length(one.stowed.spare_length, "down") if one.stowed.compartment else UNKNOWN
    untied = f"none left of the {one.ties_wanted} it wants" if one.ties_wanted else "its base cannot be held"
    ties = say.pieces(one.ties) if one.ties else untied
    return (one.name, where, spare, ties, *(cells.down(load, say) or UNRATED for load in _loads(one)))


def _loads(one: ReadySetPlan) -> list[Fraction | None]:
    """What it is rated closed, mid and open; mid is unrated where it is at any length between."""
    loads = [load for _, load in one.rated]
    middle = (one.assembly.closed + one.assembly.open) // 2
    mid = None if None in loads[1:-1] else next(load for length, load in one.rated if length >= middle)
    return [loads[0], mid, loads[-1]]


def _scenes(one: Staging, say: Say) -> Iterator[Block]:
    yield (
        "Each scene uses the sets and the loose pieces afresh. A joint made or broken counts one; straps and locking "
        "are extra. Margin is how far off the asked lengths may be before the strut no longer fits."
    )
    rows = ((*_counts(scene)[:4], served_met(scene.served), *_counts(scene)[4:]) for scene in one.scenes)
    yield say.table("scene|#weight|#wanted|#served|scene|#as built|#joints on scene", rows)
    yield from (_scene(scene, say) for scene in one.scenes)


def _counts(scene: SceneStaged) -> tuple[Cell, ...]:
    one, built = scene.served, sum(strut.as_built for strut in scene.struts)
    return one.title or one.scene, one.weight, one.wanted, one.served, built, scene.joints


def _scene(scene: SceneStaged, say: Say) -> Points:
    held = f", held by {say.pieces(scene.ties)}" if scene.ties else ""
    lead = f"{scene.served.title or scene.served.scene}, {counted(scene.joints, 'joint')} made or broken{held}:"
    order = "; ".join(steps(scene.steps, say))
    items = [*beside_struts(scene.served), *([f"in this order: {order}"] if order else [])]
    struts = (
        f"{one.name} for {one.need}: {parts}{whence(one, say)}, margin {say.length(one.margin, 'down')}"
        for one in scene.struts
        for parts in ("" if one.as_built else f"{say.stack(one.assembly.parts)} from ",)
    )
    return Points(lead, (*struts, *items) or ("nothing can be served",))


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


def _loose(one: Staging, say: Say) -> tuple[Block]:
    rows = _loose_rows(one, say, "")
    return (say.table("on|part|#loose", rows) if one.loose_on else say.table("part|#loose", (r[1:] for r in rows)),)


def _loose_rows(one: Staging, say: Say, rig: str) -> Rows:
    rigs = one.loose_on or (FromRig(rig, one.loose),)
    return ((on.rig, say.name(part), number) for on in rigs for part, number in on.pieces)


def _turns(one: Staging, say: Say) -> Iterator[Block]:
    alike = grouped((ready.assembly, ready) for ready in one.sets).values()
    yield "What loose pieces make of each set by itself, where it reaches lengths that the set does not:"
    named = ((sets[0], ", ".join(one.name for one in sets)) for sets in alike)
    yield say.table(TURNS, (row for ready, names in named for row in _turned(ready, names, say)))


def _turned(ready: ReadySetPlan, name: str, say: Say) -> Rows:
    return ((name, *cells.stack(other, say)[:3], broken, made) for other, broken, made in ready.turns_into)


def _holes(one: Staging, say: Say) -> tuple[Points]:
    none = "None: between the shortest and the longest set every length that the loose cache has is there."
    none = none if one.sets else "No set is left built, so no length lies between two."
    lead = "Lengths that no ready set covers and the loose cache does:" if one.holes else none
    return (Points(lead, tuple(say.blind(span) for span in one.holes)),)


def _topic(
    heading: str, says: Callable[[Staging, Say], Iterable[Block]], heads: str, rows: Callable[..., Rows]
) -> Topic:
    return Topic(heading, lambda one, say: says(one.staging, say) if one.staging else ("No needs file was given.",),
                 heads, lambda one, say: rows(one.staging, say, one) if one.staging else ())  # fmt: skip


SCENES = "scene|#weight|#wanted|#served|#as built|#joints on scene|verdict|verdict with one missing"
TURNS = f"set|turns into|{cells.ENDS}|#joints broken|#joints made"
WHERE = "set|lies in|of rig|on the diagonal|#to spare, {length}|carried by|straps or chains|#of them|#of them wanted"
TABLE = "sets"
SECTIONS: dict[str, Topic] = {
    "sets": Topic("Ready sets", _the_sets, f"set|{cells.STACK}",
                  lambda one, say: ((each.name, *cells.stack(each.assembly, say)) for each in one.sets)),
    "where": Topic("Where they lie", _where, f"{WHERE}|{_LOADS}", _where_rows),
    "scenes": _topic("On scene", _scenes, SCENES,
                     lambda one, *_: ((*_counts(s), *cells.verdicts(s.served)) for s in one.scenes)),
    "loose": _topic("What is left loose", _loose, "on|part|#loose",
                    lambda one, say, of: _loose_rows(one, say, of.basis.rigs[0])),
    "turns": _topic("What each set turns into", _turns, TURNS,
                    lambda one, say, _: (row for ready in one.sets for row in _turned(ready, ready.name, say))),
    "holes": _topic(
        "Holes between ready sets", _holes, "#over, {length}|#under, {length}",
        lambda one, say, _: ((say.bare_length(low, "down"), say.bare_length(high, "up")) for low, high in one.holes),
    ),
    "matched": MATCHED,
    **ENDING,
}  # fmt: skip
