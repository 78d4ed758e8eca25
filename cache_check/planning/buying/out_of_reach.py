"""Needs that no purchase can meet, each with the rule, the length or the missing part that forbids it.

Each rule in force is switched off by itself: if the need can then be met, that rule forbids it.  Where no single
rule does, the lengths speak: how far what is on offer reaches.
"""

from bisect import bisect_left
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import chain, product

from cache_check.joining.assemblies import Stack
from cache_check.joining.groups import ends
from cache_check.joining.seats import added_length
from cache_check.loads.capacity import RATING
from cache_check.model.assembly import Assembly, Span
from cache_check.model.part import Part
from cache_check.model.purchase import OutOfReach
from cache_check.model.rule import Setting
from cache_check.planning.buying.buy import Buyer
from cache_check.planning.buying.shop import Shop
from cache_check.planning.packing.muster import SUITING, Ask, Muster
from cache_check.planning.packing.packing import Packer
from cache_check.planning.packing.ratings import ANGLED
from cache_check.planning.packing.rows import RESTRAINING
from cache_check.planning.packing.tally import unrated
from cache_check.planning.packing.verdicts import binding


def out_of_reach(buyer: Buyer) -> tuple[OutOfReach, ...]:
    """The needs of which not all struts can be had at once, by themselves, with everything on offer."""
    shop = buyer.shop
    # As much of every offer as could be of use.
    everything = buyer.stock_with(tuple((o, shop.most_packs(o)) for o in range(len(shop.offers))))
    most: dict[tuple[int, int], int] = {}
    for s, scene in enumerate(shop.scenes):
        for n, need in enumerate(scene.needs):
            alone = tuple(need.count if m == n else 0 for m in range(len(scene.needs)))
            served = buyer.serves(s, everything, alone)
            if served < need.count:
                most[s, n] = served
    rules = _rules(shop, dict.fromkeys(shop.asks[key] for key in most if not shop.ways[key]))
    found = []
    for (s, n), served in most.items():
        scene, need = shop.scenes[s], shop.scenes[s].needs[n]
        says = _why(buyer, s, n, everything, served)
        found.append(OutOfReach(scene.id, need.id, need.count, served, says, rules.get(shop.asks[s, n], ())))
    return tuple(found)


def _rules(shop: Shop, asks: Iterable[Ask]) -> dict[Ask, tuple[str, ...]]:
    """For each ask the rules of which each by itself, switched off, would let it be met."""
    wide, forbidding, joining = shop.wide, forbidding_kinds(shop.wide), _joining(shop.wide)
    found: dict[Ask, tuple[str, ...]] = dict.fromkeys(asks, ())
    for rule in wide.book.rules if found else ():
        if rule.kind not in forbidding or rule.fixed or not wide.book.is_on(rule.id):
            continue
        off = Setting(rule=rule.id, on=False, by="trying what forbids it")
        without = wide.changed(book=wide.book.changed(settings=(*wide.book.settings, off)))
        if rule.kind not in joining:
            without.joined = wide.joined
        for ask in _done(without, [ask for ask in found if without.restraint_ruled or not ask.restrained]):
            found[ask] += (rule.id,)
    return found


def _done(without: Muster, asks: Iterable[Ask]) -> list[Ask]:
    """The asks that any assembly of a muster does, each on its highest step.

    A rule switched off can make assemblies by the hundred thousand, most of them alike in all that is asked: so only
    those are listed, of such as cover an ask and carry it, that differ in what may still keep them from doing it.
    """
    examples = {ask: found for ask in asks if (found := tuple(_examples(without, ask)))}
    if not examples:
        return []
    listed = without.narrowed(tuple(dict.fromkeys(chain(*examples.values()))))
    return [ask for ask in examples if listed.mask(ask, ask.top)]


def _examples(muster: Muster, ask: Ask) -> Iterator[Assembly]:
    """Assemblies that cover an ask, suit its contact and carry it: one of each base, families and pins.

    Whether a base is held depends on no more; in its place a strut is judged by its body and head too.
    """
    seen, weak = set[object](), set[object]()
    for block in muster.joined.blocks:
        shape = block.shape
        pairs = [(base, head, _strong((base, head))) for base, head in ends(block.ground, block.load)
                 if muster.suits(head.id, ask.contact)]  # fmt: skip
        extensions = sum(part.kind == "extension" for part in block.stacks[0].pieces)
        for body, (strong, stacks) in product(block.body.parts, _apart(block.stacks)):
            # The chart speaks of families, body and extensions; what else is rated stands by its name.
            charted, covering = (body.id, shape.families, extensions, shape.pins, strong), dict[int, Stack | None]()
            for base, head, rated in pairs if (charted, ()) not in weak else ():
                own = (body.id, head.id, extensions) if ask.place is not None else ()
                key, fixed = (base.id, shape.families, shape.pins, own), added_length(base) + added_length(head)
                if key in seen or (charted, rated) in weak:
                    continue
                if fixed not in covering:
                    covering[fixed] = _covering(muster.joined.settings[body.id], ask, stacks, fixed)
                if found := covering[fixed]:
                    made = muster.joined.assembly(base, body, head, shape, found)
                    if ask.place is not None or _carries(muster, made, ask):
                        seen.add(key)
                        yield made
                    else:
                        weak.add((charted, rated))


def _apart(stacks: tuple[Stack, ...]) -> tuple[tuple[tuple[str, ...], list[Stack]], ...]:
    """Stacks by the parts in them that are rated by themselves."""
    apart: dict[tuple[str, ...], list[Stack]] = {}
    for stack in stacks:
        apart.setdefault(_strong(stack.pieces), []).append(stack)
    return tuple(apart.items())


def _strong(parts: Iterable[Part]) -> tuple[str, ...]:
    return tuple(part.id for part in parts if part.strength is not None)


def _covering(settings: tuple[Span, ...], ask: Ask, stacks: list[Stack], fixed: int) -> Stack | None:
    """The first of some stacks, rising in length, with which a body between ends that add so much covers an ask."""
    for low, high in settings:
        at = bisect_left(stacks, ask.longest - high - fixed, key=lambda stack: stack.length)
        if at < len(stacks) and stacks[at].length <= ask.shortest - low - fixed:
            return stacks[at]
    return None


def _carries(muster: Muster, assembly: Assembly, ask: Ask) -> bool:
    if ask.load is None:
        return True
    least = muster.capacity.rated(assembly, ask.shortest, ask.longest, muster.factor(ask))
    return least is not None and least >= ask.load


def forbidding_kinds(muster: Muster) -> frozenset[str]:
    """The kinds of rule that decide which assemblies there are and which of them count, as the kinds say themselves."""
    return _joining(muster) | RESTRAINING | RATING | {SUITING, ANGLED}


def _joining(muster: Muster) -> frozenset[str]:
    return frozenset(kind.rule.kind for kind in muster.joined.joints.kinds if kind.forbids)


def _why(buyer: Buyer, s: int, n: int, everything: tuple[int, ...], most: int) -> str:
    ask, wide = buyer.shop.asks[s, n], buyer.shop.wide
    if buyer.shop.ways[s, n]:
        return _short_of(buyer, s, n, everything, most)
    if not wide.mask(ask, "assembled at once"):
        unlisted = wide.mask(replace(ask, contact=None), "assembled at once")
        return f"no head that is owned or on offer is listed for {ask.contact}" if unlisted else _length(wide, ask)
    if ask.restrained and not wide.mask(ask, "restrained"):
        return "assemblies that cover it stand on bases that cannot be restrained with what is owned and on offer"
    return unrated(wide, ask)


def _length(wide: Muster, ask: Ask) -> str:
    """What the lengths say: beyond the reach, between two settings, or wider than any travel."""
    if not (spans := wide.spans):
        return "no legal assembly can be made of what is owned and on offer"
    if ask.longest > max(high for _, high in spans):
        return "the longest assembly that can be made is shorter"
    if ask.shortest < min(low for low, _ in spans):
        return "the shortest assembly that can be made is longer"
    if all(any(low <= end <= high for low, high in spans) for end in (ask.shortest, ask.longest)):
        return "no one assembly covers the whole range without rebuilding"
    return "it falls between the lengths that assemblies can be set to"


def _short_of(buyer: Buyer, s: int, n: int, everything: tuple[int, ...], most: int) -> str:
    """The parts that are not on offer, or not enough of them, and of which more would help."""
    shop = buyer.shop
    columns = tuple(shop.wide.columns.all[i] for i in shop.ways[s, n])
    packer = Packer(columns, len(everything), clock=shop.wide.clock)
    bound = binding(packer, everything, (1 << len(columns)) - 1, most, shop.parts, shop.rows)
    more = bound.more(shop.today.cache.catalogue.said)
    return "not enough on offer" + (f": {' or '.join(more)} would help" if more else " of several parts at once")
