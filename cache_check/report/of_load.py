"""The answer of ``load``: what to set, what it carries, what holds it; then how that was found."""

from collections.abc import Iterator, Sequence

from cache_check.errors import grouped
from cache_check.model.load import Carrier, LoadResult
from cache_check.model.verdict import LinkCheck
from cache_check.report import cells, load_builds, load_forces, shortly, tally
from cache_check.report.answer import ENDING, FINDINGS, Told, Topic
from cache_check.report.page import NOT_COUNTED, Block, Line, Part, Points, Short, caution
from cache_check.report.say import Say, listed, percent


def short(result: LoadResult, told: Told) -> Short:
    """The verdict, what a crew does with its hands, what to put right, and what was assumed or is not known."""
    say = Say.of(result)
    unmet = not_so(result)
    set_so = tuple(Line("Instead" if unmet else label, text) for label, _, text in _do(result, say))
    held = [link for link in result.links if link.state == "does not hold" and link.of != "number"]
    why = tuple(Line("Why not", said(link), "not met") for link in held)
    taken = [("Assumed", result.assumed), ("Unchecked", result.unchecked)]
    unsure = (link for link in result.links if link.state == "unknown")
    # How many struts follows from the rest, but not what policy asks for.
    asks = grouped((one.ask, _briefly(one)) for one in unsure if one.of != "number" or one.kind == "strut_count")
    unknown = [f"{ask} ({', '.join(dict.fromkeys(names))})" for ask, names in asks.items()]
    passes = load_builds.passing(result, say)[:3] if result.forces is None else ()
    most = [Line("Passes", f"{result.tally.wanted or 1} at once: {text}") for text in passes]
    return (shortly.head(shortly.title("load", result), result.basis),
            Part((shortly.verdict(result.verdict, reasons(result)),)), Part(why, "set"), Part(set_so, "set"),
            Part(tuple(most), "largest"),
            shortly.todo(result.findings, told.rules, say),
            Part(tuple(Line(label, "; ".join(texts)) for label, texts in taken if texts)),
            shortly.unknown([*unknown, *result.basis.unknown]))  # fmt: skip


def several(results: Sequence[LoadResult], _: Told) -> Short:
    """A line for each of several caches."""
    lines = tuple(shortly.verdict(one.verdict, f"{shortly.rig(one)}: {reasons(one)}") for one in results)
    return (Part((Line("", results[0].situation.title or "One situation", wide=True),)), Part(lines, "set"))


def counted(result: LoadResult) -> str:
    """The line of the caution that says whether friction and pre-tension are counted."""
    counts = result.slip.counted
    if not counts and result.push is None:
        return NOT_COUNTED
    friction = f"counted at a coefficient of {float(counts):g}, as policy says" if counts else "not counted"
    tight = "counted on top of the load" if result.push is not None else "not counted"
    return f"Friction under the base is {friction}. Pre-tension of straps is {tight}."


def in_short(result: LoadResult) -> str:
    """The verdict, in the one line that is read if no other is."""
    return f"{result.verdict.upper()}: {reasons(result)}"


def reasons(result: LoadResult) -> str:
    """Which links keep it from being met (not the number, which follows), struts on each step, friction that counts."""
    one, state = result.tally, {"not met": "does not hold", "not known": "unknown"}.get(result.verdict)
    broken = [link for link in result.links if link.state == state]
    names = ", ".join(dict.fromkeys(map(_briefly, [link for link in broken if link.link != "number"] or broken)))
    broken_by = f"{state}: {names}. " if names else ""
    beside = tally.beside(one.missing, why=True)
    unsure = one.load is not None and {x.state for x in result.links if x.of != "number"} == {"holds", "unknown"}
    known = {"rated": "known to be " * unsure}
    counts = one.counts[3 : -1 if beside or unsure else None]
    steps = ", ".join(f"{n} {known.get(step, '')}{step}" for step, n in counts if n is not None)
    at = "at this length" + ", with any head," * (result.situation.contact is None)
    rubs = f"; friction of {float(result.slip.counted):g} under each base counted, as policy says"
    return f"{broken_by}{one.wanted or 1} wanted; {at} {steps}{beside}{rubs * bool(result.slip.counted)}."


def _briefly(link: LinkCheck) -> str:
    return _of(link) if link.of == "number" else link.of


def _of(link: LinkCheck) -> str:
    of = "how many struts" if link.link == "number" else link.link if link.of == "number" else link.of
    return of if link.of in ("number", link.link) else f"{of} ({link.link})"


def said(link: LinkCheck) -> str:
    """A link in words: which, of what, why, and who could tell."""
    return _of(link) + f": {link.why}" * bool(link.why) + f" - {link.ask}" * bool(link.ask)


def _set(result: LoadResult, say: Say) -> Iterator[Block]:
    yield in_short(result)
    if broken := tuple(f"{link.state}: {said(link)}" for link in result.links if link.state != "holds"):
        yield Points("Links that keep it from being met:", broken)
    yield Points(lead(result), do(result, say))


def lead(result: LoadResult) -> str:
    """What stands over it."""
    once = " only once all of it is known" * (result.verdict != "met")
    return "Do not set it so:" if not_so(result) else f"Set it so{once}:"


def not_so(result: LoadResult) -> bool:
    """Whether nothing here is to be set so: it is not met, or no piece that counts reaches it."""
    return result.verdict == "not met" or not result.carriers


def do(result: LoadResult, say: Say) -> tuple[str, ...]:
    """How to set it; a strut that is not to be set is not told how, but what comes nearest."""
    return tuple(f"{what}{text}" for _, what, text in _do(result, say))


def _do(result: LoadResult, say: Say) -> Iterator[tuple[str, str, str]]:
    """The same by a label of its own, what stands before it in a list, and what is to be done."""
    if not_so(result):
        yield "Instead", "", _instead(result, say)
        return
    shape, one = result.geometry, result.situation
    way = "lower" if one.ground_drop > 0 else "higher"
    so = "Set it so" if result.verdict == "met" else "Once known"
    drop = f", ground at the base {say.length(abs(one.ground_drop), 'up')} {way}" if one.ground_drop else ""
    yield so, "", (
        f"strut {say.length(shape.length, 'nearest')} long between its seats, at {say.angle(shape.angle_deg)} from the "
        f"horizontal; base {say.length(shape.offset, 'nearest')} out from under the contact, which is "
        f"{say.length(one.contact_height, 'nearest')} up{drop}"
    )  # fmt: skip
    if result.forces is not None:
        yield so, "", (
            f"load along the strut {say.up(result.tally.load or result.forces.axial_checked)}; its base pushes "
            f"{say.up(max(result.forces.thrust, result.forces.thrust_checked))} out along the ground"
        )  # fmt: skip
    best, ground = result.carriers[0], result.ground
    yield "Build", "build: ", f"{say.stack(best.assembly.parts)}{_rated(best, result, say)}"
    yield "Hold", "hold: ", _hold(best, result, say)
    yield from _unlike(result, say)
    if ground is not None and ground.soil is None:
        why = "is not known" if "soil" in one.unknown else "was not given"
        yield "Ground", "ground: ", f"what it bears {why}, so whether it holds the base is unknown"
    elif ground is not None:
        yield "Under it", "under each base: ", f"it stands {ground.on}"


def _instead(result: LoadResult, say: Say) -> str:
    if not result.carriers:
        near = " or ".join(load_builds.near(one, say) for one in result.near)
        none = "no assembly of the pieces that count can be set here"
        return f"ask again of {near}, the nearest that can be set" if near else none
    one, why = result.tally, ""
    if not result.carriers[0].broken:
        fail = {link.link for link in result.links if link.of == "number" and link.state == "does not hold"}
        few = f"there are too few: {say.wants(one.binding)}" if "number" in fail else f"all lack: {listed(fail)}"
        few = f"it holds by itself, and {few}"
        why = f": {few if one.best.count or not one.why_zero else one.why_zero[-1][1]}"
    return f"{say.stack(result.carriers[0].assembly.parts)} comes nearest{why}"


def _rated(best: Carrier, result: LoadResult, say: Say) -> str:
    at = load_builds.at_factor([best], result.basis)
    rated = f", rated {say.down(best.rated)}{at} at this length" if best.rated is not None else ""
    spare = f"; {percent(best.margin)} to spare, {best.governing.link} governs" if best.margin is not None else ""
    return f"{rated}{spare}"


def _hold(best: Carrier, result: LoadResult, say: Say) -> str:
    if (way := best.way) is None:
        return "nothing holds its base"
    pull = f", {say.up(way.tension)} in the tightest" if result.forces is not None else ""
    pull += f", rated {say.down(way.rated)}" if way.rated is not None else ""
    each = f"{way.per_base} x {say.name(way.part)} on each base ({load_forces.runs(way, say)}){pull}"
    return f"{each}; {way.per_base * (result.tally.wanted or 1)} in all, {way.usable} usable"


def _unlike(result: LoadResult, say: Say) -> Iterator[tuple[str, str, str]]:
    """How all stand at once, where so many cannot be built or held like the first, with what the worst has to spare."""
    if not result.alike and (all_of := result.tally.best).count >= (result.tally.wanted or 1):
        spare = result.thinnest.margin if result.thinnest else None
        worst = "" if spare is None else f"; {percent(spare)} to spare on the worst of them"
        yield "At once", "at once: ", f"not all alike: {say.way(all_of)}{worst}"


TABLE = "builds"
SECTIONS: dict[str, Topic] = {
    "set": Topic("In short", _set),
    "situation": Topic("The situation", load_forces.situation),
    "forces": Topic("Forces on one strut", load_forces.forces, "on one strut|#{force}",
                    lambda one, say: (row[:2] for row in load_forces.on_one(one, say))),
    "straps": Topic("Straps or chain", load_forces.straps, load_forces.STRAPS, load_forces.strap_rows),
    "builds": Topic(lambda one, say: f"Assemblies at {say.length(one.geometry.length, 'nearest')}",
                    load_builds.builds, load_builds.BUILDS, load_builds.rows),
    "steps": Topic("Struts on each step", lambda one, say: tally.tally((one.tally,), say, "", linked=False),
                   cells.TALLIES, lambda one, say: cells.tallies((one.tally,), say)),
    "thumb": Topic("Rule of thumb beside statics", load_forces.thumb, load_forces.THUMB, load_forces.thumb_rows),
    "ground": Topic("Ground", load_builds.ground),
    "largest": Topic("The other way round", load_builds.largest),
    "friction": Topic("Friction, for information", load_forces.friction),
    "ticks": Topic("To look at and tick",
                   lambda one, _: ("".join(f"[ ] {each}. " for each in one.ticks) + load_forces.PRACTICE,)),
    "findings": FINDINGS,
    **ENDING,
    "caution": Topic("Caution", lambda one, _: caution(counted(one))),
}  # fmt: skip
