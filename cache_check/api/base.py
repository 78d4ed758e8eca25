"""What every verb starts from: what is supposed, moves between rigs too, the muster of it, and the basis of a page."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import replace
from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING, Self, TypeVar

from cache_check.errors import AskError, NoPlanError, did_you_mean
from cache_check.frozen import dataclass
from cache_check.joining.stock import Fitness, as_new, usable
from cache_check.loads.chart import DesignFactor
from cache_check.model.cache import Cache, Item, Stock, folded
from cache_check.model.result import Basis, RulesResult
from cache_check.model.rule import RuleBook, Setting
from cache_check.planning.packing.muster import Ask, Muster
from cache_check.planning.packing.ratings import ANGLED, Judge, Judging, angles_ruled, on_word, stands_at
from cache_check.planning.solving.solver import Clock
from cache_check.units import System

if TYPE_CHECKING:
    from cache_check.model.need import Needs, Scene
    from cache_check.model.purchase import Prices

Found = TypeVar("Found")
Move = tuple[str, int, int, int]
"""A part (name or id) or one serial, how many pieces, and the numbers of the rigs that give and take them."""
SECONDS = 60.0  # how long a verb searches unless another limit is asked
LIST_AT_MOST = 2_000  # more assemblies than this are counted, not listed, unless asked for


@dataclass(frozen=True)
class WhatIf:
    """What to suppose: pieces gone, pieces there, a design factor, a day, a unit system to show.

    What is known on another rig ``among`` those asked about and not on this one is not supposed of this one.
    """

    without: tuple[tuple[str, int | None], ...] = ()  # parts by name or id, how many (None: all); or one by its serial
    extra: tuple[tuple[str, int], ...] = ()  # parts by name or id, and how many
    factor: Fraction | None = None
    on: date | None = None
    units: System | None = None
    settings: tuple[Setting, ...] = ()
    among: tuple[tuple[str, frozenset[str]], ...] = ()  # the names known on each rig, where several are asked about
    moved: tuple[tuple[str, frozenset[str]], ...] = ()  # in words, what books do not say, and the ids of its rigs
    skipped: tuple[str, ...] = ()  # scenes that were left out of the needs

    def of(self, cache: Cache) -> Self:
        """What of this is supposed of one cache among several."""
        here = frozenset[str]().union(*(names for rig, names in self.among if rig in cache.rigs))
        there = frozenset[str]().union(*(names for _, names in self.among)) - here

        def meant(name: str) -> bool:
            names = {name, name.casefold()}
            return bool(names & here) or not names & there

        without = tuple(one for one in self.without if meant(one[0]))
        return replace(self, without=without, extra=tuple(one for one in self.extra if meant(one[0])))


def known(cache: Cache) -> frozenset[str]:
    """The names and ids of a cache's parts, and the serials of its pieces in small letters."""
    return _part_names(cache) | {item.serial.casefold() for line in cache.stock for item in line.items if item.serial}


def part_id(cache: Cache, name: str) -> str:
    """The id of a part by id or, where one alone has it, short name or title.  Raises AskError with what is near."""
    if name in cache.catalogue.by_id:
        return name
    parts = cache.catalogue.parts
    found = [one.id for one in parts if one.name == name] or [one.id for one in parts if one.title == name]
    if len(found) == 1:
        return found[0]
    if found:
        raise AskError(f"{name!r} is ambiguous here: write {' or '.join(found)}")
    names = sorted(cache.catalogue.short_names.values())
    hint = did_you_mean(name, names) or f"parts here: {', '.join(names)}"
    raise AskError(f"{name!r} is not a part of {cache.title}; {hint}")


def _part_names(cache: Cache) -> frozenset[str]:
    return frozenset(name for part in cache.catalogue.parts for name in (part.id, part.name, part.title) if name)


def _pieces_gone(cache: Cache, suppose: WhatIf) -> dict[str, str]:
    """By what was said, the serials of single pieces supposed gone.  Raises AskError: several are of one serial."""
    parts = _part_names(cache)
    serials = {item.serial.casefold(): item.serial for line in cache.stock for item in line.items if item.serial}
    found = {name: number for name, number in suppose.without if name not in parts and name.casefold() in serials}
    for name, number in found.items():
        if number not in (None, 1):
            raise AskError(f"{number} {name} are supposed gone, and one piece has that serial")
    return {name: serials[name.casefold()] for name in found}


def less(line: Stock, serials: Collection[str], lot: int = 0) -> Stock:
    """A line of the book without some pieces, and without so many of its lot; one that nobody counted stays so."""
    left = tuple(item for item in line.items if item.serial not in serials)
    gone = len(line.items) - len(left) + lot
    return line.changed(items=left, count=(line.count or 0) - gone) if gone else line


def muster_of(
    cache: Cache, book: RuleBook, suppose: WhatIf | None, seconds: float | None = None, *, needs: Needs | None = None,
    load: Fraction | None = None,
) -> Muster:  # fmt: skip
    """The muster of a cache with everything that is supposed; what is asked of it must be proven within ``seconds``.

    ``needs`` and ``load`` (N, along a strut) are what will be asked, so that bases can be held as that wants.

    Raises AskError: a part or piece supposed that is not there, or a book of a day to come.
    """
    suppose = (suppose or WhatIf()).of(cache)
    settled, on = in_force(cache, book, suppose), suppose.on or date.today()
    refuse_to_come(cache, settled, on)
    _refuse_no_angle(settled)
    extra = tuple(as_new(part_id(cache, name), cache.rigs[0], number, on, "supposed") for name, number in suppose.extra)
    pieces = _pieces_gone(cache, suppose)
    stock = tuple(less(line, pieces.values()) for line in cache.stock)
    supposed = cache.changed(stock=(*stock, *extra), units=suppose.units or cache.units)
    gone: dict[str, int] = {}
    by_part = [one for one in suppose.without if one[0] not in pieces]
    counts = usable(supposed, settled, on).counts if by_part else {}
    for name, number in by_part:
        part = part_id(cache, name)
        gone[part] = counts[part] if number is None else gone.get(part, 0) + number
        if gone[part] > counts[part]:
            raise AskError(f"{gone[part]} {name} are supposed gone, {counts[part]} usable")
    return Muster(supposed, settled, on, gone, None if seconds is None else Clock(seconds), judging_of(needs, load))


def refuse_to_come(cache: Cache, book: RuleBook, on: date, quotes: Iterable[Prices] = ()) -> None:
    """Raise AskError for a book, or quote, dated after the day asked about: nobody can have written it on that day."""
    dated = [(f"book of {rig}", day, "book_date") for rig, day in cache.book_dates]
    for what, day, field in (*dated, *((f"quote {one.title}", one.dated, "dated") for one in quotes)):
        if day is not None and day > on and book.in_force("date_to_come"):
            raise AskError(
                f"the {what} is dated {day.isoformat()}, after the day asked about, {on.isoformat()}: put {field} "
                "right, or ask about a later day with --on"
            )


def _refuse_no_angle(book: RuleBook) -> None:
    """Raise AskError where a family's struts may stand at no angle: of all that there are, none would be too much."""
    for family in book.families:
        if not stands_at(book, (family,), None):
            rules = " and ".join(rule.id for rule in book.in_force(ANGLED, (family,)))
            low, high = map(float, angles_ruled(book, (family,)))
            raise AskError(f"{rules} for {family}: min is {low:g} deg and max {high:g} deg; put right which is wrong")


def tried(what: Callable[[], Found]) -> tuple[Found | None, str]:
    """What was found, or why nothing is proven: what cannot be is said in its place, so that the rest stands."""
    try:
        return what(), ""
    except NoPlanError as error:
        return None, str(error)


def judging_of(needs: Needs | None, load: Fraction | None = None) -> Judging | None:
    """What makes of a muster the judge of how its loaded struts are held; None where no load is asked."""
    needed = [need for scene in needs.scenes for need in scene.needs] if needs else []
    if load is None and not any(need.loaded for need in needed):
        return None

    def judging(muster: Muster) -> Judge:  # imported here: without a load none of it is wanted
        from cache_check.loads.likely import of_need
        from cache_check.planning.loading.needed import Needed
        from cache_check.planning.scenes import ask_of

        muster.unlikely += tuple(dict.fromkeys(doubt for need in needed for doubt in of_need(need, muster.book)))
        asks = [ask_of(need) for need in needed]
        return Needed(muster, asks if load is None else [*asks, Ask(1, 1, load)])

    return judging


def in_force(cache: Cache, book: RuleBook, suppose: WhatIf | None) -> RuleBook:
    """The rules in force on a cache: its own settings, the policy's, and what is supposed."""
    settings = [*cache.settings, *book.settings, *(suppose.settings if suppose else ())]
    if suppose is not None and suppose.factor is not None:
        settings += [
            Setting(rule=rule.id, values={"factor": suppose.factor}, by="this command", why="another design factor")
            for rule in book.of_kind("load_check")
        ]
    families = tuple(dict.fromkeys(part.family for part in cache.catalogue.parts))
    return book.settled(tuple(settings), cache.rigs, families)


def rules(book: RuleBook, cache: Cache | None = None) -> RulesResult:
    """The rules, with the settings that change them on a cache."""
    settled = book if cache is None else in_force(cache, book, None)
    return RulesResult(settled.version, settled.rules, settled.settings)


def supposed_pieces(cache: Cache, suppose: WhatIf) -> list[str]:
    """The pieces that are supposed gone or there on a cache, in words."""
    parts, here = _part_names(cache), suppose.of(cache)
    changes = [
        f"without {'all' if n is None else n} {name}" if name in parts else f"without piece {name}"
        for name, n in here.without
    ]
    return changes + [f"with {number} more {name}" for name, number in here.extra]


def head_of(
    muster: Muster, suppose: WhatIf | None, *, asked: bool = False, factors: tuple[tuple[str, Fraction], ...] = (),
    scenes: Iterable[Scene] = (),
) -> tuple[str, str, Basis, tuple[tuple[str, str], ...]]:  # fmt: skip
    """What every answer begins with: name and title of the cache, the basis, and what each part is called to people.

    The basis says what a page rests on; ``asked`` where a load was, ``factors`` where another factor is used, as by
    needs of ``scenes`` that ask more than the rules do.
    """
    needs = [(f"{of.id}: {need.id}", need.factor) for of in scenes for need in of.needs if need.loaded]
    ruled = muster.factor().k
    own = [(who, factor) for who, factor in needs if factor is not None and factor >= ruled]
    said = [muster.factor(), *(DesignFactor(factor, said=True) for _, factor in (*factors, *own))]
    factors += tuple(one for one in own if one[1] > ruled)
    above = {name: at for factor in said if factor.said for name, at in muster.above_mark(factor.k)}
    cache, book = muster.cache, muster.book
    suppose = (suppose or WhatIf()).of(cache)
    changes = supposed_pieces(cache, suppose)
    changes += [said for said, rigs in suppose.moved if rigs & set(cache.rigs)]
    changes += [f"without the scene {name}" for name in suppose.skipped]
    if suppose.factor is not None:
        changes.append(f"design factor {suppose.factor}:1")
    basis = Basis(
        rigs=cache.rigs, pooled=len(cache.rigs) > 1, units=suppose.units or cache.units, book_dates=cache.book_dates,
        on=muster.on, factor=ruled if asked or needs else None, factors=factors, rules_version=book.version,
        settings=book.settings, stricter=book.contested(), stated=cache.stated,
        rules_off=tuple(rule.id for rule in book.rules if not book.is_on(rule.id)), changes=tuple(changes),
        ignored=(*muster.usable.ignored, *(f"{muster.name(part)}: {why}" for part, why in muster.faults.items())),
        unknown=muster.usable.unknown, sources=cache.sources, above_mark=tuple(above.items()),
        on_word=tuple(dict.fromkeys(on_word(muster))),
    )  # fmt: skip
    return cache.id, cache.title, basis, tuple(cache.catalogue.said.items())


def moved(caches: Sequence[Cache], moves: Sequence[Move], book: RuleBook, suppose: WhatIf) -> list[Cache]:
    """The caches after the moves, one after another; a piece takes all that is known of it along.

    Raises AskError: a part or serial is not there, or fewer of it are usable than are to be moved, or they are not
    alike; InputError: the rig that takes has other files of the same family.
    """
    from cache_check.files.pool import pool  # one rig alone has no use for it

    found = list(caches)
    for name, number, giver, taker in moves:
        gives, on = found[giver], suppose.on or date.today()
        part, taken = _taken(gives, name, number, Fitness(in_force(gives, book, suppose), gives.catalogue), on)
        takes, both = found[taker], pool([found[taker], gives])  # which refuses what one book has otherwise
        if part not in takes.catalogue.by_id:
            family = gives.catalogue.by_id[part].family
            own = tuple(one for one in gives.settings if one.family == family and one not in takes.settings)
            takes = takes.changed(catalogue=both.catalogue, settings=(*takes.settings, *own))
        gone = {n: ([item.serial for item in items], lot) for n, (items, lot) in taken.items()}
        found[giver] = gives.changed(stock=tuple(less(one, *gone.get(n, ((), 0))) for n, one in enumerate(gives.stock)))
        come = (_come(gives.stock[n], takes.rigs[0], gives.title, *pieces) for n, pieces in taken.items())
        found[taker] = takes.changed(stock=(*takes.stock, *come))
    return found


def _taken(
    cache: Cache, name: str, number: int, fitness: Fitness, on: date
) -> tuple[str, dict[int, tuple[tuple[Item, ...], int]]]:
    """The part, and by line of the book the pieces with serials and how many of its lot are moved."""
    one = next((i for line in cache.stock for i in line.items if i.serial and folded(i.serial) == folded(name)), None)
    part = one.part if one else part_id(cache, name)
    there = [
        (n, item, many)
        for n, line in enumerate(cache.stock)
        for item, many in line.pieces
        if (item == one if one else item.part == part) and fitness.of(item, on).usable
    ]
    if number > (usable := sum(many for _, _, many in there)):
        raise AskError(f"{number} {name} to be moved from {cache.title}: {usable} usable there")
    made = len(getattr(cache.catalogue.by_id[part], "points", ()))
    fit = {made if item.points_usable is None else item.points_usable for _, item, _ in there}
    if number < usable and len(fit) > 1:
        raise AskError(f"the {name} pieces of {cache.title} differ in their points; move each by its serial")
    taken: dict[int, tuple[tuple[Item, ...], int]] = {}
    for n, item, many in there:
        items, lot = taken.get(n, ((), 0))
        some = min(many, number)
        number -= some
        if some:
            taken[n] = ((*items, item), lot) if item.serial else (items, lot + some)
    return part, taken


def _come(line: Stock, rig: str, giver: str, items: tuple[Item, ...], lot: int) -> Stock:
    where = f"from {giver}"
    own = tuple(item.changed(rig=rig, where=where) for item in items)
    return line.changed(rig=rig, where=where, out={}, items=own, count=len(own) + lot)
