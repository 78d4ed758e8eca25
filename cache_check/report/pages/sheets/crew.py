"""The crew page: the finder, scenes a side each, sets part by part, what is reached, how many at once, what joins."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import zip_longest

from cache_check.model.card import CardResult, SceneShown, SetShown
from cache_check.model.staging import StrutOnScene
from cache_check.report import basis, lengths, of_stage, tally
from cache_check.report.answer import Told
from cache_check.report.figures import canvas, joint_graph, reach_chart, sets_to_scale
from cache_check.report.page import Block, Cell, Points, Table, short, table
from cache_check.report.pages import finder
from cache_check.report.pages.sheets import door
from cache_check.report.pages.shell import Figure, Part, Sheet, rests_on
from cache_check.report.say import UNKNOWN, Say, counted, listed
from cache_check.units import Rounding

KIND, NAME, ORDER, OF = "crew", "Crew page", 30, "crews"
MOST_DRAWN = 12
DO_NOT_USE = "DO NOT USE"
LINEAR = ("fitting", "body", "extension", "adapter")


def sheet(card: CardResult, told: Told, key: str) -> Sheet:
    """The page of one cache; ``key`` begins the ids of what stands on it.  Nothing is left out of its lists."""
    say = Say.of(card)
    at_once = replace(card, profiles=tuple(one for one in card.profiles if one.step != "buildable"))
    parts = (finder.part(card, say, f"{key}-finder"), *_scenes(card, say), *_sets(card, say, key),
             Part("Straps and chains", (door.straps(card, say),)),
             Part("What stays loose", (f"Usable and in no set: {say.pieces(card.loose)}.",)),
             Part("Whom to call for the next strut", tuple(door.helpers(card.helpers))))  # fmt: skip
    annex = (*_reach(card, say, key),
             Part("How many at once, by length", tuple(lengths.profiles(at_once, say)), "wide"),
             Part("Which parts join", tuple(_joins(card, say, key))), rests_on(card.basis, told))  # fmt: skip
    title = f"{short(card.title, 60)}: what it builds"
    return Sheet("crew", title, basis.head(card.basis), parts, of=card.name, annex=annex)


def _scenes(card: CardResult, say: Say) -> Iterator[Part]:
    if card.scenes_untold:
        yield Part("Scenes", (f"NOT TOLD with the sets of this page: {card.scenes_untold}.",))
    for one in card.scenes:
        served = one.staged.served
        title = short(served.title or served.scene, 60)
        beside = tally.beside(served.missing)
        yield Part(f"{served.verdict.upper()}: {title}{beside}", tuple(_scene(one, card, say)), "scene")


def _scene(one: SceneShown, card: CardResult, say: Say) -> Iterator[Block]:
    staged, served = one.staged, one.staged.served
    proposed = "" if all(ready.built for ready in card.sets) else " The sets are PROPOSED, not built."
    built = sum(strut.as_built for strut in staged.struts)
    made = f"{built} as built, {counted(staged.joints, 'joint')} to make or break"
    lost = f" One missing: {served.missing.why}." if served.missing and served.missing.why else ""
    unfit = [short(ready.name, 24) for ready in card.sets if not ready.usable]
    told = f" Sound pieces of set {listed(unfit, 'and')}, not to be used as it lies, count as loose."
    all_but = f"{served.served} of {served.wanted} struts{tally.but_for(served.links)}"
    yield f"{all_but}; {made}.{lost}{proposed}{told * bool(unfit)}"
    if said := tally.beside_struts(served):
        yield Points("They take along:" if served.met else "In the way, not known, or to take along:", said)
    yield _asked(one, card, say)
    if staged.struts:
        yield _struts(staged.struts, card, say)
    if staged.steps:
        yield Points("In this order:", of_stage.steps(staged.steps, say))
    some = [rig for rig in one.brings if rig.number]
    if len(some) == 1:
        yield f"All of it is of {some[0].rig}."
    elif some:
        yield Points("Who brings what:", tuple(f"{rig.rig}: {say.pieces(rig.pieces)}" for rig in some))


def _asked(one: SceneShown, card: CardResult, say: Say) -> Table:
    served = {need: number for need, _, number in one.staged.served.needs}
    bases = ("; ".join(_out(*out, card, say) for out in outs) or "no angle is ruled" for outs in one.outs)
    rows = (
        (need.need, need.wanted, served.get(need.need, 0), need.step,
         say.asked(need.shortest, need.longest, need.contact), base if served.get(need.need) else "none stands",
         say.load_asked(need, need.factor))
        for need, base in zip(one.asked, bases, strict=True)
    )  # fmt: skip
    return say.table("for|#wanted|#there|step|length, {length}|base out, {length}|load each, {force}", rows)


def _out(angle: Fraction, shortest: int, longest: int, card: CardResult, say: Say) -> str:
    """How far out, never flatter than the flattest angle of the page nor steeper than the steepest."""
    ruled = card.angles_deg
    toward: Rounding = "down" if angle == min(ruled, default=None) else "up" if angle in ruled else "nearest"
    ends = dict.fromkeys(say.bare_length(length, toward) for length in (shortest, longest))
    return f"{' to '.join(ends)} at {float(angle):g}°"


def _struts(struts: tuple[StrutOnScene, ...], card: CardResult, say: Say) -> Table:
    alike: dict[tuple[str, ...], list[str]] = {}
    for one in struts:
        held = door.held_by(one.ties, one.assembly.ground, card, say)
        row = (one.need, of_stage.whence(one, say), say.stack(one.assembly.parts), held)
        alike.setdefault(row, []).append(one.name.removeprefix("strut "))
    rows = ((", ".join(names), *row) for row, names in alike.items())
    return say.table("strut|for|each taken from|parts, ground to load|each held by", rows)


def _sets(card: CardResult, say: Say, key: str) -> Iterator[Part]:
    if not card.sets:
        yield Part("Ready sets", (*card.unbuilt, "None built and none proposed: every strut is built on scene."))
        return
    proposed = "PROPOSED ONLY: no ready set is known to be built. Look before you count on one of these."
    at = basis.at_factor(card.basis, card.factor, marked=card.marked)
    rated = (
        f"Rated along the strut {at}, at or under each length, over the one before it; a strut by itself, its straps "
        f"not. Step of each set: assembled at once; restrained only where it says held by. {sets_to_scale.KEY}"
    )
    built, across = all(one.built for one in card.sets), Points("About several sets:", card.across)
    yield Part("Ready sets", (*card.unbuilt, *[proposed] * (not built), rated, *[across] * bool(card.across)))
    scale = sets_to_scale.longest(card.sets)
    for number, one in enumerate(card.sets, 1):
        drawn = _drawing(one, card, say, f"{key}-set-{number}", scale) if number <= MOST_DRAWN else None
        unfit = "" if one.usable else f": {DO_NOT_USE}"
        yield Part(f"Set {short(one.name, 60)}{unfit}", tuple(_set(one, card, say, drawn)), "half")


def _drawing(one: SetShown, card: CardResult, say: Say, key: str, scale: int) -> Figure | None:
    if not sets_to_scale.stack(one, card.pieces):
        return None
    title = f"Set {short(one.name, 24)} part by part, closed and open"
    svg = canvas.inline(sets_to_scale.draw((one,), card.pieces, say, scale), title, key)
    order = ", then ".join(f"{n} {short(say.name(part), 40)}" for n, part in enumerate(one.parts, 1))
    return Figure(svg, f"Put together from the ground up: {order}. All sets are drawn to one scale.")


def _set(one: SetShown, card: CardResult, say: Say, drawn: Figure | None) -> Iterator[Block | Figure]:
    if not one.usable:
        yield Points(f"{DO_NOT_USE} as it lies:", one.unfit or ("it is no legal strut",))
    if drawn is not None:
        yield drawn
    if card.across:
        yield "NOT ALL SETS AT ONCE: what is said about several sets, before the first one, comes first."
    yield _parts(one, card, say)
    place = " of ".join(part for part in (one.where, one.rig) if part) or UNKNOWN
    serials = f", serials {', '.join(one.serials)}" if one.serials else ""
    lies = f"{one.name} {'lies' if one.built else 'would lie'} in: {place}{serials}"
    yield Points(lies, tuple(_facts(one, card, say)))


def _parts(one: SetShown, card: CardResult, say: Say) -> Table:
    by_part = {piece.part: piece for piece in card.pieces}
    rows: list[tuple[Cell, ...]] = []
    for number, (part, joint) in enumerate(zip_longest(one.parts, one.joints), 1):
        long, piece = UNKNOWN, by_part.get(part)
        if piece is not None:
            long = say.bare_length(piece.closed, "up")
            long += "" if piece.closed == piece.open else f" to {say.bare_length(piece.open, 'down')}"
        pins = UNKNOWN if joint is None else f"{joint.pins} x {say.name(joint.pin)}" if joint.pins else "no loose pin"
        rows.append((number, say.name(part), long, "touches the load" if number == len(one.parts) else pins))
    return say.table("#order|part|#length, {length}|joint to the next part", rows)


def _facts(one: SetShown, card: CardResult, say: Say) -> Iterator[str]:
    if not one.usable or one.assembly is None:
        return
    weight = f"weight {say.weight(one.assembly.mass)} with loose pins, without straps; carried by: {one.carry}"
    yield f"{say.ends(one.assembly)}; {weight}"
    rated = (
        f"to {say.length(length, 'down' if load else 'up')} {say.down(load) if load else 'UNRATED'}"
        for length, load in one.rated
    )
    yield f"rated: {'; '.join(rated)}"
    wants = f"; it wants {one.ties_wanted}" if one.ties_wanted else ""
    step = " (step restrained)" if card.ties_per_base else ""
    yield f"held by: {door.held(one, card, say)}{step if one.ties else wants}"


def _reach(card: CardResult, say: Say, key: str) -> Iterator[Part]:
    lead, *blocks = lengths.reach(card, say)
    if not card.reach.count:
        yield Part("Reach", (lead,))
        return
    bars = reach_chart.rows(card.reach, say)
    title = "Reach chart: the lengths that can be set, and how many struts at once by length"
    chart = reach_chart.draw(card.reach, card.profiles, say)
    yield Part("Reach", (lead, Figure(canvas.inline(chart, title, f"{key}-reach"), _chart_says(card, bars))))
    if bars.rows:
        rows = ((row.label, row.count, say.reachable(row.spans)) for row in bars.rows)
        blocks.append(table(f"a bar is {bars.each}|#assemblies|lengths it can be set to", rows))
    if bars.left_out:
        blocks.append(f"{bars.left_out} more bars are neither drawn nor listed; what they reach is in the whole.")
    if blocks:
        yield Part("Reach in figures", tuple(blocks))


def _chart_says(card: CardResult, bars: reach_chart.Rows) -> str:
    """What the drawing does not say itself; what is reached and where it is blind stand beside it in figures."""
    most = ", ".join(f"{one.step} {max((step.count for step in one.stretches), default=0)}" for one in card.profiles)
    return f"Each bar is {bars.each}. " * bool(bars.rows) + f"Under it, the most struts at any length: {most}."


def _joins(card: CardResult, say: Say, key: str) -> Iterator[Block | Figure]:
    graph = joint_graph.Graph(card.joins)
    if not graph.boxes:
        yield "No way leads from a base to a head."
        return
    title = "Joint graph: which usable parts join, from the ground at the left to the load at the right"
    yield Figure(canvas.inline(joint_graph.draw(card.joins, say), title, f"{key}-joins"), joint_graph.KEY)
    rows = []
    for box in graph.boxes:
        others = (one for one in graph.boxes if one is not box and graph.joined(box, one) is not None)
        nexts = (f"{joint_graph.PLACES[one.place]} {listed(say.all_names(one.parts), 'and')}" for one in others)
        names, among = ", ".join(say.all_names(box.parts)), "no" if box.among is None else "yes"
        rows.append((joint_graph.PLACES[box.place], names, among, "; ".join(nexts) or "the load"))
    if rows:
        yield table("place|parts that join alike|join each other|join next", rows)
    linear = (one.part for one in card.pieces if one.kind in LINEAR and one.usable)
    if idle := [part for part in linear if part not in graph.parts]:
        yield Points("Usable, and on no way from a base to a head:", say.all_names(idle))
