"""The answer of ``buy``: the list, what each line opens, before and after, and every step between."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import TypeVar

from cache_check.errors import grouped
from cache_check.model.counting import SceneServed
from cache_check.model.purchase import BuyLine, BuyResult, Purchase
from cache_check.model.report import OfficeResult, Side
from cache_check.model.verdict import worst_of
from cache_check.report import bought, cells, of_county, shortly
from cache_check.report.answer import ENDING, Told, Topic
from cache_check.report.bought import dated, money, whence
from cache_check.report.page import Block, Cell, Line, Part, Points, Rows, Short, table
from cache_check.report.say import Say, counted, listed
from cache_check.report.tally import besides, bracketed, had, met_of

Made = TypeVar("Made")
ByList = Callable[[BuyResult, Purchase, Say], Made]


def short(result: BuyResult, _: Told) -> Short:
    """What each list costs and meets; the lines of the list; the scenes that it changes; what no list meets."""
    say = Say.of(result)
    lists = [Line("List", text, "met" if one.whole else "not met") for one, text in answers(result)]
    one = result.purchases[-1]
    out = (text for each in result.purchases for text in bought.out_of_reach(each))
    needs = "; ".join(result.no_angle)  # what they do not say may be all that they lack: first, since it costs nothing
    unsaid = f"add the angle: {needs} is held at the worst angle that the rules allow, and paid for so"
    less = (Line("But", text, "not met") for _, text in bought.given_up(one) if text)
    never = tuple(Line("No list", text, "not met") for text in dict.fromkeys(out))
    return (shortly.head(shortly.title("buy", result), result.basis), Part(tuple(lists), "answer"),
            Part((Line("First", unsaid),) if result.no_angle else (), "free"),
            Part(tuple(Line(one.way.capitalize(), bought.back(one, say)) for one in one.free), "free"),
            Part((*_from_each(result, one, say), *less), "list"), Part(tuple(_changed(one)), "scenes"),
            Part(never, "answer"), shortly.unknown(result.basis.unknown))  # fmt: skip


def answers(result: BuyResult) -> Iterator[tuple[Purchase, str]]:
    """Each list, and where it is from with the line that is read if no other is."""
    return ((one, f"{whence(result, one)}: {headline(result, one)}") for one in result.purchases)


def _from_each(result: BuyResult, one: Purchase, say: Say) -> Iterator[Line]:
    for (gives, source), lines in grouped(((line.moved, line.source), line) for line in one.lines).items():
        paid = sum(order.cost for order in one.orders if order.source == source)  # freight and all
        cost = f"; {money(result, paid)}" if result.currency else ""
        of = f" from {source}" if source else ""
        pieces = ", ".join(f"{line.pieces} x {say.name(line.part)}{_sold(line)}" for line in lines)
        yield Line("Move" if gives else "Buy", f"{pieces}{of}{cost}")


def _sold(line: BuyLine) -> str:
    packs = f"in packs of {line.pack}" * (line.pack > 1)
    said = f"sold {line.minimum} at least" if line.minimum > line.pack else packs
    return f" ({'; '.join(filter(None, (said, line.note)))})" if said or line.note else ""


def _changed(one: Purchase) -> Iterator[Line]:
    """Scenes changed or left short, and those met today in a line; no MET first that holds only with the list."""
    same = []
    for before, after in zip(one.before, one.after, strict=True):
        name = after.title or after.scene
        if before.met and after.met:
            same.append(name + bracketed(after.missing))
            continue
        lacks = before.verdict == "not met" and before.served < before.wanted  # and the list is the answer to that
        now = f"today {had(before)}{'' if lacks else _besides(before)}"
        then = f"with the list {after.verdict.upper()}, {had(after)}{_besides(after)}"
        yield shortly.verdict(before.verdict, f"{name}: {now}; {then}")
    if same:
        yield shortly.verdict("met", f"as today: {'; '.join(same)}")


def _besides(scene: SceneServed) -> str:
    """What stands beside a verdict; of a scene that has all its struts and is not met all the same, what is short."""
    short = scene.verdict == "not met" and scene.served == scene.wanted
    return besides(scene) or " struts, and short of the spares or the loss asked for" * short


def several(results: Sequence[BuyResult], told: Told) -> Short:
    """A line for each of several rigs, who is short, and the moves that help."""
    county = told.more.get("county")
    said = of_county.moves(county) if county else Points("")
    moves = tuple(Line("Move", text) for text in said.items) or (Line("Move", said.lead),)
    return (Part((Line("", "Several rigs, each by itself", wide=True),)), rows(results), Part(moves, "county"))


def rows(results: Sequence[BuyResult]) -> Part:
    """A line for each of several rigs, its verdict that of today: no MET that holds only once the list has come."""
    each = [(one, one.purchases[-1]) for one in results]
    verdicts = (worst_of(scene.verdict for scene in best.before) for _, best in each)
    today = (f"{met_of(best.before, 'scenes met')}; {headline(one, best, 'for all')}" for one, best in each)
    said = (f"{shortly.rig(one)}: today {of}" for one, of in zip(results, today, strict=True))
    return Part(tuple(map(shortly.verdict, verdicts, said)), "answer")


def in_short(result: BuyResult) -> Iterator[Block]:
    """The answer of each list, what no list meets, and where prices are from."""
    yield Points("The proven answer:", tuple(text for _, text in answers(result)))
    yield from _forbidden(result)
    if result.policy:
        yield Points("The list must also leave:", result.policy)
    if quotes := dict.fromkeys(quote for one in result.purchases for quote in one.quotes):
        yield Points("Prices are from:", tuple(map(dated, quotes)))


def _forbidden(result: BuyResult) -> Iterator[Block]:
    said = [tuple(bought.out_of_reach(one)) for one in result.purchases]
    if len(set(said)) == 1 and said[0]:
        yield Points("Needs that no list can meet, and what forbids it:", said[0])
    else:
        for one, items in zip(result.purchases, said, strict=True):
            if items:
                yield Points(f"Needs that no list of {whence(result, one)} can meet, and what forbids it:", items)


def headline(result: BuyResult, one: Purchase, every: str = "to meet every scene") -> str:
    """The one line that is read if no other is; ``every`` says that all scenes are met."""
    back = ""
    if one.free:
        saved = "" if one.cost_as_is is None else f", {money(result, one.cost_as_is - one.cost)} saved"
        back = f"with {counted(sum(back.pieces for back in one.free), 'piece')} brought back first{saved}"
    scenes = met_of(one.after, "scenes met whole") + f", {back}" * bool(back)
    within = "" if one.budget is None else f" within {money(result, one.budget)}"
    short = "no list meets every scene" + " (pads are on no list)" * bought.lacks_pads(one)
    if not one.lines:
        helps = f"{short}, and nothing on offer serves a strut more"
        return f"{f'nothing to buy{within}' if one.whole or one.budget is not None else helps}; {scenes}"
    pieces = counted(one.pieces, "piece")
    moved = " moved" if any(line.moved for line in one.lines) else ""
    cost = f"{money(result, one.cost)} for {pieces}" if result.currency else f"{pieces}{moved}"
    if one.whole:
        best = "nothing cheaper does" if result.currency else "no fewer do"
        return f"{cost}{within} {every}, and {best}" + f"; {back}" * bool(back)
    if one.budget is not None:
        most = "scenes met by weight first, then struts by weight, then what is left over"
        return f"{cost}{within} does the most that such a budget buys ({most}); {scenes}"
    return f"{short}; {cost} does the most that any money buys; {scenes}"


def _told_once(result: BuyResult, say: Say, make: ByList[Iterable[Block]]) -> Iterator[Block]:
    """What how to read them says, what each list says by its name, lists alike together, and what all of them say."""
    names = [whence(result, one) for one in result.purchases]
    each = [tuple(make(result, one, say)) for one in result.purchases]
    shared = [block for block in each[0] if all(block in blocks for blocks in each)]
    yield from (block for block in shared if isinstance(block, str))
    own = [tuple(block for block in blocks if block not in shared) for blocks in each]
    for blocks in dict.fromkeys(own) if any(own) else ():
        alike = [name for name, other in zip(names, own, strict=True) if other == blocks]
        yield f"{listed(alike, 'and')}:"
        yield from blocks
    rest = [block for block in shared if not isinstance(block, str)]
    if rest and len(names) > 1:
        yield "Every list:" if any(own) else "All lists alike:"
    yield from rest


def _compared(result: BuyResult, say: Say) -> Iterator[Block]:
    yield (
        "The same needs from each quote by itself, and from all of them together: a row for all of a list, and "
        "where it is from several vendors one for each. Once is what is paid once, freight included; small "
        "order is charged where goods come to less than the vendor's least order."
    )
    money = "|".join(f"#{head}{bought.in_currency(result)}" for head in ("goods", "once", "small order", "in all"))
    rows: list[tuple[Cell, ...]] = []
    for one in result.purchases:
        for vendor, sums, pieces, met in _orders(one):
            amounts = (bought.cell(result, each) for each in sums)
            reached = (f"{met[0]} of {met[1]}", met[2]) if met else ("", "")
            rows.append((whence(result, one), vendor or None, *amounts, pieces, *reached))
    yield table(f"from|vendor|{money}|#pieces|scenes met|#struts served", rows)


def _orders(one: Purchase) -> Iterator[tuple[str, tuple[int, ...], int, tuple[int, int, int] | None]]:
    """Vendor, (goods, once, small order, in all), pieces; first in all, with scenes met, scenes and struts served."""
    each = [(o.source, (o.goods, o.once, o.small, o.cost), o.pieces, None) for o in one.orders]
    sums = tuple(map(sum, zip(*(paid for _, paid, _, _ in each), strict=True))) or (0,) * 4
    whole = (sum(s.met for s in one.after), len(one.after), sum(s.served for s in one.after))
    yield one.orders[0].source if len(each) == 1 else "all", sums, one.pieces, whole
    yield from each if len(each) > 1 else ()


def _order_rows(result: BuyResult, one: Purchase, _: Say) -> Rows:
    for vendor, sums, pieces, met in _orders(one):
        yield vendor, *bought.paid(result, *sums), pieces, *(met or (None,) * 3)


def asked(result: BuyResult | OfficeResult, say: Say) -> Iterator[Block]:
    """What every scene asks, and the step that its struts are counted on."""
    yield (
        "Weight says how often a scene is met. Struts served are counted on the step that their need asks: rated is "
        "assembled at once, restrained where the need asks for that, and rated for the load at every length asked."
    )
    rows = (
        (one.title or one.scene, one.need, say.asked(one.shortest, one.longest, one.contact),
         say.load_asked(one, one.factor), one.wanted, one.step, one.weight)
        for one in result.asks
    )  # fmt: skip
    yield say.table("scene|need|length, {length}|load each, {force}|#wanted|step|#weight", rows)


def _of_lists(rows: ByList[Rows]) -> Callable[[BuyResult, Say], Rows]:
    return lambda of, say: ((whence(of, one), *row) for one in of.purchases for row in rows(of, one, say))


def _by_list(heading: str, says: ByList[Iterable[Block]], heads: str, rows: ByList[Rows]) -> Topic:
    return Topic(heading, lambda result, say: _told_once(result, say, says), f"list from|{heads}", _of_lists(rows))


BEFORE_AND_AFTER = "Before and after"
STEPS = "From today to everything met"
ASKED = "What is asked"
LIST = (
    "part|from|moved|number|#packs|#in a pack|#at least|#pieces|currency|#a pack|#once|#cost"
    "|#scenes that lose struts without it"
)
ORDERS = "vendor|currency|#goods|#once|#small order|#in all|#pieces|#scenes met|#scenes|#struts served"
VERDICTS = (
    "verdict of the scene today|verdict of the scene with the list|verdict today with one missing"
    "|verdict with the list and one missing"
)
TABLE = "list"
SECTIONS: dict[str, Topic] = {
    "answer": Topic("In short", lambda one, _: in_short(one)),
    "free": _by_list(
        "Free first", bought.free, "part|serial|of rig|place|#pieces|why|do",
        lambda _, one, say: ((say.name(f.part), f.serial, f.rig, f.where, f.pieces, f.why, f.way) for f in one.free),
    ),
    "quotes": Topic("Quotes compared", _compared, f"list from|{ORDERS}", _of_lists(_order_rows)),
    "list": _by_list("The list", bought.the_list, LIST, bought.line_rows),
    "scenes": _by_list(BEFORE_AND_AFTER, bought.before_after, f"{bought.CHANGES}|{VERDICTS}", bought.change_rows),
    "steps": _by_list(STEPS, bought.frontier, "#step|currency|#cost|#scenes met|#struts served|part|from|#pieces",
                      bought.step_rows),
    "dead": replace(
        _by_list("Dead stock", bought.dead, bought.DEAD, bought.dead_rows),
        untold=lambda one: next((each.dead_untold for each in one.purchases if each.dead_untold), None),
    ),
    "asked": Topic(
        ASKED, asked, f"scene|need|{cells.ASKED}|step|#weight",
        lambda one, say: ((a.title or a.scene, a.need, *cells.asked(a, say), a.step, a.weight) for a in one.asks),
    ),
    **ENDING,
}  # fmt: skip
ALL_RIGS: dict[str, Topic] = {  # what is said once of several rigs, before the rigs
    "county": Topic("The county, each rig by itself", lambda _, __, told: of_county.blocks(Side(told.more["county"])),
                    of_county.SERVED, of_county.rows, beside=True),
}  # fmt: skip
