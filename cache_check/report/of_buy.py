"""The page of ``buy``: the list, what each line opens, before and after, and every step between."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from cache_check.model.cache import Source
from cache_check.model.purchase import BuyResult, Purchase, Quote
from cache_check.model.rule import RuleBook
from cache_check.model.served import NeedAsked, SceneServed
from cache_check.report import basis, bought
from cache_check.report.caution import caution, reminder
from cache_check.report.page import Block, Page, Paragraph, Points, Section, Table, words
from cache_check.report.say import NOT_ASKED, Say, counted, listed

TOGETHER = "all quotes together"
BEFORE_AND_AFTER = "Before and after"
STEPS = "From today to everything met"


def page(result: BuyResult, book: RuleBook, read: Sequence[Source] = ()) -> Page:
    """The page of one cache or pool, the list first."""
    say = Say(result.basis.units, result.names)
    sections = [
        Section("In short", (*_in_short(result), reminder(), basis.head(result.basis))),
        *((_compared(result),) if len(result.purchases) > 1 else ()),
    ]
    for one in result.purchases:
        sections += _purchase(result, one, say)
    rests = basis.rests_on(result.basis, book, read)
    return Page(f"{result.title}: what to buy", (*sections, asked(result.asks, say), rests, caution()))


def money(result: BuyResult, hundredths: int) -> str:
    """An amount with its currency, where there is one; without prices, so many pieces."""
    if not result.currency and not moved(result):
        return counted(hundredths, "piece")
    if not result.currency and not hundredths:
        return "nothing to pay"
    return f"{hundredths // 100:,}.{hundredths % 100:02d} {result.currency}".strip()


def moved(result: BuyResult) -> bool:
    """Whether any piece of any list is moved from another rig."""
    return any(line.moved for one in result.purchases for line in one.lines)


def _in_short(result: BuyResult) -> Iterator[Block]:
    yield Points(
        "The proven answer:", tuple(f"{whence(result, one)}: {headline(result, one)}" for one in result.purchases)
    )
    yield from _forbidden(result)
    if result.policy:
        yield Points("The list must also leave:", result.policy)
    quotes = tuple(dict.fromkeys(quote for one in result.purchases for quote in one.quotes))
    if quotes:
        yield Points("Prices are from:", tuple(dated(quote) for quote in quotes))


def _forbidden(result: BuyResult) -> Iterator[Block]:
    """Needs that no list can meet: once, where every list says the same."""
    said = [tuple(bought.out_of_reach(one)) for one in result.purchases]
    if len(set(said)) == 1 and said[0]:
        yield Points("Needs that no list can meet, and what forbids it:", said[0])
    elif any(said):
        for one, items in zip(result.purchases, said, strict=True):
            lead = f"Needs that no list of {whence(result, one)} can meet"
            yield Points(f"{lead}, and what forbids it:" if items else f"{lead}: none.", items)


def dated(quote: Quote) -> str:
    """A quote with its day and currency."""
    day = f"dated {quote.dated.isoformat()}" if quote.dated else "of unknown date"
    return f"{quote.title}, {day}, in {quote.currency}"


def whence(result: BuyResult, one: Purchase) -> str:
    """Where the pieces of a list are from."""
    if not one.quotes:
        return "from other rigs" if moved(result) else "no prices given, so the fewest pieces"
    return one.quotes[0].title if len(one.quotes) == 1 else TOGETHER


def headline(result: BuyResult, one: Purchase) -> str:
    """The one line that is read if no other is."""
    met = sum(scene.met for scene in one.after)
    scenes = f"{met} of {len(one.after)} scenes met whole"
    within = "" if one.budget is None else f" within {money(result, one.budget)}"
    if not one.lines:
        return f"nothing to buy{within}; {scenes}" if one.whole or one.budget is not None else _nothing_helps(scenes)
    cost = f"{money(result, one.cost)} for {counted(one.pieces, 'piece')}" if result.currency else _pieces_of(one)
    if one.whole:
        return f"{cost}{within} meets every scene, and nothing {'cheaper' if result.currency else 'shorter'} does"
    if one.budget is not None:
        return f"{cost}{within} does the most that such a budget buys; {scenes}"
    return f"no list meets every scene; {cost} does the most that any money buys; {scenes}"


def _nothing_helps(scenes: str) -> str:
    return f"no list meets every scene, and nothing on offer serves a strut more; {scenes}"


def _pieces_of(one: Purchase) -> str:
    return counted(one.pieces, "piece") + (" moved" if any(line.moved for line in one.lines) else "")


def _compared(result: BuyResult) -> Section:
    rows = tuple(
        (
            whence(result, one),
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


def asked(asks: Sequence[NeedAsked], say: Say) -> Section:
    """What every scene asks, and the step that its struts are counted on."""
    heads = f"scene|#weight|need|#struts|length, {say.length_unit}|load each, {say.force_unit}|step"
    rows = tuple(
        (
            one.title or one.scene,
            str(one.weight),
            one.need,
            str(one.wanted),
            say.asked(one.shortest, one.longest),
            NOT_ASKED if one.load is None else say.demand(one.load, one.factor),
            one.step,
        )
        for one in asks
    )
    told = Paragraph(
        "Weight says how often a scene is met. Struts served are counted on the step that their need asks: rated is "
        "assembled at once, restrained where the need asks for that, and rated for the load at the longer end."
    )
    return Section("What is asked", (told, Table(words(heads), rows)))


def _purchase(result: BuyResult, one: Purchase, say: Say) -> list[Section]:
    of = f", {whence(result, one)}" if len(result.purchases) > 1 else ""
    steps = {(ask.scene, ask.need): ask.step for ask in result.asks}
    return [
        Section(f"The list{of}", tuple(_list(result, one, say))),
        Section(f"{BEFORE_AND_AFTER}{of}", tuple(bought.before_after(one, steps, say))),
        Section(f"{STEPS}{of}", tuple(bought.frontier(one, lambda cost: money(result, cost), say))),
        Section(f"Dead stock{of}", tuple(bought.dead(one, say))),
    ]


def _list(result: BuyResult, one: Purchase, say: Say) -> Iterable[Block]:
    yield _lines(result, one, say) if one.lines else Paragraph("Nothing is bought or moved.")
    for giving in one.giving:
        lost = [f"{scene} {then} struts instead of {now}" for scene, now, then in giving.scenes if then < now]
        says = f"{giving.title} then serves less by itself: {listed(lost, 'and')}." if lost else ""
        yield Paragraph(says or f"{giving.title} serves its own scenes as before.")
    missing = tuple(f"{q.title}: {', '.join(say.all_names(q.unpriced))}" for q in one.quotes if q.unpriced)
    if missing:
        yield Points("Not priced, so never bought from it:", missing)
    strange = tuple(f"{quote.title}: {', '.join(quote.strange)}" for quote in one.quotes if quote.strange)
    if strange:
        yield Points("Priced, but no part of the families that this cache names:", strange)


def _lines(result: BuyResult, one: Purchase, say: Say) -> Table:
    """The list, its pieces and its cost added up; what is paid once per order only where something is."""
    priced, once = bool(result.currency), any(line.fixed for line in one.lines)
    heads = "part|from|#packs|#pieces|" + "#a pack|" * priced + "#once per order|" * once + "#cost|" * priced
    rows = tuple(
        (
            say.name(line.part),
            f"{line.source} (moved)" if line.moved else line.source,
            str(line.packs) if line.pack == 1 else f"{line.packs} of {line.pack}",
            str(line.pieces),
            *((money(result, line.price),) if priced else ()),
            *((money(result, line.fixed),) if once else ()),
            *((money(result, line.cost),) if priced else ()),
            _opens(line.opens, one.after),
        )
        for line in one.lines
    )
    paid = ("",) * (priced + once) + ((money(result, one.cost),) if priced else ())
    return Table(words(heads + "without this line"), (*rows, ("total", "", "", str(one.pieces), *paid, "")))


def _opens(opens: tuple[tuple[str, int, int], ...], after: tuple[SceneServed, ...]) -> str:
    titles = {scene.scene: scene.title or scene.scene for scene in after}
    said = [f"{titles[scene]} falls from {full} to {without}" for scene, full, without in opens]
    return "; ".join(said) or "struts stay; it is there for what must be left over"
