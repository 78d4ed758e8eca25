"""The page of several rigs, each by itself: who is short, and which move helps."""

from typing import Any

from cache_check.model.counting import SceneServed
from cache_check.model.purchase import BuyResult, County
from cache_check.model.report import Side
from cache_check.report import cells
from cache_check.report.page import Block, Points, Rows, Table, words
from cache_check.report.say import Say, listed

SERVED = "scene|need|#wanted|step|#served|verdict of the scene"
SIDE_BY_SIDE = "Rigs side by side"
TOLD = "Struts served of each need, on the step that it asks, all needs of a scene at once"
POOLED = (
    f"{TOLD}: each rig by itself, and all together as one pool, from which every rig's pieces are there and the "
    "stricter of their rules holds."
)


def blocks(side: Side, told: str = f"{TOLD}, each rig by itself.") -> tuple[Block, ...]:
    """What the page says, without its heading: the rigs side by side, and where that is asked all as one pool."""
    unproven = (f"All together NOT PROVEN: {side.unproven}",) if side.unproven else ()
    return (told, matrix(side.county, side.together), *unproven, short(side.county), moves(side.county))


def matrix(one: County, together: tuple[SceneServed, ...] = ()) -> Table:
    """A row for each need, a column for each rig and all ``together``; a count on another step names it."""
    titles = [title for _, title in one.rigs]
    heads = "scene|need|#wanted|step|" + "|".join(f"#{title.replace('|', '/')}" for title in titles)
    steps = {(scene, need): step for scene, need, step in one.steps}
    otherwise = {(rig, scene, need): f" {step}" for rig, scene, need, step in one.otherwise}
    rows = []
    for s, scene in enumerate(one.served[0]):
        for n, (need, wanted, _) in enumerate(scene.needs):
            each = [(title, rig) for title, rig in zip([*titles, ""], [*one.served, together], strict=False) if rig]
            cells = (_cell(rig[s], n, otherwise.get((title, scene.scene, need), "")) for title, rig in each)
            rows.append((scene.title or scene.scene, need, str(wanted), steps[scene.scene, need], *cells))
    return Table(words(heads + "|#all together" * bool(together)), tuple(rows))


def _cell(of: SceneServed, need: int, step: str) -> str:
    _, wanted, number = of.needs[need]
    short = f", {wanted - number} SHORT" if number < wanted else ""
    untrue = of.verdict == "not known" or (of.verdict == "not met" and of.served >= of.wanted)
    return f"{number}{step}{short}" + f" {of.verdict.upper()}" * untrue


def rows(result: BuyResult, _: Say, told: Any) -> Rows:
    """A row for each need of a rig of several, under ``SERVED``: what it serves by itself, on which step."""
    one: County | None = told.more.get("county")
    if one is None:
        return
    steps = {(scene, need): step for scene, need, step in one.steps}
    otherwise = {(rig, scene, need): step for rig, scene, need, step in one.otherwise}
    for (_rig, title), scenes in zip(one.rigs, one.served, strict=True):
        for scene in scenes if title == result.title else ():
            for need, wanted, served in scene.needs:
                step = otherwise.get((title, scene.scene, need), steps[scene.scene, need])
                yield scene.title or scene.scene, need, wanted, step, served, cells.said(scene.verdict)


def short(one: County) -> Points:
    """Which rig does not meet which scene, or is not known to."""
    said = tuple(
        f"{title}: {'; '.join((s.title or s.scene) + ' NOT KNOWN' * (s.verdict == 'not known') for s in unmet)}"
        for (_, title), scenes in zip(one.rigs, one.served, strict=True)
        if (unmet := [s for s in scenes if not s.met])
    )
    return Points("Not met:", said) if said else Points("Each meets every scene.")


def moves(one: County) -> Points:
    """The moves that help and cost the giver nothing."""
    titles, names = {scene.scene: scene.title or scene.scene for rig in one.served for scene in rig}, dict(one.names)
    lead = "Moves that help, while the rig that gives serves its own scenes as before:"
    items = tuple(
        f"{listed([f'1 {names.get(part, part)} from {giver}' for part, giver in move.pieces], 'and')} to {move.taker}: "
        f"{titles[move.scene]} from {move.served_before} to {move.served_after} struts"
        f"{', NOT KNOWN even so' * (move.verdict == 'not known')}"
        for move in one.moves
    )
    return Points(lead, items) if items else Points("No move of one or two pieces helps without costing the giver.")
