"""The office page: what to buy and why, before and after, what each part's loss costs, and the rigs side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial

from cache_check.model.cache import Source
from cache_check.model.office import Losses, OfficeResult
from cache_check.model.purchase import BuyResult, Purchase
from cache_check.model.report import ReportResult
from cache_check.model.rule import RuleBook
from cache_check.report import basis, of_buy, of_county
from cache_check.report import bought as changes
from cache_check.report.answer import Told
from cache_check.report.figures import before_after, canvas, frontier
from cache_check.report.page import Block, Page, Paragraph, Points, Section, Table, short, words
from cache_check.report.pages.sheet import Figure, Part, Sheet, Widget, parts_of
from cache_check.report.say import Say, counted, listed

KIND, NAME, ORDER = "office", "Office", 50
LOSS = "What each part's loss costs"
WIDE_PARTS = ("The list", LOSS, of_county.SIDE_BY_SIDE)
Blocks = tuple[Block | Figure | Widget, ...]


def sheets(result: ReportResult, book: RuleBook, read: Sequence[Source]) -> Iterator[Sheet]:
    """A page for each cache."""
    for number, one in enumerate(result.offices, 1):
        yield sheet(one, book, read, f"office-{number}")


def sheet(result: OfficeResult, book: RuleBook, read: Sequence[Source], key: str) -> Sheet:
    """The page; ``key`` begins the ids of its figures."""
    say = Say(result.basis.units, result.names)
    bought = list(_bought(result, result.bought, book, read, key)) if result.bought else [_unbought(result)]
    told = {part.heading: part for part in _without_purchase(result, say, book, read)}
    parts = [part for part in bought if part.heading not in told]
    parts += [Part(LOSS, tuple(_losses(result, say))), *_side(result), *told.values()]
    return Sheet(
        "office",
        f"{result.title}: what to buy, and what a loss costs",
        basis.head(result.basis),
        tuple(replace(part, wide=part.heading.startswith(WIDE_PARTS)) for part in parts),
        of=result.name,
    )


def _without_purchase(result: OfficeResult, say: Say, book: RuleBook, read: Sequence[Source]) -> tuple[Part, ...]:
    """What is said whether or not anything could be bought."""
    sections = (of_buy.asked(result.asks, say), basis.rests_on(result.basis, book, read))
    return parts_of(Page("", sections))


def _unbought(result: OfficeResult) -> Part:
    return Part("In short", (Paragraph(f"NOT PROVEN, so no list is given: {result.unbought}"),))


def _bought(
    result: OfficeResult, bought: BuyResult, book: RuleBook, read: Sequence[Source], key: str
) -> Iterator[Part]:
    """The parts of the page of ``buy``, with a figure of all steps and one for each list."""
    names = [of_buy.whence(bought, one) for one in bought.purchases]
    drawn = {
        f"{of_buy.BEFORE_AND_AFTER}{'' if len(names) == 1 else f', {name}'}": (one, name, n)
        for n, (one, name) in enumerate(zip(bought.purchases, names, strict=True), 1)
    }
    for part in parts_of(_page(bought, book, read)):
        if part.heading in drawn:
            one, name, n = drawn[part.heading]
            yield _after_table(part, _changed(one, name, f"{key}-list-{n}"))
        else:
            yield part
        if part.heading == "In short" and frontier.worth(bought):
            yield Part("What money does, step by step", _steps(bought, names, key))


def _page(result: BuyResult, book: RuleBook, read: Sequence[Source]) -> Page:
    """What ``buy`` answers, each list's sections after one another."""
    say = Say(result.basis.units, result.names)
    told, own = Told(book, read), of_buy.SECTIONS
    sections = [own["answer"](result, told)] + [own["quotes"](result, told)] * (len(result.purchases) > 1)
    for one in result.purchases:
        of = f", {of_buy.whence(result, one)}" if len(result.purchases) > 1 else ""
        steps = {(ask.scene, ask.need): ask.step for ask in result.asks}
        sections += [
            Section(f"The list{of}", tuple(of_buy.the_list(result, one, say))),
            Section(f"{of_buy.BEFORE_AND_AFTER}{of}", tuple(changes.before_after(one, steps, say))),
            Section(f"{of_buy.STEPS}{of}", tuple(changes.frontier(one, partial(of_buy.money, result), say))),
            Section(f"Dead stock{of}", tuple(changes.dead(one, say))),
        ]
    return Page("", (*sections, own["asked"](result, told), own["basis"](result, told)))


def _after_table(part: Part, figure: Figure) -> Part:
    at = next(n for n, one in enumerate(part.blocks) if isinstance(one, Table)) + 1
    return replace(part, blocks=(*part.blocks[:at], figure, *part.blocks[at:]))


def _changed(one: Purchase, name: str, key: str) -> Figure:
    title = f"Struts wanted, served today, and served with the list: {short(name, 60)}"
    drawn = canvas.inline(before_after.draw((one,), ("with the list",)), title, key)
    short_of = sum(not scene.met for scene in one.after)
    then = "every scene is met" if one.whole else f"{counted(short_of, 'scene')} still short"
    left = len(one.after) - before_after.MOST_SCENES
    more = f" {counted(left, 'more scene')} in the table, not drawn." if left > 0 else ""
    return Figure(drawn, f"Each scene's struts on the step that its needs ask; with the list {then}.{more}")


def _steps(bought: BuyResult, names: Sequence[str], key: str) -> Blocks:
    title = f"Scenes met and struts served by {frontier.unit(bought)}: {short(', '.join(names), 120)}"
    told = (
        f"From today's {bought.purchases[0].frontier[0].struts} struts. What is met counts first, each scene by its "
        "weight, then struts; so a costlier step may give up a scene of less weight for one of more. The figures are "
        "in the tables below, step by step."
    )
    left = len(names) - frontier.MOST_LISTS
    more = f" {counted(left, 'more list')} in the tables, not drawn." if left > 0 else ""
    drawn = canvas.inline(frontier.draw(bought, names), title, f"{key}-steps")
    return (Figure(drawn, told + more),)


def _losses(result: OfficeResult, say: Say) -> Iterator[Block]:
    losses = result.losses
    if losses is None:
        yield Paragraph(f"NOT PROVEN: {result.unlost}")
        return
    if not losses.parts:
        yield Paragraph("No usable piece of any part that a strut takes: there is nothing to lose.")
        return
    yield Points(*_worst(losses, say))
    yield Paragraph(
        "Today, without anything bought. In each cell: struts served, on the step in the head, all needs of the scene "
        "at once, with one usable piece gone (and with all of them gone). Costliest first. Of a base, one with enough "
        "attachment points is lost first."
    )
    heads = "|".join(
        ["part lost", "#usable", *(f"#{_head(result, *one)}" for one in losses.scenes), "one lost costs in all"]
    )
    today = ("none lost", "", *(_of(n, w) for n, w in zip(losses.served, losses.wanted, strict=True)), "")
    rows = tuple(
        (
            say.name(one.part),
            str(one.usable),
            *(f"{left} (all: {none})" for left, none in zip(one.one, one.none, strict=True)),
            _in_all(losses, one.one),
        )
        for one in losses.parts
    )
    yield Table(words(heads), (today, *rows))


def _head(result: OfficeResult, scene: str, title: str, _weight: int) -> str:
    """A scene and the steps that its needs ask."""
    steps = listed(dict.fromkeys(ask.step for ask in result.asks if ask.scene == scene), "and")
    return f"{short(title or scene, 40)}, {steps}".replace("|", "/")


def _of(served: int, wanted: int) -> str:
    return f"{served} of {wanted}"


def _worst(losses: Losses, say: Say) -> tuple[str, tuple[str, ...]]:
    """The loss of one piece that costs most; several where they cost the same."""
    worst = losses.cost(losses.parts[0].one)
    if not any(worst):
        served = "no strut can be lost: none is served" if not any(losses.served) else "no loss of one piece costs any"
        return f"One piece lost: {served} scene a strut.", ()
    same = [one for one in losses.parts if losses.cost(one.one) == worst]
    return "One piece whose loss costs most:", tuple(
        f"{say.name(one.part)} ({one.usable} usable): {_cost(losses, one.one)}" for one in same
    )


def _cost(losses: Losses, left: tuple[int, ...]) -> str:
    """The scenes that serve fewer struts, and those that are then no longer met."""
    said = []
    for (scene, title, _), wanted, now, then in zip(losses.scenes, losses.wanted, losses.served, left, strict=True):
        if then < now:
            fails = ", no longer met" if now >= wanted else ""
            said.append(f"{short(title or scene, 60)} {now} to {then}{fails}")
    return "; ".join(said) or "nothing"


def _in_all(losses: Losses, left: tuple[int, ...]) -> str:
    """How many struts fewer in all scenes, and how many scenes are no longer met."""
    struts = sum(losses.served) - sum(left)
    failed = sum(now >= wanted > then for wanted, now, then in zip(losses.wanted, losses.served, left, strict=True))
    fails = f"; {counted(failed, 'scene')} no longer met" if failed else ""
    return f"{counted(struts, 'strut')}{fails}" if struts else "nothing"


def _side(result: OfficeResult) -> Iterator[Part]:
    if result.unsided:
        yield Part(of_county.SIDE_BY_SIDE, (Paragraph(f"NOT PROVEN: {result.unsided}"),))
    elif result.side is not None:
        yield Part(of_county.SIDE_BY_SIDE, of_county.side_by_side(result.side))
