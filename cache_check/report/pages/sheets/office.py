"""The office page: what to buy and why, before and after, what each part's loss costs, and the rigs side by side."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from cache_check.model.purchase import BuyResult, Purchase
from cache_check.model.report import OfficeResult, ReportResult
from cache_check.report import basis, cells, findings, of_buy, of_county
from cache_check.report import bought as changes
from cache_check.report.answer import Told
from cache_check.report.page import Block, Points, table
from cache_check.report.pages.sheets import county
from cache_check.report.pages.shell import Part, Sheet, rests_on, to_sign
from cache_check.report.say import Say
from cache_check.report.tally import bracketed, served_met

KIND, NAME, ORDER, OF = "office", "Office", 50, "offices"
WIDE_PARTS = ("The list", of_buy.BEFORE_AND_AFTER, of_buy.STEPS, findings.LOSS, of_county.SIDE_BY_SIDE, of_buy.ASKED)
HEAVIEST = "Heaviest car held, by contact height"
PROVEN = (
    "It is proven that no list that costs less does as much. Lost without: so many scenes fall short without the line; "
    "where none does, it is there for what must be left over. What they fall to stands on the next side."
)
TO_SIGN = ("Asked for by", "Approved by")


def sheet(result: OfficeResult, told: Told, _key: str) -> Sheet:
    """The page: the request on side one, what it rests on after; what is of several rigs stands on one of them."""
    whole: ReportResult = told.more["report"]
    first, last, alone = result is whole.offices[0], result is whole.offices[-1], len(whole.offices) == 1
    say, bought = Say.of(result), result.bought
    unbought = Part("The request", (f"NOT PROVEN, so no list is given: {result.unbought}",))
    losses: Iterable[Block] = (f"NOT PROVEN: {result.unlost}",)
    if result.losses is not None:
        losses = findings.lost(result.losses, ((ask.scene, ask.step) for ask in result.asks), say, every=alone)
    annex = [
        *(_more(bought, say, alone) if bought else ()), Part(HEAVIEST, tuple(_heaviest(result, say))),
        rests_on(result.basis, told), Part(findings.LOSS, tuple(losses)),
        *(county.sided(result) if first and whole.county is None else ()),
        *([Part(of_buy.ASKED, tuple(of_buy.asked(result, say)))] if last else []),
    ]  # fmt: skip
    return Sheet(
        "office", f"{result.title}: what to buy, and what a loss costs", basis.head(result.basis),
        tuple(_request(bought, say)) if bought else (unbought,), of=result.name,
        annex=tuple(replace(part, look="wide" if part.heading.startswith(WIDE_PARTS) else "") for part in annex),
    )  # fmt: skip


def _request(result: BuyResult, say: Say) -> Iterator[Part]:
    one = result.purchases[-1]
    lead, *rest = of_buy.in_short(result)
    assert isinstance(lead, Points)
    *others, asked = lead.items
    from_one = [Points("From one quote by itself:", tuple(others))] * bool(others)
    yield Part("The request", (asked, *from_one, *rest))
    if one.free or changes.unsettled(one):
        yield Part("To put right first, for nothing", tuple(changes.free(result, one, say)))
    yield Part(_of("The list", result, one), tuple(changes.the_list(result, one, say, why=False)))
    yield Part("Scenes, today and with the list", tuple(_scenes(one)))
    if one.lines:
        yield Part("Why nothing cheaper does", (PROVEN,))
    yield Part("Signed", (to_sign(TO_SIGN, "date"),))


def _scenes(one: Purchase) -> Iterator[Block]:
    both = tuple(zip(one.before, one.after, strict=True))
    changed = [(now, then) for now, then in both if now.served != then.served or not (now.met and then.met)]
    rows = [(then.title or then.scene, then.wanted, now.served, then.served, served_met(then)) for now, then in changed]
    if rows:
        yield table("scene|#struts wanted|#today|#with the list|then", rows)
    if same := [then for now, then in both if (now, then) not in changed]:
        yield f"Met today as well: {'; '.join(f'{one.title or one.scene}{bracketed(one.missing)}' for one in same)}."


def _of(heading: str, result: BuyResult, one: Purchase) -> str:
    return f"{heading}, {changes.whence(result, one)}" if len(result.purchases) > 1 else heading


def _more(result: BuyResult, say: Say, alone: bool) -> Iterator[Part]:
    """What the list rests on; the other lists too where the rig is ``alone``, else side one has their cost."""
    last = result.purchases[-1]
    for one in result.purchases[:-1] if alone else ():
        yield Part(_of("The list", result, one), tuple(changes.the_list(result, one, say)))
    if more := tuple(changes.more_of(last, say)):
        yield Part(_of("The list line by line", result, last), more)
    yield Part(_of(of_buy.BEFORE_AND_AFTER, result, last), tuple(changes.before_after(result, last, say, ways=False)))
    for one in result.purchases if alone else ():
        if one.frontier:
            yield Part(_of(of_buy.STEPS, result, one), tuple(changes.frontier(result, one, say)))
    yield Part(_of("Dead stock", result, last), tuple(changes.dead(result, last, say)))


def _heaviest(result: OfficeResult, say: Say) -> Iterator[Block]:
    if (one := result.heaviest) is None:
        yield f"NOT TOLD: {result.unweighed}"
        return
    yield (
        f"A car on its side on level ground, as high as it is wide, met at its upper edge by {one.struts} struts at "
        f"{say.angle(one.angle_deg)}, each base held by as many straps or chains as the rules ask; any two struts may "
        "have to carry it all. At rest its weight lies half its width inside the edge that it would turn about, which "
        "is straight under the one met, and rights it against the push; leaning it lies as far outside. Not judged "
        "here: ground, kind of contact, reach of straps, what pre-tension moves. None: not so many that are known to "
        "hold it stand there at once."
    )
    if not one.rows:
        yield "Its struts reach no round contact height at that angle; ask load of a place."
        return
    rows = (
        (*(say.bare_length(length, "nearest") for length in lengths),
         "whatever it weighs" if one.rights else cells.down(rest, say) or "none", cells.down(leans, say) or "none")
        for *lengths, rest, leans in one.rows
    )  # fmt: skip
    heads = "#contact height, {length}|#strut, {length}|#heaviest at rest, {force}|#heaviest leaning, {force}"
    yield say.table(heads, rows)
    yield Points("Assumed; load works out any other place:", one.assumed)
