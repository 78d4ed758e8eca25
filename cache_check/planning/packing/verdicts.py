"""What a verdict on wanted struts rests on: links that hold, do not hold or are not known, and who could tell.

A count says how many struts stand for all that the book says.  A verdict asks more: that enough of them stand of
which nothing is unknown; and where too few stand, whether enough could if every unknown turned out well.  Beside it:
what stops the next strut, and what one lost piece costs.
"""

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from functools import reduce
from itertools import combinations_with_replacement
from operator import or_

from cache_check.errors import summed
from cache_check.frozen import dataclass
from cache_check.model.assembly import Assembly
from cache_check.model.counting import Binding, Step
from cache_check.model.verdict import Link, State
from cache_check.planning.packing.choice import settled
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.packing import Packer
from cache_check.planning.packing.rows import Rows, TieGroup, unmarked

Taken = tuple[Ask, int, int]  # so many struts of a column of the muster, for an ask
RowsOf = Callable[[str], tuple[int, ...]]
NO_LIMIT = "no limit on the book"
BARE = "its type does not say", "write in its type what it needs, or needs: none"
"""Why nobody knows which hardware a chain takes, and what would settle it."""
MIX = "bring enough of one kind for each base, or mix them by hand and ask load of the weakest"
SHARE = 0.05  # of the time that is left, what one question after the next strut or the worst loss may take
MOST_IN_PAIRS = 150  # of more part types than this no pairs are tried: there would be tens of thousands
MOST_NAMED = 3  # how many pieces of one part a link names, of all that are not known


@dataclass(frozen=True)
class Field:
    """Columns to choose from, counted or hoped for, and the stock; ``origin`` is a column's ask and muster's number."""

    packer: Packer
    stock: tuple[int, ...]
    origin: Callable[[int], tuple[Ask, int]]
    counted: int
    hoped: int

    def taken(self, stock: tuple[int, ...], mask: int, wanted: int) -> list[Taken]:
        """The chosen plan of so many struts."""
        _, plan, _ = settled(self.packer, stock, mask, wanted)
        return [(*self.origin(column), number) for column, number in plan]


def state_of(there: int, hoped: int, wanted: int) -> State:
    """Enough there, or enough only if what is unknown turns out well, or not even then."""
    return "holds" if there >= wanted else "unknown" if hoped >= wanted else "does not hold"


def hoped_stock(muster: Muster, stock: tuple[int, ...], wanted: int) -> tuple[int, ...]:
    """The stock of a muster, or of a scene of one, with all that may be there and usable, and does not count."""
    hoped = muster.hoped_stock(wanted)
    return (*hoped, *stock[len(hoped) :])


def need_links(
    muster: Muster, ask: Ask, wanted: int, counts: Mapping[Step, int | None], why: Mapping[Step, str]
) -> tuple[Link, ...]:
    """The links of a need by itself: each step that it asks for, then everything that is not known about its struts."""
    top = muster.top(ask)
    steps: list[Step] = ["assembled at once"]
    steps += ["restrained"] if muster.holds(ask, "restrained") and ask.restrained else []
    steps += ["rated"] if top == "rated" else []
    stock = hoped_stock(muster, muster.stock, wanted)
    found: list[Link] = []
    for step in steps:
        there = counts[step] or 0
        hoped = there if there >= wanted else muster.packer.most(stock, muster.hoped(ask, step)).count
        state = state_of(there, hoped, wanted)
        says = f"{there} of {wanted}" + (f": {why[step]}" if step in why and state != "unknown" else "")
        found.append(Link(step, state, says))
    found += muster.judge.together([(ask, wanted)]) if muster.judge else ()
    masks = muster.mask(ask, top), muster.hoped(ask, top)
    field = Field(muster.packer, muster.stock, lambda column: (ask, column), *masks)
    return (*found, *unknowns(muster, [ask], field, wanted, found))


def unknowns(muster: Muster, asks: Iterable[Ask], field: Field, wanted: int, found: Sequence[Link]) -> Iterator[Link]:
    """Everything that is not known and keeps a yes from being one; nothing where the answer is no."""
    if any(link.state == "does not hold" for link in found):
        return
    yield from unruled(muster, asks)
    yield from _by_friction(muster, asks)
    if any(link.state == "unknown" for link in found):
        stock = hoped_stock(muster, field.stock, wanted)
        yield from facts(muster, field.taken(stock, field.hoped, wanted), muster.stock)


def unruled(muster: Muster, asks: Iterable[Ask]) -> Iterator[Link]:
    """That nobody can call a strut restrained where no rule in force says what that is."""
    if not muster.restraint_ruled and any(ask.restrained for ask in asks):
        why, ask = unruled_why(muster)
        yield Link("restraint", "unknown", why, f"{ask}, or write restrained: false in the need")


def unruled_why(muster: Muster) -> tuple[str, str]:
    """Why nobody can call a strut restrained where no rule in force says what that is, and what would settle it."""
    off = " and ".join(rule.id for rule in muster.book.of_kind("straps_per_base"))
    return f"{off} is off, so nothing says how many straps or chains hold a base", f"switch {off} on"


def _by_friction(muster: Muster, asks: Iterable[Ask]) -> Iterator[Link]:
    """Contacts on which a head that is listed for them stays by friction alone, unless it meets them squarely."""
    for contact in dict.fromkeys(ask.contact for ask in asks if ask.contact is not None and ask.place is None):
        if contact not in muster.book.ruled("head_captured", "captured", default=(contact,)):
            why = f"{contact} holds it only by friction, unless the strut meets it squarely"
            yield Link("head", "unknown", why, "work it out with load, at its angle and face")


def facts(muster: Muster, taken: Sequence[Taken], stock: tuple[int, ...]) -> tuple[Link, ...]:
    """What is not known of the struts of a plan: pieces nobody counted, charts, points, straps, chains, hardware."""
    found = list(uncounted(muster, [(number, times) for _, number, times in taken], stock))
    for ask, number, _ in taken:
        column = muster.columns.all[number]
        assembly, step = muster.columns.assemblies[column.assembly], muster.top(ask)
        if muster.judge is not None and step == "rated":
            found += muster.judge.unknown(ask, number)
        if ask.place is not None:
            continue
        if not muster.suits(assembly.load, ask.contact):
            head, why = f"head {muster.name(assembly.load)}", "the book does not say what it is made for"
            found.append(Link(head, "unknown", why, "write its contacts in its type"))
        found += of_build(
            muster, ask, assembly, [muster.columns.groups[i] for i, _ in column.hold.ties] if column.hold else []
        )
    return tuple({link.name: link for link in found}.values())


def of_build(muster: Muster, ask: Ask, assembly: Assembly, groups: Collection[TieGroup]) -> Iterator[Link]:
    """What is not known of what a strut is rated for, if that is asked, and of the ties that hold its base, if any."""
    yield from bare(muster, groups)
    if muster.top(ask) == "rated":
        if doubt := muster.doubts(ask):
            yield Link("load", "unknown", doubt, "correct it; where it is so, say sure: true and why")
        chain = muster.capacity.links(assembly, ask.shortest, ask.longest, muster.factor(ask))
        yield from (Link(one.name, "unknown", one.why, one.ask) for one in chain if one.unknown)
        yield from of_hold(muster, [assembly.ground], groups) if groups else ()


def uncounted(muster: Muster, taken: Iterable[tuple[int, int]], stock: tuple[int, ...]) -> Iterator[Link]:
    """The pieces that a plan (columns, and how many of each) takes beyond what counts, and who could tell of them."""
    use = summed((row, each * times) for number, times in taken for row, each in muster.columns.all[number].uses)
    yield from beyond(muster, use, stock, muster.columns)


def beyond(muster: Muster, use: Mapping[int, int], stock: tuple[int, ...], rows: Rows) -> Iterator[Link]:
    """The pieces that a use of so much of some rows takes beyond what counts."""
    for part in dict.fromkeys((*muster.unknown_pieces, *muster.cache.uncounted)):
        if any(use[row] > stock[row] for row in rows.changed(part)):
            yield not_counted(muster, part)
    if any(use[row] > stock[row] for row in rows.mixed(stock)):
        yield Link("straps and chains", "unknown", "more ways to mix them on a base than are gone through", MIX)


def not_counted(muster: Muster, part: str) -> Link:
    """What is to be found out of a part of which more is taken than counts."""
    name = muster.name(part)
    if part in muster.cache.uncounted:
        return Link(f"count of {name}", "unknown", "nobody counted", "count it and write the figure")
    idle = muster.unknown_pieces[part]
    which = [f"{name} {one.serial}" if one.serial else f"{one.number} x {name}" for one in idle[:MOST_NAMED]]
    more = sum(one.number for one in idle[MOST_NAMED:])
    why, ask = dict.fromkeys(one.why.text for one in idle), (each.why.remedy for one in idle for each in one.reasons)
    named = ", ".join(which) + (f" and {more} more" if more else "")
    return Link(named, "unknown", ", ".join(why), "; ".join(dict.fromkeys(ask)))


def bare(muster: Muster, groups: Iterable[TieGroup]) -> Iterator[Link]:
    """The chains of which nobody says what hardware they take."""
    for part in (part for group in groups if group.bare for part in group.parts):
        if muster.usable.counts[part]:
            yield Link(f"hardware of {muster.name(part)}", "unknown", *BARE)


def of_hold(muster: Muster, bases: Iterable[str], groups: Iterable[TieGroup]) -> Iterator[Link]:
    """The bases, straps, chains and hardware that hold nobody knows how much."""
    by_id = muster.cache.catalogue.by_id
    for base in (base for base in bases if unmarked(by_id[base])):
        yield Link(
            f"points of {muster.name(base)}", "unknown", *no_limit(muster, base, "ask the maker, or read it off")
        )
    for group in groups:
        for part in group.parts if not group.rated else ():
            if muster.usable.counts[part]:
                why = no_limit(muster, part, "read its label", "no mark and no size that is listed")
                yield Link(muster.name(part), "unknown", *why)
        for part, _ in group.needs:
            if unmarked(by_id[part]):
                yield Link(muster.name(part), "unknown", *no_limit(muster, part, "read the limit off the piece"))


def no_limit(muster: Muster, part: str, ask: str, none: str = NO_LIMIT) -> tuple[str, str]:
    """Why nobody knows what a part holds, and who could tell: it has no limit, or one that a rule calls in doubt."""
    if part not in muster.cache.catalogue.doubted:
        return none, ask
    rules = ", ".join(rule.id for rule in muster.book.in_force("figure_likely"))
    return f"its limit is not likely ({rules})", "read it off again; where it says just that, write sure: true and why"


def missing(muster: Muster, each: Sequence[tuple[Ask, int]], left: int | None, lost: Sequence[str]) -> Link:
    """Whether enough struts are left with any one piece missing; ``left`` of those counted, worst without ``lost``.

    ``each`` is what is asked, with how many struts; what they need beside their columns must be left to them too.
    """
    wanted = sum(number for _, number in each)
    if left is None:
        return Link("one missing", "unknown", "not worked out in the time allowed", "allow more seconds")
    worst_of = f", worst without one {' or one '.join(muster.name(part) for part in lost)}" if lost else ""
    says = f"{min(left, wanted)} of {wanted} left{worst_of}"
    if left < wanted:
        return Link("one missing", "does not hold", says, "hold one more of what is worst to lose")
    for link in muster.judge.together(each, gone=1) if muster.judge else ():
        if link.state != "holds":
            return Link("one missing", "does not hold", f"{link.name}: {link.why} then", f"hold one more: {link.name}")
    return Link("one missing", "holds", says)


def one_more(stock: tuple[int, ...], rows: Collection[int], step: int) -> tuple[int, ...]:
    """A stock with so many pieces more (``step``; less than nothing: fewer) in some rows."""
    more = list(stock)
    for row in rows:
        more[row] += step
    return tuple(more)


def binding(
    packer: Packer, stock: tuple[int, ...], active: int, count: int, parts: tuple[str, ...], rows: RowsOf
) -> Binding:
    """The part types of which one piece more, or the pairs of which one each, allows a strut more than ``count``.

    ``active`` must admit columns that the stock cannot build yet.  Pairs (twice the same part among them) are
    tried only when no single part helps.  Parts that are counted in the same rows are asked about once.
    """
    own = {part: rows(part) for part in parts}
    with packer.within(SHARE) as untold:
        if singles := _helping(packer, stock, active, count + 1, {(part,): own[part] for part in parts}):
            return Binding(tuple(part for (part,) in singles), (), len(parts))
        if len(set(own.values())) > MOST_IN_PAIRS or len(parts) > 2 * MOST_IN_PAIRS:
            return Binding((), (), len(parts), f"no single part; pairs of {len(parts)} part types are too many to try")
        pairs = combinations_with_replacement(parts, 2)
        each: dict[tuple[str, ...], tuple[int, ...]] = {two: tuple(sorted(own[two[0]] + own[two[1]])) for two in pairs}
        found = _helping(packer, stock, active, count + 1, each)
        return Binding((), tuple((one, other) for one, other in found), len(parts))
    return Binding((), (), len(parts), untold[0])


def _helping(
    packer: Packer, stock: tuple[int, ...], active: int, number: int, each: Mapping[tuple[str, ...], tuple[int, ...]]
) -> tuple[tuple[str, ...], ...]:
    """Those of several choices of parts whose rows, added to a stock, reach a number; all at once, then by halves."""
    helps: dict[tuple[int, ...], bool | None] = {}

    def ask(several: list[tuple[int, ...]]) -> None:
        helps.update((one, packer.told(one_more(stock, one, 1), active, number)) for one in several)
        if unknown := [one for one in several if helps[one] is None]:
            added = tuple(reduce(or_, map(Counter, unknown)).elements())  # of each row as many as any of them adds
            reached = packer.reaches(one_more(stock, added, 1), active, number)
            if len(unknown) == 1 or not reached:
                helps.update(dict.fromkeys(unknown, reached))
            else:
                ask(unknown[: len(unknown) // 2])
                ask(unknown[len(unknown) // 2 :])

    ask(list(dict.fromkeys(each.values())))
    return tuple(chosen for chosen, rows in each.items() if helps[rows])


def one_lost(
    packer: Packer, stock: tuple[int, ...], active: int, count: int, parts: tuple[str, ...], rows: RowsOf
) -> tuple[int | None, tuple[str, ...]]:
    """The fewest struts left after any one piece is gone (None: too little time), and the parts that leave so few.

    ``parts`` are types of which there is a piece to lose; straps alike share a row, so that the stock cannot tell.
    Of a base, one with enough attachment points is lost, where there is one.  A lost piece costs one strut at most, the
    one it stood in: none where the plan leaves one to spare, and one where the bound falls.
    """
    plan = packer.most(stock, active)
    assert plan.count == count, "the count is the optimum that the loss is measured against"
    spare, costly = packer.left(stock, plan.plan), []
    with packer.within(SHARE) as untold:
        for part in parts:
            lost = tuple(row for row in rows(part) if stock[row])
            if any(not spare[row] for row in lost) and not packer.reaches(one_more(stock, lost, -1), active, count):
                costly.append(part)
    if untold:
        return None, ()
    return (count - 1, tuple(costly)) if costly else (count, ())
