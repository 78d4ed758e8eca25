"""A list: its lines and their money; what it changes, every step between, and what lies idle all the same."""

from collections.abc import Iterable, Iterator
from operator import attrgetter

from cache_check.model.counting import SceneServed
from cache_check.model.purchase import Brought, BuyResult, Purchase, Quote
from cache_check.report import cells
from cache_check.report.page import NOT_ASKED, Block, Cell, Points, Rows, Table, table
from cache_check.report.say import Say, counted, listed
from cache_check.report.tally import besides, in_the_way, served_met

CHANGES = "scene|need|#wanted|step|#today|#with the list"
_packs = attrgetter("packs", "pack", "minimum", "pieces")
DEAD = "part|#usable today|#idle today|#usable then|#idle then"


def out_of_reach(one: Purchase) -> Iterator[str]:
    """Each need that no list can meet, with the length or the rules that forbid it."""
    titles = {scene.scene: scene.title or scene.scene for scene in one.after}
    for o in one.out_of_reach:
        said = f"{titles.get(o.scene, o.scene)}: {o.need}: {o.attainable} of {o.wanted} at most; {o.says}"
        either = "" if len(o.rules) < 2 else ", and could be met without any one of these"
        yield said + (f"; forbidden by {listed(o.rules, 'and')}{either}" if o.rules else "")


def lacks_pads(one: Purchase) -> bool:
    """Whether a scene with the list, or with one piece missing then, wants a pad that is not there."""
    links = (link for after in one.after for link in (*after.links, after.missing) if link is not None)
    return any(link.state == "does not hold" and " pad" in f" {link.name}: {link.why}" for link in links)


def before_after(result: BuyResult, one: Purchase, say: Say, ways: bool = True) -> Iterator[Block]:
    """Each need today and with the list, what still binds, and one of the ``ways`` to build each scene."""
    yield (
        "Struts served on the step that each need asks, all needs of one scene at once, each piece counted once. "
        "Scenes are alternatives."
    )
    yield say.table(f"{CHANGES}|scene then", ((*row, served_met(after)) for _, after, row in _both(result, one)))
    if short := [answer for answer in one.answers if answer.served < answer.wanted]:
        yield Points("What still binds:", tuple(f"{a.title or a.scene}: {say.wants(a.binding)}" for a in short))
    if said := [f"{a.title or a.scene}: {besides(a)[2:]}" for a in one.after if a.verdict != "met" and besides(a)]:
        yield Points("What is not known or stands in the way:", tuple(said))
    if ways:
        built = tuple(f"{a.title or a.scene}: {say.way(a.packing) or 'nothing'}" for a in one.answers)
        yield Points("One way to build each scene with the list:", built)


def _both(result: BuyResult, one: Purchase) -> Iterator[tuple[SceneServed, SceneServed, tuple[Cell, ...]]]:
    steps = {(ask.scene, ask.need): ask.step for ask in result.asks}
    for before, after in zip(one.before, one.after, strict=True):
        for (need, wanted, now), (_, _, then) in zip(before.needs, after.needs, strict=True):
            yield before, after, (after.title or after.scene, need, wanted, steps[after.scene, need], now, then)


def change_rows(result: BuyResult, one: Purchase, _: Say) -> Rows:
    """The same as data."""
    for before, after, row in _both(result, one):
        (now, now_missing), (then, then_missing) = cells.verdicts(before), cells.verdicts(after)
        yield *row, now, then, now_missing, then_missing


def back(one: Brought, say: Say) -> str:
    """Pieces that are brought back: which, why they do not count, what to do, and what that gives."""
    which = f"{say.name(one.part)} {one.serial}" if one.serial else f"{one.pieces} {say.name(one.part)}"
    place = f" of {one.rig}" + (f", {one.where}" if one.where else "")
    gives = "; ".join(f"{scene} serves {with_it}, else {without}" for scene, with_it, without in one.opens)
    return f"{which}{place} ({one.why}): {one.remedy}{f'; {gives}' if gives else ''}"


def unsettled(one: Purchase) -> tuple[str, ...]:
    """Where something is bought, what is not known of the scenes today, and who could tell."""
    links = (link for scene in one.before for link in scene.links if one.lines)
    return tuple(dict.fromkeys(in_the_way(links, "unknown")))


def free(result: BuyResult, one: Purchase, say: Say) -> Iterable[Block]:
    """What is found out and brought back before anything is bought, and what that saves."""
    if asks := unsettled(one):
        yield Points("Find out first, since it may spare what is bought:", asks)
    if one.free:
        yield Points("Bring back first; it costs nothing to buy:", tuple(back(each, say) for each in one.free))
    elif not asks:
        yield "Nothing that is on the book and does not count would spare a purchase, or it was left out."
    if one.free and one.cost_as_is is not None:
        left, whole, saved = (money(result, each) for each in (one.cost, one.cost_as_is, one.cost_as_is - one.cost))
        yield f"That leaves {left} to buy; with nothing brought back it is {whole}: {saved} saved."


def frontier(result: BuyResult, one: Purchase, say: Say) -> Iterable[Block]:
    """Every step from today to everything met."""
    if not one.frontier:
        yield "Not asked; --frontier does."
        return
    said = "Each step is the least money that does so much more; the steps are proven, and none lies between them"
    left_out = (
        ", save just above today: steps there are left out, since they are too many or were not proven in time."
        " Ask for one with a budget, or search longer."
    )
    first = " All but today's take first what is brought back for nothing." * bool(one.free)
    yield said + ("." if one.frontier_whole else left_out) + first
    titles = {scene.scene: scene.title or scene.scene for scene in one.after}
    rows = (
        (n, money(result, p.cost), "; ".join(titles[m] for m in p.met) or "none", p.struts, "today, " * (not n) + buys)
        for n, p in enumerate(one.frontier)
        for buys in (say.pieces((part, number) for part, _, number in p.pieces) if p.pieces else "nothing",)
    )
    yield say.table("#step|#cost|scenes met whole|#struts served|what it buys", rows)


def step_rows(result: BuyResult, one: Purchase, say: Say) -> Rows:
    """A row for each part that a step buys."""
    for n, point in enumerate(one.frontier):
        step = (n, *paid(result, point.cost), len(point.met), point.struts)
        yield from ((*step, say.name(part), source, number) for part, source, number in point.pieces or (("", "", 0),))


def dead(result: object, one: Purchase, say: Say) -> Iterator[Block]:
    """Usable pieces that lie idle whatever is built."""
    if one.dead_untold:
        yield f"Not told: {one.dead_untold}."
        return
    if not one.dead:
        yield "None: every usable piece is in some best plan of some scene."
        return
    yield "Usable pieces that no best plan of any scene takes, whichever of the best plans is built."
    yield say.table(DEAD, dead_rows(result, one, say))


def dead_rows(_: object, one: Purchase, say: Say) -> Rows:
    """What lies idle, under ``DEAD``."""
    return ((say.name(d.part), d.usable_today, d.idle_today, d.usable_after, d.idle_after) for d in one.dead)


def money(result: BuyResult, hundredths: int) -> str:
    """An amount with its currency, where there is one; without prices, so many pieces."""
    if not result.currency and not moved(result):
        return counted(hundredths, "piece")
    if not result.currency and not hundredths:
        return "nothing to pay"
    return f"{hundredths // 100:,}.{hundredths % 100:02d} {result.currency}".strip()


def paid(result: BuyResult, *hundredths: int) -> tuple[Cell, ...]:
    """Amounts as data, and their currency before them; nothing where no price is known."""
    return (result.currency or None, *(cell(result, each) for each in hundredths))


def moved(result: BuyResult) -> bool:
    """Whether any piece of any list is moved from another rig."""
    return any(line.moved for one in result.purchases for line in one.lines)


def dated(quote: Quote) -> str:
    """A quote with its day and currency."""
    day = f"dated {quote.dated.isoformat()}" if quote.dated else "of unknown date"
    return f"{quote.title}, {day}, in {quote.currency}"


def whence(result: BuyResult, one: Purchase) -> str:
    """Where the pieces of a list are from."""
    if not one.quotes:
        return "from other rigs" if moved(result) else "no prices given"
    return one.quotes[0].title if len(one.quotes) == 1 else "all quotes together"


def in_currency(result: BuyResult) -> str:
    """The currency as the end of a head, where there is one."""
    return f", {result.currency}" if result.currency else ""


def cell(result: BuyResult, hundredths: int) -> str | None:
    """An amount beneath a head that has the currency; nothing where no price is known."""
    return f"{hundredths // 100:,}.{hundredths % 100:02d}" if result.currency else None


def the_list(result: BuyResult, one: Purchase, say: Say, why: bool = True) -> Iterable[Block]:
    """The lines of one list, what vendors come to, what givers then serve; ``why`` each line is there, at length."""
    yield _lean(lines(result, one, say), whence(result, one)) if one.lines else "Nothing is bought or moved."
    if result.currency and one.lines:
        yield Points("In all, vendor by vendor:", tuple(_per_vendor(result, one)))
    if noted := tuple(f"{say.name(line.part)}: {line.note}" for line in one.lines if line.note):
        yield Points("Noted beside the prices:", noted)
    yield from (said or f"{title} serves its own scenes as before." for title, said in given_up(one))
    if why:
        yield from more_of(one, say)
        if strange := tuple(f"{quote.title}: {', '.join(quote.strange)}" for quote in one.quotes if quote.strange):
            yield Points("Priced, but no part of the families that this cache names:", strange)


def given_up(one: Purchase) -> Iterator[tuple[str, str]]:
    """Each rig that gives, and what it serves less by itself then; "" where it is nothing."""
    for giving in one.giving:
        lost = [f"{scene} {then} struts instead of {now}" for scene, now, then in giving.scenes if then < now]
        yield giving.title, f"{giving.title} then serves less by itself: {listed(lost, 'and')}." if lost else ""


def more_of(one: Purchase, say: Say) -> Iterator[Points]:
    """What scenes fall to without each line, and what a quote does not price."""
    if one.lines:
        yield Points("What scenes fall to without a line:", tuple(_opened(one, say)))
    if missing := tuple(f"{q.title}: {', '.join(say.all_names(q.unpriced))}" for q in one.quotes if q.unpriced):
        yield Points("Not priced, so never bought from it:", missing)


def _lean(table: Table, whose: str) -> Table:
    """A list without columns that say nothing of any of its lines: ``whose`` it is, no number, single pieces."""
    says_nothing = {"from": whose, "number": "", "in a pack": "1", "at least": "1", "once": "0.00"}
    nothing = [(says_nothing.get(column.head.split(",")[0]), NOT_ASKED) for column in table.columns]
    kept = [n for n, none in enumerate(nothing) if any(row[n] not in none for row in table.rows)]
    return Table(tuple(table.columns[n] for n in kept), tuple(tuple(row[n] for n in kept) for row in table.rows))


def lines(result: BuyResult, one: Purchase, say: Say) -> Table:
    """The list, a row a part; money is nothing where no price is known."""
    money = "|".join(f"#{head}{in_currency(result)}" for head in ("a pack", "once", "cost"))
    rows = (
        (say.name(line.part), source or None, line.number, *_packs(line), *paid, len(line.opens))
        for line in one.lines
        for source in (f"{line.source} (moved)" if line.moved else line.source,)
        for paid in ([cell(result, each) for each in (line.price, line.fixed, line.cost)],)
    )
    return table(f"part|from|number|#packs|#in a pack|#at least|#pieces|{money}|#lost without", rows)


def line_rows(result: BuyResult, one: Purchase, say: Say) -> Rows:
    """The list as data."""
    for line in one.lines:
        whose = (line.source, cells.yes(line.moved), line.number)
        costs = paid(result, line.price, line.fixed, line.cost)
        yield say.name(line.part), *whose, *_packs(line), *costs, len(line.opens)


def _per_vendor(result: BuyResult, one: Purchase) -> Iterator[str]:
    for order in one.orders:
        each = ((order.once, "paid once"), (order.small, "because the order is small"))
        more = [f"{money(result, paid)} {what}" for paid, what in each if paid]
        of_which = f", of which {listed(more, 'and')}" if more else ""
        yield f"{order.source}: {money(result, order.cost)} for {counted(order.pieces, 'piece')}{of_which}"


def _opened(one: Purchase, say: Say) -> Iterator[str]:
    titles = {scene.scene: scene.title or scene.scene for scene in one.after}
    alike: dict[str, list[str]] = {}
    for line in sorted(one.lines, key=lambda line: say.name(line.part)):
        said = "; ".join(f"{titles[scene]} {full} to {without}" for scene, full, without in line.opens)
        alike.setdefault(said or "struts stay; it is there for what must be left over", []).append(say.name(line.part))
    return (f"{listed(dict.fromkeys(parts))}: {said}" for said, parts in alike.items())
