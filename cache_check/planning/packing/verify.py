"""An independent look at every packing before anyone sees it: built by the rules, from the stock, to the ask.

It works from the parts and the rules, not from columns, rows or masks, so that a mistake there cannot hide.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from cache_check.errors import CacheCheckError, summed
from cache_check.joining.seats import families_of, settable
from cache_check.joining.stock import counted, least
from cache_check.model.assembly import Assembly
from cache_check.model.counting import Packing, Step
from cache_check.model.part import Adapter, Body, Extension, Fitting, Tie
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.ratings import stands_at


class FalsePlanError(CacheCheckError):
    """A plan of our own that does not hold: our fault, never the reader's."""


def verify(muster: Muster, ask: Ask, step: Step, packing: Packing) -> None:
    """Refuse a packing that breaks a rule, takes what is not there, or misses its ask (FalsePlanError: every fault)."""
    wrong = [*_wrong_struts(muster, ask, step, packing), *_wrong_stock(muster, packing)]
    if muster.holds(ask, step):
        wrong += _wrong_restraint(muster, packing)
        wrong += _wrong_holds(muster, ask, packing) if step == "rated" and ask.load is not None else ()
    if packing.count != sum(number for _, number in packing.assemblies) or packing.count > packing.bound:
        wrong.append(f"{packing.count} struts are claimed, at most {packing.bound} proven")
    if wrong:
        raise FalsePlanError("a plan failed its own verification: " + "; ".join(wrong))


def verify_together(muster: Muster, whole: Packing, parts: Sequence[Packing], held: Sequence[Packing]) -> None:
    """Refuse (FalsePlanError) packings, some ``held``, that together take what is not there or are not the whole."""
    wrong = list(_wrong_stock(muster, whole))
    together = summed(each for part in parts for each in part.assemblies)
    if together != Counter(dict(whole.assemblies)):
        wrong.append("the parts of the plan are not the plan")
    wrong += wrong_points(muster, [taken for part in held for taken in part.assemblies])
    if sum((Counter(dict(part.ties)) for part in parts), Counter[str]()).total() != Counter(dict(whole.ties)).total():
        wrong.append("the straps and chains of the parts are not those of the plan")
    if whole.count > whole.bound:
        wrong.append(f"{whole.count} struts are claimed, at most {whole.bound} proven")
    if wrong:
        raise FalsePlanError("a plan failed its own verification: " + "; ".join(wrong))


def _wrong_struts(muster: Muster, ask: Ask, step: Step, packing: Packing) -> Iterator[str]:
    catalogue = muster.cache.catalogue
    for assembly, _ in packing.assemblies:
        parts = [catalogue.by_id[part] for part in assembly.parts]
        for broken in muster.laid.broken(assembly.parts):
            if broken.severity == "stop":
                yield f"{broken.rule}: {broken.says}"
        body = catalogue.by_id[assembly.body]
        assert isinstance(body, Body)
        fixed = sum(p.adds if isinstance(p, Fitting) else p.length for p in parts
                    if isinstance(p, Fitting | Extension | Adapter))  # fmt: skip
        spans = [(low + fixed, high + fixed) for low, high in settable(body)]
        if not any(low <= ask.shortest and ask.longest <= high for low, high in spans):
            yield f"{assembly.parts} does not cover {ask.shortest} to {ask.longest} nm"
        if not muster.suits(assembly.load, ask.contact):
            yield f"{assembly.load} is not listed for {ask.contact}"
        if step == "rated" and ask.load is not None:
            if not stands_at(muster.book, {part.family for part in parts}, ask.angle):
                yield f"{assembly.parts} may not stand at the angle asked"
            if (muster.capacity.rated(assembly, ask.shortest, ask.longest, muster.factor(ask)) or 0) < ask.load:
                yield f"{assembly.parts} is not rated for the load asked"


def _wrong_stock(muster: Muster, packing: Packing) -> Iterator[str]:
    taken, anchored = Counter[str](), muster.book.in_force("anchor_hardware")
    for assembly, number in packing.assemblies:
        for part, each in [*((part, 1) for part in assembly.parts), *assembly.pins]:
            taken[part] += each * number
    for part, number in packing.ties:
        tie = muster.cache.catalogue.by_id[part]
        assert isinstance(tie, Tie)
        taken[part] += number
        for name, each in tie.hardware.items() if anchored else ():
            taken[name] += each * number
    for part, number in taken.items():
        if number > muster.usable.counts[part]:
            yield f"{number} {part} are taken, {muster.usable.counts[part]} usable"
    for assembly, _ in packing.assemblies:
        if not is_made_of_its_parts(muster, assembly):
            yield f"the pins of {assembly.parts} are not those of its joints, whichever way up its parts sit"


def is_made_of_its_parts(muster: Muster, assembly: Assembly) -> bool:
    """Whether an assembly is what its parts make in their order, in some way of turning and pinning them."""
    parts = [muster.cache.catalogue.by_id[part] for part in assembly.parts]
    return assembly in muster.laid.joined.assemblies_of(parts)


def _wrong_restraint(muster: Muster, packing: Packing) -> list[str]:
    wrong = list(wrong_points(muster, packing.assemblies))
    each: Counter[int] = Counter()
    for assembly, number in packing.assemblies:
        # What the strut's families and those of some of its ties ask: the least of it, for a plan lists ties in all.
        own = _families(muster, assembly)
        asked = [own | {muster.cache.catalogue.by_id[tie].family} for tie, _ in packing.ties] or [own]
        each[min(int(muster.book.ruled("straps_per_base", "min", sorted(of), 0)) for of in asked)] += number
    wanted = sum(ties * number for ties, number in each.items())
    kinds: Counter[str] = summed((muster.cache.catalogue.by_id[part].kind, number) for part, number in packing.ties)
    if kinds.total() < wanted:
        wrong.append(f"{kinds.total()} straps or chains on bases that take at least {wanted}")
    elif muster.book.in_force("unmixed_ties") and not _unmixed(each, kinds):
        wrong.append("some base would be held by straps and chains together")
    return wrong


def _wrong_holds(muster: Muster, ask: Ask, packing: Packing) -> Iterator[str]:
    """Where the ties of a plan, not of a large store, are fewer than hold what its loaded bases push out."""
    if muster.judge is None or muster.large:
        return
    wanted = 0
    for assembly, number in packing.assemblies:
        # Each base is given the fewest of the strongest: what fails so always fails.
        each = [muster.judge.fewest(ask, assembly.ground, tie) for tie, _ in packing.ties]
        holding = [fewest for fewest in each if fewest is not None]
        if not holding:
            yield f"no strap or chain of the plan holds {assembly.ground} under the load asked"
        wanted += number * min(holding, default=0)
    taken = sum(number for _, number in packing.ties)
    if taken < wanted:
        yield f"{taken} straps or chains on bases that push out what at least {wanted} hold"


def wrong_points(muster: Muster, struts: Iterable[tuple[Assembly, int]]) -> Iterator[str]:
    """Where restrained struts take more bases than have the points that the strictest of their families wants."""
    wanted: dict[str, Counter[int]] = {}
    for assembly, number in struts:
        wanted.setdefault(assembly.ground, Counter())[least(muster.book, _families(muster, assembly))] += number
    for base, by_points in wanted.items():
        own = muster.usable.least_points[base]
        for points in by_points:
            taken = sum(n for other, n in by_points.items() if other >= points)
            have = muster.usable.pointed[base if points <= own else counted(base, points)]
            if taken > have:
                yield f"{taken} {base} are restrained, {have} have {points} points"


def _families(muster: Muster, assembly: Assembly) -> frozenset[str]:
    return families_of(tuple(muster.cache.catalogue.by_id[part] for part in assembly.parts))


def _unmixed(each: Counter[int], kinds: Counter[str]) -> bool:
    """Whether bases, so many of each number of ties, can all be held by straps only or by chains only."""
    wanted = sum(ties * number for ties, number in each.items())
    by_strap = {0}
    for ties, number in each.items():
        while number:
            # Any part of a number is a sum of some of its halves, rounded up: 13 is 7 + 3 + 2 + 1.
            part = (number + 1) // 2
            by_strap |= {held + ties * part for held in by_strap}
            number -= part
    return any(held <= kinds["strap"] and wanted - held <= kinds["chain"] for held in by_strap)
