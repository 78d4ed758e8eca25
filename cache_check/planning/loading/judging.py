"""The verdict of a situation: the worst link of the struts that would stand there, for as many as are wanted."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from cache_check.frozen import dataclass
from cache_check.model.load import Carrier
from cache_check.model.load import Wanted as ByLimit
from cache_check.model.situation import Situation
from cache_check.model.verdict import Link, LinkCheck, worst
from cache_check.planning.loading.carrying import Here
from cache_check.planning.loading.demand import need_a_pad, pads_large, told
from cache_check.planning.loading.holding import hardware_of
from cache_check.planning.packing.choice import settled
from cache_check.planning.packing.rows import bits, mask_of
from cache_check.planning.packing.verdicts import hoped_stock, uncounted, unruled_why

FLOOR = "floor of struts"
CHECKED = {
    "angle": "strut_angle", "head": "head_for_contact", "head kept from slipping": "head_captured",
    "charts held to be sane": "chart_sane", "hardware of ties": "anchor_hardware", "spread of straps": "strap_spread",
    "ground": "ground_bearing",
    "attachment points of bases": "attachment_points", "reach of straps": "strap_reach",
    "far anchors": "restraint_marked", "stays down": "stays_down", "pre-tension": "pretension_push",
    FLOOR: "strut_count",
}  # fmt: skip
"""What is checked only while a rule of some kind is in force."""
TICKS = (
    "inspected before use; what took a shock is out", "wheels chocked, cribbing follows", "both sides opposed",
    "contact above the centre of gravity and on structure", "ground firm, its slope in the figures",
    "no side load: strut and straps in one plane", "pins kept, locks turned", "edges protected",
    "tails tied off, handles secured",
)  # fmt: skip
CHAINED = ("hardware of the chain's grade", "hooks not loaded at the tip, chain not twisted")
AFTER = ("one watcher who can stop the work, collapse zone clear", "worked out again after every cut and movement",
         "inspected after use")  # fmt: skip
"""What no figure says and someone must look at before a strut is loaded and after; common practice, no source."""


@dataclass(frozen=True)
class Wanted:
    """How many struts are asked for, how many planned, and policy's floors of the class stated, else of every class."""

    count: int
    planned: int
    floors: dict[str, int]


def links(here: Here, found: tuple[Carrier, ...], wanted: Wanted) -> tuple[LinkCheck, ...]:
    """The links of the best strut that is not surely enough, and of the number; their worst is the verdict."""
    met = here.at_once(["met"])
    maybe = met if met >= wanted.count else here.at_once(["met", "not known"])
    hoped = () if maybe >= wanted.count else _hoped(here, wanted.count)
    if not found:
        kept_out = (f"; {here.name(part)}: {why}" for part, why in here.faults.items())
        why = f"no assembly of the pieces that count reaches it{next(kept_out, '')}"
        ask = "find out what is not known" if hoped else ""
        return (told("length", "length", "needs_met", None if hoped else False, why, ask), *_unruled(here), *hoped)
    shown = found[0]
    if met < wanted.count <= maybe:
        shown = next((one for one in found if one.verdict == "not known"), shown)
    own = () if hoped and shown.verdict == "not met" else _at_hand(here, shown)
    maybe = wanted.count if hoped else maybe
    return (*own, *_unruled(here), *_number(here, found[0], wanted, met, maybe), *hoped)


def _unruled(here: Here) -> Iterator[LinkCheck]:
    """That no base is called restrained where no rule in force says what that is, whatever its thrust asks."""
    if not here.restraint_ruled and here.demand.one.ties != "none":
        yield told("ties", "restraint", "straps_per_base", None, *unruled_why(here))


def shown(here: Here, found: tuple[Carrier, ...]) -> tuple[Carrier, ...]:
    """The assemblies as they are told: none holds without ties at hand, or where no rule says what holds a base."""
    more = tuple(_unruled(here))
    every = ((one, (*_at_hand(here, one), *more)) for one in found)
    return tuple(replace(one, links=links, verdict=worst(links)) for one, links in every)


def alike(here: Here, best: Carrier | None, wanted: int) -> bool:
    """Whether so many struts stand at once like the best, each held its way; so of one that does not hold by itself."""
    if best is None or not best.carries:
        return True
    mask = here.columns.of_assembly[here.columns.assemblies.index(best.assembly)] & here.by_verdict["met"] & here.there
    own = [column for column in bits(mask) if here.judged.held(column)[1] in ((), (best.way,))]
    return here.packer.reaches(here.stock, mask_of(own, len(here.columns.all)), wanted)


def _at_hand(here: Here, one: Carrier) -> tuple[LinkCheck, ...]:
    """The links of an assembly; those of its ties do not hold where too few are usable for its base in any way."""
    if (way := one.way) is None:
        return one.links
    counts, name, tie = here.usable.counts, here.name, here.ties.of[way.part]
    wanted = {tie.id: 1, **{each.id: tie.hardware[each.id] for each in hardware_of(here.cache, tie)}}
    few = {part: n * way.per_base for part, n in wanted.items() if counts[part] < n * way.per_base}
    held = here.columns.of_assembly[here.columns.assemblies.index(one.assembly)] & here.columns.tied if few else 0
    if not few or held & here.there:
        return one.links
    hoped = held & here.columns.within(here.hoped_stock(1))
    short = {name(part): f"{counts[part]} usable, {n} wanted on one base" for part, n in few.items()}
    state, ask = (None, "") if hoped else (False, "bring more")
    links = (
        told("ties", link.link, "straps_per_base", state, short[link.link], ask)
        if link.state == "holds" and link.link in short else link
        for link in one.links
    )  # fmt: skip
    return tuple(link for link in links if tie.id not in few or link.kind != "strap_reach" or link.state != "holds")


def _hoped(here: Here, wanted: int) -> tuple[LinkCheck, ...]:
    """The pieces of which something is not known, and with which so many may stand here; none where they would not."""
    if not here.unknown_pieces and not here.cache.uncounted and not here.columns.unmixed:
        return ()
    stock = hoped_stock(here, here.stock, wanted)
    mask = (here.by_verdict["met"] | here.by_verdict["not known"]) & here.columns.within(stock)
    count, plan, _ = settled(here.packer, stock, mask, wanted)
    links = uncounted(here, plan, here.stock) if count >= wanted else ()
    return tuple(told("number", one.name, "needs_met", None, one.why, one.ask) for one in links)


def _number(here: Here, best: Carrier, wanted: Wanted, met: int, maybe: int) -> Iterator[LinkCheck]:
    """Enough for all struts at once, each with its own ties, hardware, pads and pins; and no fewer than the floor."""
    holds = True if met >= wanted.count else None if maybe >= wanted.count else False
    why = f"{wanted.count} wanted at once, each with its own ties and hardware: {met} of which every link holds"
    if holds is False and maybe > met:
        why += f", {maybe} if the unknown ones do"
    ask = "settle what is not known of each" if holds is None else "bring more, or load each less"
    if any(link.state == "does not hold" and link.bars() for link in best.links):
        ask = "put right what keeps each from holding"  # which no number of them does
    yield told("number", "number", "needs_met", holds, why, ask)
    mask = here.by_verdict["met"] | (0 if met >= wanted.count else here.by_verdict["not known"])
    needing, pads = _pads(here, best, wanted.count, mask)
    if needing > pads:
        why = f"{need_a_pad(needing)}, {pads} large enough on the book"
        yield told("number", "pads", "ground_bearing", False, why, "bring pads that are large enough")
    yield from _floor(wanted, here.demand.one)


def _pads(here: Here, best: Carrier, wanted: int, mask: int) -> tuple[int, int]:
    """How many bases of so many struts of some columns, else of the best, need a pad; how many are large enough."""
    needing, least = here.judged.pads(mask & here.columns.within(here.stock), wanted)
    if not mask:
        least = here.links.ground.pad_needed(best.assembly.ground, best.way.own if best.way else Fraction(0))
        needing = wanted if least else 0
    return needing, sum(number for _, number in pads_large(here, least))


def missing(here: Here, best: Carrier, wanted: Wanted, one: Link | None) -> Link | None:
    """Beside what is met, whether it still is with any ``one`` piece missing, a pad that a base needs among them."""
    needing, pads = _pads(here, best, wanted.count, here.by_verdict["met"])
    if one is None or one.state != "holds" or not needing or needing < pads:
        return one
    why = f"{need_a_pad(needing)}, {pads - 1} large enough then"
    return Link(one.name, "does not hold", why, "hold one more pad that is large enough")


def _floor(wanted: Wanted, one: Situation) -> Iterator[LinkCheck]:
    """How many of one side are not stated; that fewer are planned than policy asks of the class, not known without."""
    sides = {"on_this_side": one.on_this_side or one.strut_places or None, "on_the_other_side": one.on_the_other_side}
    unsaid = [side for side, number in sides.items() if number is None]
    if len(unsaid) == 1:  # who states neither asks of one strut
        why = f"{unsaid[0]} not stated: more may be wanted"
        yield told("number", "struts of both sides", "needs_met", None, why, f"say how many: {unsaid[0]}")
    if wanted.planned >= (most := max(wanted.floors.values(), default=1)):
        return
    planned = f"{wanted.planned} in all"
    if one.vehicle is None:
        floors = ", ".join(f"{of} {least}" for of, least in wanted.floors.items())
        why, ask = f"class not stated ({floors}), {planned}", "see of which class: vehicle"
        yield told("number", FLOOR, "strut_count", None, why, ask)
    else:
        why = f"{planned}; policy asks for {most} on this class of vehicle"
        yield told("number", FLOOR, "strut_count", False, why, "stand up more struts")


def limit(one: Situation, wanted: ByLimit | None) -> Iterator[LinkCheck]:
    """The limit set for one strut asks for no more than are there, by equal share as such limits are meant."""
    if one.strut_limit is not None and wanted is not None:
        short = wanted.by_load > one.sharing
        why = f"the load takes {wanted.by_load} struts by equal share, {one.sharing} on this side"
        yield told("number", "limit of one strut", "strut_count", not short, why, "stand up more struts")


def unchecked(here: Here) -> tuple[str, ...]:
    """What no rule in force looks at here, and what no figure of the situation lets be worked out."""
    said = [f"{what}: no rule on it is in force" for what, kind in CHECKED.items() if not here.book.in_force(kind)]
    if here.demand.lifted is None:
        said.append("whether the vehicle stays on its pivot: weight and where it lies are not both known")
    if here.demand.one.on_the_other_side:
        said.append("what comes on the struts of the other side: ask it of that side, too")
    return tuple(said)


def ticks(one: Situation, best: Carrier | None) -> tuple[str, ...]:
    """What is to be looked at and ticked; of chain only where chain may hold a base."""
    chained = one.ties in {"either", "chains"} or (best and best.way and best.way.kind == "chain")
    return (*TICKS, *(CHAINED if chained else ()), *AFTER)


def failed(here: Here, best: Carrier | None) -> tuple[str, ...]:
    """What one strut, and one tie, that fails in place leaves; whether the rest hold it."""
    struts, way = here.demand.one.sharing, best.way if best else None
    each = "each of the others then" if struts > 2 else "the other then takes all, and"
    stand = best is not None and best.carries and here.at_once(["met"]) >= struts and not any(_unruled(here))
    holds = "holds" if stand else "is not shown to hold"
    left = f"{each} {holds}; checked above as a way of sharing" if struts > 1 else "none is left on this side"
    if best is None or way is None:
        return (f"one strut failed: {left}",)
    rest = "the rest are over their limit, or it is not known"
    if way.one_failed is None:
        rest = "the base swings"
    elif here.demand.known is not None and here.links.hold(best.assembly.ground, way, way.one_failed):
        rest = "the rest hold the base"
    return f"one strut failed: {left}", f"one tie failed: {rest}"
