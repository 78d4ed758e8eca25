"""The scenes of a crew page, a side each at most: which sets, what to change, how long, how far out, which straps."""

from collections.abc import Iterator
from fractions import Fraction

from cache_check.model.card import CardResult, SceneShown
from cache_check.model.staging import StrutOnScene
from cache_check.report import of_stage, tally
from cache_check.report.page import Block, Points, Table, short
from cache_check.report.pages.sheets import door
from cache_check.report.pages.shell import Part
from cache_check.report.say import Say, counted, listed
from cache_check.units import Rounding


def parts(card: CardResult, say: Say) -> Iterator[Part]:
    """A part for each scene; one that says why, where they could not be told."""
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
    yield f"{served.served} of {served.wanted} struts; {made}.{lost}{proposed}{told * bool(unfit)}"
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
    """What each need asks, how many are there, and how far out their bases stand."""
    served = {need: number for need, _, number in one.staged.served.needs}
    rows = (
        (need.need, need.wanted, served.get(need.need, 0), need.step, length, far or "no angle is ruled", load)
        for need, outs in zip(one.asked, one.outs, strict=True)
        for length in (say.asked(need.shortest, need.longest, need.contact),)
        for far in ("; ".join(_out(*out, card, say) for out in outs),)
        for load in (say.load_asked(need.load, need.vertical, need.angle_deg, need.factor),)
    )
    heads = "for|#wanted|#there|step|set to, {length}|base out, {length}|load each, {force}"
    return say.table(heads, rows)


def _out(angle: Fraction, shortest: int, longest: int, card: CardResult, say: Say) -> str:
    """How far out, never flatter than the flattest angle of the page nor steeper than the steepest."""
    ruled = card.angles_deg
    toward: Rounding = "down" if angle == min(ruled, default=None) else "up" if angle in ruled else "nearest"
    ends = dict.fromkeys(say.bare_length(length, toward) for length in (shortest, longest))
    return f"{' to '.join(ends)} at {float(angle):g}°"


def _struts(struts: tuple[StrutOnScene, ...], card: CardResult, say: Say) -> Table:
    """What each strut is made of, from what, and what holds its base; struts alike share a row."""
    alike: dict[tuple[str, ...], list[str]] = {}
    for one in struts:
        held = door.held_by(one.ties, one.assembly.ground, card, say)
        row = (one.need, of_stage.whence(one, say), say.stack(one.assembly.parts), held)
        alike.setdefault(row, []).append(one.name.removeprefix("strut "))
    rows = ((", ".join(names), *row) for row, names in alike.items())
    return say.table("strut|for|each taken from|parts, ground to load|each held by", rows)
