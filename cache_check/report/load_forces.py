"""The situation as understood, the forces on one strut, its straps, and the trade's short cuts beside the statics."""

from collections.abc import Iterator
from fractions import Fraction
from math import ceil

from cache_check.model.load import Comparison, Governs, LoadResult, StrapLine, TieWay
from cache_check.model.situation import Situation
from cache_check.report import cells
from cache_check.report.page import Block, Points, Rows, Table
from cache_check.report.say import UNKNOWN, Say, counted

STRAPS = (
    "#strap|#in plan and left of the line, deg|#rise, deg|#to anchor, {length}|#pre-tension, {force}|#tension, {force}"
    "|#most, {force}"
)
THUMB = "what|#by practice, {force}|#by statics, {force}|#statics along the strut, {force}"
PRACTICE = "Common practice, no source."
GOVERNS: dict[Governs, str] = {
    "statics": "statics governs", "practice": "the trade's short cut governs",
    "least sideways": "the least sideways force governs",
}  # fmt: skip


def runs(way: TieWay, say: Say) -> str:
    """Where the ties of a base run, as they are given."""
    said = (f"{run.count} at {aside(run.plan_angle_deg, say)}" for run in way.runs)
    return ", ".join(said).replace(f"{say.angle(Fraction(0))} on the line", "the strut's line")


def situation(result: LoadResult, say: Say) -> Iterator[Block]:
    """What was given, what was assumed, what nobody knows."""
    one = result.situation
    yield Points("Given:", tuple(text for text in _given(one, say) if isinstance(text, str)))
    yield Points("Assumed:", result.assumed) if result.assumed else Points("Assumed: nothing.")
    if one.unknown:
        yield Points("Not known:", tuple(name.replace("_", " ") for name in one.unknown))
    if result.unchecked:
        yield Points("Not checked:", result.unchecked)


def _given(one: Situation, say: Say) -> Iterator[object]:
    """Where the strut stands, what pushes, what holds head and base; what is not text was not given."""
    yield f"contact {say.length(one.contact_height, 'nearest')} above the ground at the vehicle"
    drop, way = one.ground_drop, "lower" if one.ground_drop > 0 else "higher"
    yield drop and f"ground at the base {say.length(abs(drop), 'nearest')} {way}"
    steep = one.angle_from_vertical
    yield steep is not None and f"angle {say.angle(steep)} from the vertical"
    yield one.contact_x and f"contact {say.length(one.contact_x, 'nearest')} from the pivot toward the base"
    yield one.pivot_height and f"pivot {say.length(one.pivot_height, 'nearest')} above the ground at the vehicle"
    for what, force in (("vertical", one.vertical), ("weight", one.weight), ("force along one strut", one.axial)):
        yield force is not None and f"{what} {say.up(force)}"
    out, inside, apart, most = one.weight_outside, one.weight_inside, one.edges_apart, one.strut_limit
    lies = "its centre of gravity"
    yield out is not None and f"{lies} {say.length(out, 'up')} outside the edge, toward the struts"
    yield inside is not None and f"{lies} {say.length(inside, 'down')} inside the edge it would turn about"
    yield apart is not None and f"edges {say.length(apart, 'down')} apart"
    yield one.one_end_pivots and "one end of the vehicle pivots on the ground"
    yield one.state is not None and f"the vehicle is {one.state}"
    sideways, allowance = one.sideways_share, one.dynamic_allowance
    yield sideways is not None and f"{float(sideways):g} of the weight pushes to the side"
    yield allowance is not None and f"load times {float(allowance):g}"
    others = "not stated how many" if one.on_the_other_side is None else one.on_the_other_side
    yield one.struts > 1 and f"{one.sharing} on this side share the load, {others} on the other"
    rubs = one.friction
    yield rubs and f"friction of {float(rubs):g} under the base, said and not counted unless policy does"
    yield one.vehicle is not None and f"class of vehicle: {one.vehicle}"
    yield most is not None and f"no more than {say.down(most)} upright on one strut"
    away, far, soft, pad = one.anchor_distance, one.far_anchors, one.softest, one.pad
    each = ", the softest, taken under each base" * (len(one.soil) > 1)
    yield one.contact is not None and f"kind of contact: {one.contact}"
    yield {"none": "no straps, no chain", "straps": "straps only", "chains": "chain only"}.get(one.ties)
    yield away is not None and f"farthest anchor {say.length(away, 'up')} from the base"
    yield far is not None and f"far anchors: {far if isinstance(far, str) else f'{say.down(far)} each'}"
    yield soft is not None and f"presumptive bearing value of the ground {say.pressure(soft, 'down')}{each}"
    yield pad and f"pad {say.length(pad[0], 'down')} by {say.length(pad[-1], 'down')}"


def forces(result: LoadResult, say: Say) -> Iterator[Block]:
    """Each force on one strut, rounded up, with where it comes from."""
    if result.forces is None:
        yield "The load is not known, so no force is given."
        return
    yield say.table("on one strut|#{force}|how", on_one(result, say))
    if len(result.shares) > 1:
        shared = ((one.by, say.bare_up(one.each), "governs" if one.governs else "") for one in result.shares)
        yield say.table("how struts may share it|#each, {force}|", shared)
    if (wanted := result.wanted) is not None:
        floor = f", the policy's floor being {wanted.floor}" if wanted.floor > 1 else ""
        share = " Struts seldom share equally: any two may have to carry it." if wanted.count > 1 else ""
        yield (
            f"For the whole load by equal share: {counted(wanted.count, 'strut')}, {say.down(wanted.each)} upright on "
            f"each at most ({wanted.by}){floor}.{share}"
        )


def on_one(result: LoadResult, say: Say) -> tuple[tuple[str, str, str], ...]:
    """Each force on one strut, rounded up, with where it comes from; none where the load is not known."""
    one = result.forces
    if one is None:
        return ()
    load, whole = "load" if result.situation.weight is None else "weight", "as given, with its dynamic allowance"
    if result.situation.weight_inside is not None:
        load, whole = "push", "what the weight itself leaves of the sideways push, allowance included"
    ways = "anchors where they are" if result.situation.anchors else "straps as they run"
    pull = ways if result.lines else "no straps"
    checked = "the most severe of these" + (", pre-tension on top" if result.push is not None else "")
    return (
        (f"{load} on all struts together", say.bare_up(one.whole), whole),
        (f"share of the {load} on this strut", say.bare_up(one.share), one.share_by),
        ("lifted upright", say.bare_up(one.vertical), "statics of the strut alone"),
        ("along the strut", say.bare_up(one.axial), "statics of the strut alone"),
        ("along the strut, with the straps' pull", say.bare_up(one.axial_with_straps), pull),
        ("along the strut, checked", say.bare_up(result.tally.load), checked),
        ("out along the ground", say.bare_up(one.thrust), "statics of the strut alone"),
        ("out along the ground, for the straps", say.bare_up(one.thrust_checked), GOVERNS[one.governs_thrust]),
        ("ground pushes back", say.bare_down(one.base_reaction), "less what rising straps lift; over 0 or do not use"),
        ("most that the ground sees", say.bare_up(one.bearing), "no relief by rising straps counted"),
    )


def straps(result: LoadResult, say: Say) -> Iterator[Block]:
    """How the straps run, what each sees, and every way of holding a base."""
    if result.refused:
        yield f"REFUSED: {result.refused}. No tension is given."
    elif not result.lines:
        counts = result.slip.counted
        how = f"counted at {float(counts):g}, as policy says" if counts else "not counted"
        yield f"None in this situation. Only friction holds the base, {how}."
    else:
        rows = (
            (nth, aside(line.plan_angle_deg, say), say.angle(line.rise_deg),
             "not given" if far is None else say.length(far, "up"), say.up(line.pretension), say.up(each), say.up(most))
            for nth, line, far, each, most in _run(result)
        )  # fmt: skip
        yield say.table("#strap|in plan|rise|#to anchor|#pre-tension|#tension|#most, however they share", rows)
        yield _ways(result, say) if result.ties else "No strap or chain is on the book."
        yield from _asides(result, say)


def _run(result: LoadResult) -> Iterator[tuple[int, StrapLine, int | None, Fraction | None, Fraction | None]]:
    thrust = None if result.forces is None else result.forces.thrust_checked
    for nth, line in enumerate(result.lines, 1):
        each, most = (None if thrust is None else thrust * one + line.pretension for one in (line.unit, line.worst))
        yield nth, line, line.length or result.situation.anchor_distance, each, most


def strap_rows(result: LoadResult, say: Say) -> Rows:
    """The same as data, under ``STRAPS``."""
    for nth, line, far, each, most in _run(result):
        angles = (f"{float(angle):.1f}" for angle in (line.plan_angle_deg, line.rise_deg))
        away = None if far is None else say.bare_length(far, "up")
        yield nth, *angles, away, *(cells.up(force, say) for force in (line.pretension, each, most))


def aside(angle: Fraction, say: Say) -> str:
    """How far to which side of the strut's line a strap runs, as seen from the base."""
    return f"{say.angle(abs(angle))} {'left' if angle > 0 else 'right' if angle < 0 else 'on the line'}"


def _ways(result: LoadResult, say: Say) -> Table:
    wanted, known = result.tally.wanted or 1, result.forces is not None
    rows = (
        (say.name(way.part), say.bare_down(way.rated), way.rated_by, way.per_base, runs(way, say),
         say.bare_up(way.tension) if known else UNKNOWN, way.per_base * wanted, way.usable,
         _failed(way, say) if known else "")
        for way in result.ties
    )  # fmt: skip
    return say.table("kind|#rated, {force}|by|#per base|where|#in the tightest|#in all|#usable|one failed", rows)


def _failed(way: TieWay, say: Say) -> str:
    if way.one_failed is None:
        return "the base swings"
    over = "" if way.rated is not None and way.one_failed <= way.rated else ", OVER its limit"
    return f"{say.up(way.one_failed)} in the rest{over}"


def _asides(result: LoadResult, say: Say) -> Iterator[str]:
    yield "In all is for the struts wanted. Lines share as they will, so each is taken for the most that it can see."
    yield from (f"{said[0].upper()}{said[1:]}." for said in result.failed)
    chain = result.chain
    if chain is not None and not any(way.kind == "chain" for way in result.ties):
        yield (
            f"Chain in place of the straps of a base, one for each: {say.size(chain.size)} or more, unmarked, holds "
            f"{say.up(chain.tension)} ({say.down(chain.rated)} by {chain.source}, grade {chain.grade})."
        )
    if (push := result.push) is not None:
        share = "" if push.share is None else f"; all make {ceil(push.share * 100)}% of what keeps it there"
        lift = f"and the vehicle pushed up with {say.up(push.lift)}{share}"
        yield f"Pre-tension alone, up to {say.up(push.each)} in a strap: {say.up(push.strut)} along the strut, {lift}."
        if push.sideways:
            yield f"Uneven pre-tension pulls the base to one side with {say.up(push.sideways)}: even it out."


def thumb(result: LoadResult, say: Say) -> Iterator[Block]:
    """The trade's short cuts beside the statics, and why they differ."""
    if not result.comparisons:
        yield "Common practice has no short cut for this situation that we know of."
        return
    rows = ((*row, one.rests_on) for row, one in zip(thumb_rows(result, say), result.comparisons, strict=True))
    yield say.table("what|#by practice, {force}|#by statics|#statics along strut|practice rests on", rows)
    said = tuple(text for one in result.comparisons for text in _why(one, say))
    yield Points("Why they differ (the more severe is checked, unless it says otherwise here):", said)


def thumb_rows(result: LoadResult, say: Say) -> Rows:
    """Each short cut and the statics, under ``THUMB``."""
    for one in result.comparisons:
        yield one.what, *(cells.up(force, say) for force in (one.practice, one.statics, one.along_strut))


def _why(one: Comparison, say: Say) -> Iterator[str]:
    yield f"{one.what}: {one.differ}"
    if one.ties_by_practice is not None:
        yield (
            f"{say.name(one.tie)}: {one.ties_by_practice} by practice, {one.ties_by_statics} by statics, all along "
            "the strut's line and pulling alike; more if they spread"
        )


def friction(result: LoadResult, say: Say) -> tuple[Points]:
    """The coefficients at which foot and head would just hold, for information."""
    slip = result.slip
    items = [f"somebody reckons with {float(slip.said):g}"] if slip.said else []
    items += [f"foot on level ground without straps: {_coefficient(slip.foot)} or more"]
    asked = result.situation.face is not None
    items.append(f"head on the face given: {_coefficient(slip.head)} or more" if asked else "head: no face was given")
    counts = f"counted at {float(slip.counted):g} under the base" if slip.counted else "not counted"
    return (Points(f"Friction is {counts}:", tuple(items)),)


def _coefficient(value: object) -> str:
    return "none holds" if value is None else f"{float(value) + 0.005:.2f}"  # type: ignore[arg-type]
