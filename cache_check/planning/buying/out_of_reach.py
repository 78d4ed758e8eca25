"""Needs that no purchase can meet, each with the rule, the length or the missing part that forbids it.

Each rule in force is switched off by itself: if the need can then be met, that rule forbids it.  Where no single
rule does, the lengths speak: how far what is on offer reaches.
"""

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import partial
from itertools import chain, product

from cache_check.errors import grouped
from cache_check.joining.assemblies import Block, Stack
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
    shop, everything = buyer.shop, buyer.everything
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
    """The asks that any assembly of a muster does, each on its highest step."""
    # A rule switched off can make hundreds of thousands, most alike in all that is asked: one of those alike is listed.
    blocks = [_Block(block, without.joined.settings) for block in without.joined.blocks]
    examples = {ask: found for ask in asks if (found := tuple(_examples(without, blocks, ask)))}
    if not examples:
        return []
    listed = without.narrowed(tuple(dict.fromkeys(chain(*examples.values()))))
    return [ask for ask in examples if listed.mask(ask, ask.top)]


class _Block:
    """A block of assemblies for all asks: pairs of fittings, and stacks by their parts rated by themselves (nm)."""

    def __init__(self, block: Block, settings: Mapping[str, tuple[Span, ...]]) -> None:
        self.shape, self.bodies = block.shape, [(body, settings[body.id]) for body in block.body.parts]
        self.extensions = sum(part.kind == "extension" for part in block.stacks[0].pieces)
        fittings = ends(block.ground, block.load)
        self.pairs = [(*two, _strong(two), added_length(two[0]) + added_length(two[1])) for two in fittings]
        apart = grouped((_strong(stack.pieces), stack) for stack in block.stacks)
        self.stacks = [(strong, own, [stack.length for stack in own]) for strong, own in apart.items()]
        added = [fixed + own[end].length for *_, fixed in self.pairs for own in apart.values() for end in (0, -1)]
        lows, highs = zip(*((own[0][0], own[-1][1]) for _, own in self.bodies), strict=True)
        self.reach = (min(lows) + min(added), max(highs) + max(added)) if added else (0, 0)


def _examples(muster: Muster, blocks: Iterable[_Block], ask: Ask) -> Iterator[Assembly]:
    """Assemblies that cover an ask, suit its contact and carry it: one of each that bases are held alike in."""
    seen, weak = set[object](), set[object]()
    for block in blocks:
        if ask.shortest < block.reach[0] or ask.longest > block.reach[1]:
            continue
        shaped = block.shape.families, block.shape.pins
        pairs = [pair for pair in block.pairs if muster.suits(pair[1].id, ask.contact)]
        for (body, settings), (strong, stacks, lengths) in product(block.bodies, block.stacks):
            # The chart speaks of families, body and extensions; what else is rated stands by its name.
            charted, covering = (body.id, block.extensions, strong, shaped), dict[int, Stack | None]()
            for base, head, rated, fixed in pairs if (charted, ()) not in weak else ():
                if fixed not in covering:
                    covering[fixed] = _covering(settings, ask, stacks, lengths, fixed)
                if (found := covering[fixed]) is None or (charted, rated) in weak:
                    continue
                key = (base.id, shaped, (body.id, head.id, block.extensions) if ask.place is not None else ())
                if key not in seen:
                    made = muster.joined.assembly(base, body, head, block.shape, found)
                    rating = partial(muster.capacity.rated, made, ask.shortest, ask.longest, muster.factor(ask))
                    if ask.place is not None or ask.load is None or (rating() or 0) >= ask.load:
                        seen.add(key)
                        yield made
                    else:
                        weak.add((charted, rated))


def _strong(parts: Iterable[Part]) -> tuple[str, ...]:
    return tuple([part.id for part in parts if part.strength is not None])


def _covering(
    settings: tuple[Span, ...], ask: Ask, stacks: list[Stack], lengths: list[int], fixed: int
) -> Stack | None:
    """The first of some stacks, rising in length, with which a body between ends that add so much covers an ask."""
    shortest, longest = ask.shortest - fixed, ask.longest - fixed
    for low, high in settings:
        at = bisect_left(lengths, longest - high)
        if at < len(lengths) and lengths[at] <= shortest - low:
            return stacks[at]
    return None


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
