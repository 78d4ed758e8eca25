"""The tally and the scenes: how many struts on each step, why not more, and one way to build them."""

from collections.abc import Iterable, Iterator

from cache_check.errors import grouped
from cache_check.model.counting import STEPS, Packing, SceneAnswer, SceneServed, Step, Tally
from cache_check.model.result import CheckResult
from cache_check.model.verdict import OF_STATE, Link, State, Verdict, alike
from cache_check.report.cells import verdicts
from cache_check.report.page import NOT_ASKED, Block, Cell, Points, Rows, Table
from cache_check.report.say import Say, counted, listed, proven

SCENES = "scene|need|#wanted|#served at once|verdict of the scene|verdict with one missing"
UNRULED = "restraint not ruled"
BROUGHT = "scene|brought by|part|#pieces"
EACH_ALONE = "Each row is worked out by itself from the whole cache, so rows may not be added together."
UNCHECKED = (
    "A load is along the strut, shaking included; points, straps and hardware are checked against what its base pushes "
    "out at the angle stated, else at the worst allowed. Not checked: far ends and reach of straps, ground, what "
    "pre-tension moves and, if not stated, the contact. Upright loads ask for all of it, as `load` does. "
    "How many struts policy asks for on a class of vehicle only `load` looks at."
)


def tally(tallies: tuple[Tally, ...], say: Say, unchecked: str = UNCHECKED, linked: bool = True) -> Iterator[Block]:
    """A row per need or length, then why, what binds, one way; not ``linked``: links not known are said elsewhere."""
    if not tallies:
        yield "No length was asked and no assembly can be built: nothing to count."
        return
    same = [step for step in STEPS[:2] if len(tallies) > 1 and len({one.count(step) for one in tallies}) == 1]
    each = listed((f"{_count(tallies[0].count(step))} {step}" for step in same), "and")
    told = (EACH_ALONE, unchecked * any(one.load for one in tallies), f"For each: {each}." * bool(same))
    yield " ".join(filter(None, told))
    yield _table(tallies, say, [step for step in STEPS if step not in same])
    asked = (one.label if one.vertical is None else lead(one, say) for one in tallies)
    notes = grouped(zip((_note(one, say, linked) for one in tallies), asked, strict=True))
    lines = tuple(f"{listed(labels, 'and')}: {note}" for note, labels in notes.items())
    yield Points("What binds, the worst loss, and one way to build each:", lines)


def _table(tallies: tuple[Tally, ...], say: Say, steps: list[Step]) -> Table:
    needs = any(one.wanted is not None for one in tallies)
    loads = any(one.load is not None for one in tallies)
    factors = {one.factor for one in tallies if one.load is not None}
    same = factors.pop() if len(factors) == 1 else None
    heads = ["need"] * needs + ["length, {length}"] + ["load each, {force}" + say.at(same)] * loads
    heads += ["#wanted"] * needs + [f"#{step}" for step in steps] + ["met"] * needs
    rows: list[tuple[Cell, ...]] = []
    for one in tallies:
        load = say.load_asked(one, None if same else one.factor)
        asked = [one.label] * needs + [_asked(one, say)] + [load] * loads
        counts = {step: one.count(step) for step in steps}  # no rule says what restrained is: nobody knows how many are
        cells = ("not known" if (step, n) == ("restrained", None) else n for step, n in counts.items())
        rows.append((*asked, *[one.wanted] * needs, *cells, *[met(one)] * needs))
    return say.table("|".join(heads), rows)


def _asked(one: Tally, say: Say) -> str:
    """The length of a tally; of an upright load without its contact, that its steps are counted with any head."""
    whichever = "with any head, " * (one.vertical is not None and one.contact is None)
    return whichever + say.asked(one.shortest, one.longest, one.contact)


def _count(count: int | None) -> str:
    return NOT_ASKED if count is None else str(count)


def met(one: Tally) -> str:
    """The verdict on a need, in the words of the page."""
    if one.verdict is None or one.wanted is None:
        return NOT_ASKED
    return _verdict(one.verdict, one.wanted - one.best.count, one.missing) + but_for(one.links, " for want of")


def _verdict(said: Verdict, short: int, missing: Link | None) -> str:
    """A verdict, how many struts are short of it, and beside a met that it is not met with one missing."""
    if said == "not met":
        return f"NOT MET, {short} short" if short > 0 else "NOT MET"
    return f"{said.upper()}{beside(missing)}"


def served_met(one: SceneServed | SceneAnswer) -> str:
    """The verdict on a scene of a plan, or on one whose most is proven."""
    return _verdict(one.verdict, one.wanted - one.served, one.missing) + but_for(one.links, " for want of")


def had(one: SceneServed | SceneAnswer) -> str:
    """How many of its struts a scene has, and what all of them lack."""
    return f"{one.served} of {one.wanted}{but_for(one.links)}"


def but_for(links: Iterable[Link], says: str = " but for") -> str:
    """What all the struts that are wanted lack beside what they are counted by; "" where too few stand."""
    names = [one.name for one in links if one.state == "does not hold"]
    return f"{says} {listed(names, 'and')}" if names and not {"all at once", *STEPS} & {*names} else ""


def beside(missing: Link | None, *, why: bool = False) -> str:
    """What stands beside a met: that it is not met, or not known to be, with one missing."""
    if missing is None or missing.state == "holds":
        return ""
    return f"; one missing {OF_STATE[missing.state].upper()}" + (f": {missing.why}" if why else "")


def one_loss(missing: Link | None) -> str:
    """Why it is not met, or not known to be, with one missing; "" where it is."""
    return "" if missing is None or missing.state == "holds" else f"one missing: {missing.why}"


def besides(one: SceneServed | SceneAnswer) -> str:
    """What stands beside the verdict on a scene: what is not known or in the way, else what one missing makes of it."""
    if one.verdict == "met":
        return beside(one.missing, why=True)
    return "".join(f"; {text}" for text in (in_the_way(one.links, "unknown") or in_the_way(one.links[1:])))


def bracketed(missing: Link | None) -> str:
    """The same within a list."""
    said = beside(missing).removeprefix("; ")
    return f" ({said})" if said else ""


def met_of(each: Iterable[Tally | SceneServed | SceneAnswer], met_so: str) -> str:
    """How many are met, such as "scenes met"; how many of them are not with one missing, how many others not known."""
    all_, met = len(asked := tuple(each)), [one for one in asked if one.verdict == "met"]
    unknown, frail = sum(one.verdict == "not known" for one in asked), sum(bool(beside(one.missing)) for one in met)
    said = [f"{frail} of them not with one missing"] * bool(frail)
    said += [f"{counted(unknown, 'other')} not known"] * bool(unknown)
    return f"{len(met)} of {all_} {met_so}" + f" ({'; '.join(said)})" * bool(said)


def open_links(links: Iterable[Link]) -> tuple[str, ...]:
    """What keeps a verdict from met: what is not known, why, and who could tell; what binds says the rest."""
    return tuple(f"not known: {text}" for text in in_the_way(links, "unknown"))


def in_the_way(links: Iterable[Link], state: State = "does not hold") -> tuple[str, ...]:
    """Links in a state, each with why and who could tell; an unknown one that nobody could tell but counts the rest."""
    found = [one for one in links if one.state == state]
    found = [one for one in found if one.ask or state != "unknown"] or found
    return tuple(f"{one.name}: {one.why}" + f" ({one.ask})" * bool(one.ask) for one in alike(found))


def beside_struts(one: SceneServed | SceneAnswer) -> tuple[str, ...]:
    """What is told of a scene beside its struts: what is not known or in the way, and what they take along."""
    more = one.links[1:]
    return *open_links(one.links), *in_the_way(more), *in_the_way(more, "holds")


def _note(one: Tally, say: Say, linked: bool) -> str:
    """What its row does not say: why a step has none, what is not known, what one loss does, what binds, one way."""
    unsure = open_links(one.links) if linked else ()
    items = [f"{step} 0: {why}" for step, why in one.why_zero if not unsure or one.verdict == "not met"]
    items += [] if one.best.proven else [f"{one.asked_step}: {proven(one.best)}"]
    items += (*unsure, *in_the_way(link for link in one.links if link.ask)) if linked else ()
    items.append(one_loss(one.missing))
    if not items[-1] and one.lost:
        lost = listed(say.all_names(one.lost))
        items.append(f"1 {lost} missing leaves {_count(one.count('one missing'))} {one.asked_step}")
    return "; ".join(filter(None, [*items, say.wants(one.binding), _way(one.best, say)]))


def lead(one: Tally, say: Say) -> str:
    """What a tally was asked, in one line."""
    length = f"{_asked(one, say)} {say.length_unit}"
    said = length if one.wanted is None else f"{one.label}, {length}"
    if one.load is None:
        return said
    steep = " at any angle allowed" if one.best.ties else ""
    if one.angle_deg is not None:
        steep = f" at {float(one.angle_deg):g} deg"
    if one.vertical is not None:
        height = say.length(one.height or 0, "nearest")
        return f"{said}, {say.up(one.vertical)} upright on each at {height} and{steep[3:]}{say.at(one.factor)}"
    return f"{said}, {say.up(one.load)} along each strut{steep}{say.at(one.factor)}"


def _way(packing: Packing, say: Say) -> str:
    return f"one way: {say.way(packing)}" if packing.assemblies else ""


def scenes(result: CheckResult, say: Say) -> Iterator[Block]:
    """All needs of a scene at once, each piece counted once."""
    if not result.scenes:
        yield "No needs file was given, so no scene was asked."
        return
    yield "All needs of one scene at once, each piece counted once. Scenes are alternatives."
    rows = ((one.title or one.scene, *need, scene_met(one)) for one in result.scenes for need in one.by_need)
    yield say.table("scene|need|#wanted|#served at once|scene", rows)
    yield Points("What binds, and one way to build each:", tuple(_scene_note(one, say) for one in result.scenes))


def scene_rows(result: CheckResult, _: Say) -> Rows:
    """The needs of each scene as data, under ``SCENES``."""
    for one in result.scenes:
        yield from ((one.title or one.scene, *need, *verdicts(one)) for need in one.by_need)


def scene_met(one: SceneAnswer) -> str:
    """The verdict on a whole scene; where the most is not proven, how short it is at least and at most."""
    if one.served < min(one.wanted, one.bound):
        least, most = max(0, one.wanted - one.bound), one.wanted - one.served
        return f"{one.verdict.upper()}, {least} to {most} short (not proven)"
    return served_met(one)


def _scene_note(one: SceneAnswer, say: Say) -> str:
    said = [] if one.served == one.bound else [f"at least {one.served}, at most {one.bound} (not proven)"]
    said += [one_loss(one.missing), *beside_struts(one), *([say.wants(one.binding)] if one.served < one.wanted else [])]
    return f"{one.title or one.scene}: {'; '.join(filter(None, [*said, _way(one.packing, say)])) or 'nothing'}"


def brings(result: CheckResult, say: Say) -> Iterator[Block]:
    """Which pieces of each scene's struts each rig of a pool brings, and its share of them."""
    if not any(one.brings for one in result.scenes):
        yield "One rig, or no scene: there is nothing to share."
        return
    yield (
        "Whose pieces the struts of a scene take, pins, straps, hardware and pads among them. One choice of several: "
        "the rig named first brings all that it has; bases with the most attachment points come first, from any rig."
    )
    every = {one.title or one.scene: sum(rig.number for rig in one.brings) for one in result.scenes}
    share = {(one.title or one.scene, rig.rig): rig.number for one in result.scenes for rig in one.brings}
    rows = ((*row, f"{share[row[:2]]} of {every[row[0]]}") for row in brought(result, say))
    yield say.table(f"{BROUGHT}|of the scene's pieces", rows)


def brought(result: CheckResult, say: Say) -> Iterator[tuple[str, str, str, int]]:
    """The pieces that each rig brings to each scene, under ``BROUGHT``."""
    for one in result.scenes:
        for rig in one.brings:
            yield from ((one.title or one.scene, rig.rig, say.name(part), number) for part, number in rig.pieces)
