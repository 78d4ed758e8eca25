"""What a list changes: before and after, every step between, and what lies idle all the same."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from cache_check.model.purchase import Brought, FrontierPoint, Purchase
from cache_check.model.result import Step
from cache_check.model.served import SceneServed
from cache_check.report.page import Block, Paragraph, Points, Table, words
from cache_check.report.say import Say, listed
from cache_check.report.tally import beside


def out_of_reach(one: Purchase) -> Iterator[str]:
    """Each need that no list can meet, with the length or the rules that forbid it."""
    titles = {scene.scene: scene.title or scene.scene for scene in one.after}
    for o in one.out_of_reach:
        said = f"{titles.get(o.scene, o.scene)}: {o.need}: {o.attainable} of {o.wanted} at most; {o.says}"
        either = "" if len(o.rules) < 2 else ", and could be met without any one of these"
        yield said + (f"; forbidden by {listed(o.rules, 'and')}{either}" if o.rules else "")


def before_after(one: Purchase, steps: Mapping[tuple[str, str], Step], say: Say, ways: bool = True) -> Iterable[Block]:
    """Each need today and with the list, what still binds, and one of the ``ways`` to build each scene."""
    rows = []
    for before, after in zip(one.before, one.after, strict=True):
        for (need, wanted, now), (_, _, then) in zip(before.needs, after.needs, strict=True):
            step = steps[after.scene, need]
            rows.append((after.title or after.scene, need, step, str(wanted), str(now), str(then), met(after)))
    yield Paragraph(
        "Struts served on the step that each need asks, all needs of one scene at once, each piece counted once. "
        "Scenes are alternatives."
    )
    yield Table(words("scene|need|step|#wanted|#today|#with the list|scene then"), tuple(rows))
    short = [answer for answer in one.answers if answer.served < answer.wanted]
    if short:
        yield Points("What still binds:", tuple(f"{a.title or a.scene}: {say.wants(a.binding)}" for a in short))
    if ways:
        built = tuple(f"{a.title or a.scene}: {say.way(a.packing) or 'nothing'}" for a in one.answers)
        yield Points("One way to build each scene with the list:", built)


def met(one: SceneServed) -> str:
    """Whether a scene is met, and beside a met that it is not with one missing."""
    if one.verdict != "not met":
        return (one.verdict.upper() if one.verdict == "not known" else one.verdict) + beside(one.missing)
    short = one.wanted - one.served
    return f"SHORT {short}" if short else "SHORT: nothing left over"


def back(one: Brought, say: Say) -> str:
    """Pieces that are brought back: which, why they do not count, what to do, and what that gives."""
    which = f"{say.name(one.part)} {one.serial}" if one.serial else f"{one.pieces} {say.name(one.part)}"
    place = f" of {one.rig}" + (f", {one.where}" if one.where else "")
    gives = "; ".join(f"{scene} serves {with_it}, else {without}" for scene, with_it, without in one.opens)
    return f"{which}{place} ({one.why}): {one.remedy}{f'; {gives}' if gives else ''}"


def free(one: Purchase, money: Callable[[int], str], say: Say) -> Iterable[Block]:
    """What is brought back before anything is bought, and what that saves."""
    if not one.free:
        yield Paragraph("Nothing that is on the book and does not count would spare a purchase, or it was left out.")
        return
    yield Points("Bring back first; it costs nothing to buy:", tuple(back(each, say) for each in one.free))
    if one.cost_as_is is not None:
        yield Paragraph(
            f"That leaves {money(one.cost)} to buy; with nothing brought back it is {money(one.cost_as_is)}: "
            f"{money(one.cost_as_is - one.cost)} saved."
        )


def frontier(one: Purchase, money: Callable[[int], str], say: Say) -> Iterable[Block]:
    """Every step from today to everything met."""
    if not one.frontier:
        yield Paragraph("Not asked; --frontier does.")
        return
    said = "Each step is the least money that does so much more; the steps are proven, and none lies between them"
    if one.frontier_whole:
        said += "."
    else:
        said += (
            ", save just above today: steps there are left out, since they are too many or were not proven in time."
            " Ask for one with a budget, or search longer."
        )
    yield Paragraph(said)
    titles = {scene.scene: scene.title or scene.scene for scene in one.after}
    rows = tuple(
        (str(n), money(p.cost), "; ".join(titles[met] for met in p.met) or "none", str(p.struts), _pieces(p, say))
        for n, p in enumerate(one.frontier)
    )
    yield Table(words("#step|#cost|scenes met whole|#struts served|what it buys"), rows)


def _pieces(one: FrontierPoint, say: Say) -> str:
    return say.pieces((part, number) for part, _, number in one.pieces) if one.pieces else "today, nothing"


def dead(one: Purchase, say: Say) -> Iterable[Block]:
    """Usable pieces that lie idle whatever is built."""
    if one.dead_untold:
        yield Paragraph(f"Not told: {one.dead_untold}.")
        return
    if not one.dead:
        yield Paragraph("None: every usable piece is in some best plan of some scene.")
        return
    yield Paragraph("Usable pieces that no best plan of any scene takes, whichever of the best plans is built.")
    rows = tuple(
        (say.name(d.part), str(d.usable_today), str(d.idle_today), str(d.usable_after), str(d.idle_after))
        for d in one.dead
    )
    yield Table(words("part|#usable today|#idle today|#usable then|#idle then"), rows)
