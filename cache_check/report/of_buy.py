"""The page of ``buy``: the list, what each line opens, before and after, and every step between."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from cache_check.model.cache import Source
from cache_check.model.purchase import BuyResult, County, FrontierPoint, Purchase
from cache_check.model.rule import RuleBook
from cache_check.model.served import SceneServed
from cache_check.report import basis
from cache_check.report.caution import caution, reminder
from cache_check.report.page import Block, Page, Paragraph, Points, Section, Table, words
from cache_check.report.say import Say, counted, listed

TOGETHER = "all quotes together"


def page(result: BuyResult, book: RuleBook, read: Sequence[Source] = ()) -> Page:
    """The page of one cache or pool, the list first."""
    say = Say(result.basis.units, result.names)
    sections = [
        Section("In short", (*_in_short(result), reminder(), basis.head(result.basis))),
        *((_compared(result),) if len(result.purchases) > 1 else ()),
    ]
    for one in result.purchases:
        sections += _purchase(result, one, say)
    return Page(f"{result.title}: what to buy", (*sections, basis.rests_on(result.basis, book, read), caution()))


def money(result: BuyResult, hundredths: int) -> str:
    """An amount with its currency; without prices, so many pieces."""
    if not result.currency:
        return counted(hundredths, "piece") if not _moved(result) else "nothing to pay"
    return f"{hundredths // 100:,}.{hundredths % 100:02d} {result.currency}"


def _moved(result: BuyResult) -> bool:
    return any(line.moved for one in result.purchases for line in one.lines)


def _in_short(result: BuyResult) -> tuple[Block, ...]:
    said = tuple(f"{_whence(result, one)}: {headline(result, one)}" for one in result.purchases)
    policy = (Points("The list must also leave:", result.policy),) if result.policy else ()
    return (Points("The proven answer:", said), *policy)


def _whence(result: BuyResult, one: Purchase) -> str:
    if not one.quotes:
        return "from other rigs" if _moved(result) else "no prices given, so the fewest pieces"
    return one.quotes[0].title if len(one.quotes) == 1 else TOGETHER


def headline(result: BuyResult, one: Purchase) -> str:
    """The one line that is read if no other is."""
    met = sum(scene.met for scene in one.after)
    scenes = f"{met} of {len(one.after)} scenes met whole"
    within = "" if one.budget is None else f" within {money(result, one.budget)}"
    if not one.lines:
        return f"nothing to buy{within}; {scenes}"
    cost = f"{money(result, one.cost)} for {counted(one.pieces, 'piece')}" if result.currency else _pieces_of(one)
    if one.whole:
        return f"{cost}{within} meets every scene, and nothing {'cheaper' if result.currency else 'shorter'} does"
    if one.budget is not None:
        return f"{cost}{within} does the most that such a budget buys; {scenes}"
    return f"no list meets every scene; {cost} does the most that any money buys; {scenes}"


def _pieces_of(one: Purchase) -> str:
    moved = any(line.moved for line in one.lines)
    return counted(one.pieces, "piece") + (" moved" if moved else "")


def _compared(result: BuyResult) -> Section:
    rows = tuple(
        (
            _whence(result, one),
            money(result, one.cost),
            str(one.pieces),
            f"{sum(s.met for s in one.after)} of {len(one.after)}",
            str(sum(s.served for s in one.after)),
        )
        for one in result.purchases
    )
    return Section(
        "Quotes compared",
        (
            Paragraph("The same needs from each quote by itself, and from all of them together."),
            Table(words("from|#cost|#pieces|#scenes met|#struts served"), rows),
        ),
    )


def _purchase(result: BuyResult, one: Purchase, say: Say) -> list[Section]:
    of = f", {_whence(result, one)}" if len(result.purchases) > 1 else ""
    return [
        Section(f"The list{of}", tuple(_list(result, one, say))),
        Section(f"Before and after{of}", tuple(_before_after(one, say))),
        Section(f"From today to everything met{of}", tuple(_frontier(result, one, say))),
        Section(f"Dead stock{of}", tuple(_dead(one, say))),
    ]


def _list(result: BuyResult, one: Purchase, say: Say) -> Iterable[Block]:
    if one.lines:
        heads = "part|from|#packs|#pieces|" + "#cost|" * bool(result.currency) + "without this line"
        rows = tuple(
            (
                say.name(line.part),
                f"{line.source} (moved)" if line.moved else line.source,
                str(line.packs) if line.pack == 1 else f"{line.packs} of {line.pack}",
                str(line.pieces),
                *((money(result, line.cost),) if result.currency else ()),
                _opens(line.opens, one.after),
            )
            for line in one.lines
        )
        paid = (money(result, one.cost),) if result.currency else ()
        total = ("total", "", "", str(one.pieces), *paid, "")
        yield Table(words(heads), (*rows, total))
    else:
        yield Paragraph("Nothing is bought or moved.")
    for giving in one.giving:
        lost = [f"{scene} {then} struts instead of {now}" for scene, now, then in giving.scenes if then < now]
        says = f"{giving.title} then serves less by itself: {listed(lost, 'and')}." if lost else ""
        yield Paragraph(says or f"{giving.title} serves its own scenes as before.")
    strange = tuple(f"{quote.title}: {', '.join(quote.strange)}" for quote in one.quotes if quote.strange)
    if strange:
        yield Points("Priced, but no part of the families that this cache names:", strange)


def _opens(opens: tuple[tuple[str, int, int], ...], after: tuple[SceneServed, ...]) -> str:
    titles = {scene.scene: scene.title or scene.scene for scene in after}
    said = [f"{titles[scene]} falls from {full} to {without}" for scene, full, without in opens]
    return "; ".join(said) or "struts stay; it is there for what must be left over"


def _before_after(one: Purchase, say: Say) -> Iterable[Block]:
    rows = []
    for before, after in zip(one.before, one.after, strict=True):
        for (need, wanted, now), (_, _, then) in zip(before.needs, after.needs, strict=True):
            rows.append((after.title or after.scene, need, str(wanted), str(now), str(then), met(after)))
    yield Paragraph("All needs of one scene at once, each piece counted once. Scenes are alternatives.")
    yield Table(words("scene|need|#wanted|#today|#with the list|scene then"), tuple(rows))
    short = [answer for answer in one.answers if answer.served < answer.wanted]
    if short:
        yield Points("What still binds:", tuple(say.binds(a.binding, a.title or a.scene) for a in short))
    if one.out_of_reach:
        yield Points(
            "Needs that no list can meet:",
            tuple(
                f"{o.scene}: {o.need}: {o.attainable} of {o.wanted} at most; {o.says}"
                + (f"; forbidden by {listed(o.rules)}, each of which alone would have to go" if o.rules else "")
                for o in one.out_of_reach
            ),
        )
    yield Points(
        "One way to build each scene with the list:",
        tuple(f"{a.title or a.scene}: {'; '.join(say.example(a.packing)) or 'nothing'}" for a in one.answers),
    )


def met(one: SceneServed) -> str:
    """Whether a scene is met."""
    if one.met:
        return "met"
    short = one.wanted - one.served
    return f"SHORT {short}" if short else "SHORT: nothing left over"


def _frontier(result: BuyResult, one: Purchase, say: Say) -> Iterable[Block]:
    if not one.frontier:
        yield Paragraph("Not asked.")
        return
    said = "Each step is the least money that does so much more; the steps are proven, and none lies between them."
    if not one.frontier_whole:
        said += " The steps just above today are too many to show; ask for them with a budget."
    yield Paragraph(said)
    rows = tuple((money(result, p.cost), listed(p.met, "and"), str(p.struts), _pieces(p, say)) for p in one.frontier)
    yield Table(words("#cost|scenes met whole|#struts served|what it buys"), rows)


def _pieces(one: FrontierPoint, say: Say) -> str:
    return say.pieces((part, number) for part, _, number in one.pieces) if one.pieces else "today, nothing"


def _dead(one: Purchase, say: Say) -> Iterable[Block]:
    if not one.dead:
        yield Paragraph("None: every usable piece is in some best plan of some scene.")
        return
    yield Paragraph("Usable pieces that no best plan of any scene takes, whichever of the best plans is built.")
    rows = tuple(
        (say.name(d.part), str(d.usable_today), str(d.idle_today), str(d.usable_after), str(d.idle_after))
        for d in one.dead
    )
    yield Table(words("part|#usable today|#idle today|#usable then|#idle then"), rows)


def county_page(one: County) -> Page:
    """Several rigs, each by itself: who is short, and which move helps."""
    titles = [title for _, title in one.rigs]
    heads = "scene|need|#wanted|" + "|".join(f"#{title.replace('|', '/')}" for title in titles)
    rows = []
    for s, scene in enumerate(one.served[0]):
        for n, (need, wanted, _) in enumerate(scene.needs):
            served = tuple(str(rig[s].needs[n][2]) for rig in one.served)
            rows.append((scene.title or scene.scene, need, str(wanted), *served))
    short = tuple(
        f"{title}: {listed([s.title or s.scene for s in scenes if not s.met], 'and')}"
        for title, scenes in zip(titles, one.served, strict=True)
        if any(not s.met for s in scenes)
    )
    return Page(
        "The county, each rig by itself",
        (
            Section(
                "In short",
                (
                    Paragraph("Struts served of each need, all needs of a scene at once, each rig from its own cache."),
                    Table(words(heads), tuple(rows)),
                    Points("Short:", short) if short else Points("Nobody is short."),
                    _moves(one),
                    reminder(),
                ),
            ),
        ),
    )


def _moves(one: County) -> Points:
    lead = "Moves that help, while the rig that gives serves its own scenes as before:"
    items = tuple(
        f"{listed([_one(part, giver) for part, giver in move.pieces], 'and')} to {move.taker}: "
        f"{move.scene} from {move.served_before} to {move.served_after}"
        for move in one.moves
    )
    return Points(lead, items) if items else Points("No move of one or two pieces helps without costing the giver.")


def _one(part: str, giver: str) -> str:
    name = part.rpartition("/")[2]
    return f"one {name} from {giver}"
