"""From the book to what is usable: what each piece is, which count today, why others do not, and what mends them."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from functools import cache as kept

from cache_check.errors import summed
from cache_check.frozen import dataclass
from cache_check.joining.kind import Kind, is_about_pieces, kinds_in_force
from cache_check.model.cache import Cache, Item, Status, Stock
from cache_check.model.family import Catalogue
from cache_check.model.part import Fitting, Part
from cache_check.model.piece import Idle, Judged, Reason, Why
from cache_check.model.result import PartLine
from cache_check.model.rule import RuleBook

KIND = "attachment_points"


def least(book: RuleBook, families: Iterable[str]) -> int:
    """The usable points that the base of a strut of these families must have."""
    return int(book.ruled(KIND, "min", tuple(sorted(families)), 0))


def stricter(book: RuleBook, base: Part) -> tuple[int, ...]:
    """The minima above its own family's that a strut of several families may ask of a base, rising."""
    rules = {rule.id for rule in book.of_kind(KIND)}
    others = {said.family for said in book.settings if said.family is not None and said.rule in rules}
    # One family more, of which nothing is said, stands for all that take the rule as it is delivered.
    asked = {least(book, {base.family, other}) for other in (*others, "")}
    return tuple(sorted(number for number in asked if number > least(book, {base.family})))


def counted(part: str, minimum: int) -> str:
    """The name under which pieces of a base with at least so many points are counted, beside its own minimum."""
    return f"{part} >= {minimum}"


class Fitness:
    """The rules about pieces, in the order of the book.  Nothing else settles whether a piece counts."""

    def __init__(self, book: RuleBook, catalogue: Catalogue) -> None:
        self.catalogue = catalogue
        self.kinds: tuple[Kind, ...] = kinds_in_force(book, catalogue)
        about = [kind for kind in self.kinds if is_about_pieces(kind.rule.kind)]
        self._asked = kept(lambda part: [kind for kind in about if kind.is_on(kind.family_of(part))])

    def of(self, item: Item, on: date) -> Judged:
        """What a piece, with a serial or of a lot, is on a day."""
        told = (one for kind in self._asked(item.part) for one in kind.piece(item, on))
        found = sorted(told, key=lambda one: list(Why).index(one.why))
        return Judged(tuple(one for one in found if not one.counts), tuple(one for one in found if one.counts))


@dataclass(frozen=True)
class Usable:
    """Usable pieces of a cache on a day."""

    counts: dict[str, int]  # by part id, every part of the catalogue named
    # Of each fitting its usable pieces with at least ``least_points`` usable attachment points, and under the names of
    pointed: dict[str, int]  # ``counted`` those with what stricter families ask in a mixed strut
    hoped: dict[str, int]  # as ``counts``, of pieces that do not count only because something is not known
    hoped_pointed: dict[str, int]  # as ``pointed``, of these
    least_points: dict[str, int]
    idle: tuple[Idle, ...]  # every piece of the book that does not count
    pointless: tuple[Idle, ...]  # those made with enough points that lost them
    tolerated: tuple[Idle, ...]  # what is not known of pieces that count all the same
    lines: tuple[PartLine, ...]
    unknown: tuple[str, ...]
    ignored: tuple[str, ...]


def usable(cache: Cache, book: RuleBook, on: date, gone: dict[str, int] | None = None) -> Usable:
    """What of a cache is usable on a day, under the rules of a book, with some pieces supposed gone."""
    fitness = Fitness(book, cache.catalogue)
    counts, hoped = (dict.fromkeys(cache.catalogue.by_id, 0) for _ in range(2))
    asked = least_points(cache, book)
    # The names under which pieces of a fitting are counted by their points, each with its minimum.
    names = {
        part: [(part, own), *((counted(part, n), n) for n in stricter(book, cache.catalogue.by_id[part]))]
        for part, own in asked.items()
    }
    pointed, hoped_pointed = ({name: 0 for part in asked for name, _ in names[part]} for _ in range(2))
    idle, pointless, tolerated = [], [], []
    for line, item, number in ((one, *piece) for one in cache.stock for piece in one.pieces):
        judged = fitness.of(item, on)
        if judged.tolerated and judged.usable:
            tolerated.append(_idle(line, item, number, judged.tolerated))
        have, made = _points(cache, item, hoped=not judged.usable) if line.part in asked else (0, 0)
        wanted = [minimum for _, minimum in names.get(line.part, ())]
        # One that counts is told by what its own family asks, one that does not by all that it is mended with.
        lost = _lost(book, have, made, wanted[:1] if judged.usable else wanted)
        if not judged.usable:
            idle.append(_idle(line, item, number, judged.reasons + lost))
            if judged.out:
                continue
        there, with_points = (counts, pointed) if judged.usable else (hoped, hoped_pointed)
        there[line.part] += number
        for name, minimum in names.get(line.part, ()):
            with_points[name] += number if have >= minimum else 0
        if judged.usable and lost:
            pointless.append(_idle(line, item, number, lost))
    for part, number in (gone or {}).items():
        counts[part] -= number
        idle.append(Idle(part, "", "", "", number, "in service", (Reason(Why.GONE, "", Why.GONE.text),)))
        # Of a base, pieces with enough attachment points are supposed gone first: the answer must not flatter.
        for name, _ in names.get(part, ()):
            pointed[name] = max(0, pointed[name] - number)
    return Usable(
        counts, pointed, hoped, hoped_pointed, asked, tuple(idle), tuple(pointless), tuple(tolerated),
        tuple(_line(cache, part, counts[part], idle) for part in counts), _unknown(cache, idle, tolerated),
        tuple(_tallied(cache, (one for one in idle if one.state == "not usable"))),
    )  # fmt: skip


def as_new(part: str, rig: str, count: int, on: date, where: str = "") -> Stock:
    """New pieces without serials, sound in all that is asked of a piece on the day they come."""
    return Stock(part=part, rig=rig, count=count, where=where, inspected=on, label="legible", made=on)


def _idle(line: Stock, item: Item, number: int, reasons: tuple[Reason, ...]) -> Idle:
    return Idle(line.part, line.rig, item.where or line.where, item.serial, number, item.status, reasons)


def least_points(cache: Cache, book: RuleBook) -> dict[str, int]:
    """For each fitting, the usable attachment points that a restrained base of it must have."""
    return {part.id: least(book, (part.family,)) for part in cache.catalogue.parts if isinstance(part, Fitting)}


def _points(cache: Cache, item: Item, *, hoped: bool) -> tuple[int, int]:
    """The usable attachment points of a fitting, no more than it was made with (unseen: ``hoped``), and how many."""
    fitting = cache.catalogue.by_id[item.part]
    assert isinstance(fitting, Fitting)
    made = len(fitting.points)
    said = made if item.points_usable is None else item.points_usable
    return min(made * hoped if said == "unknown" else said, made), made


def _line(cache: Cache, part: str, usable_count: int, idle: list[Idle]) -> PartLine:
    record = cache.catalogue.by_id[part]
    on_book = None if part in cache.uncounted and part not in cache.counted else cache.counted.get(part, 0)
    mine = tuple(one for one in idle if one.part == part)
    return PartLine(part, record.kind, record.title, on_book, usable_count, mine)


def _tallied(cache: Cache, pieces: Iterator[Idle]) -> Iterator[str]:
    numbers = summed(((one.part, one.why), one.number) for one in pieces)
    yield from (f"{number} {cache.catalogue.said[part]}: {why.text}" for (part, why), number in numbers.items())


def _unknown(cache: Cache, idle: list[Idle], tolerated: list[Idle]) -> tuple[str, ...]:
    names = cache.catalogue.said
    said = [f"{names[part]}: nobody counted, taken as none" for part in cache.uncounted]
    said += [f"{one}, not counted" for one in _tallied(cache, (i for i in idle if i.state == "not known"))]
    said += [f"{one}, counted all the same" for one in _tallied(cache, iter(tolerated))]
    said += [f"{names[part.id]}: weight not known" for part in cache.catalogue.parts
             if part.mass is None and cache.counted.get(part.id)]  # fmt: skip
    return tuple(said)


def _lost(book: RuleBook, have: int, made: int, wanted: Iterable[int]) -> tuple[Reason, ...]:
    """That a base has fewer points than some wanted, and was made with as many."""
    if not any(have < number <= made for number in wanted):
        return ()
    return (Reason(Why.POINTS, next(iter(book.in_force(KIND))).id, f"{have} of {made} attachment points usable"),)


def mended(cache: Cache, idle: Idle, on: date) -> Cache:
    """The cache with the pieces of one record fit and there, inspected on a day and as if new."""
    stock, at = list(cache.stock), _line_of(cache, idle)
    if at is None:
        return cache
    line, number = stock[at], _number(stock[at], idle)
    stock[at] = _less(line, idle, lambda item: _fit(cache, item, on))
    if not idle.serial:
        stock[at] = stock[at].changed(count=(line.count or 0) - number)
        stock.append(as_new(idle.part, idle.rig, number, on, line.where))
    return cache.changed(stock=tuple(stock))


def kept_out(cache: Cache, idle: Iterable[Idle]) -> Cache:
    """The cache with pieces set aside, so that no day to come brings them back by itself."""
    stock = list(cache.stock)
    for one in idle:
        if (at := _line_of(cache, one)) is not None:
            stock[at] = _less(stock[at], one, lambda item: item.changed(status="unknown"), "unknown")
    return cache.changed(stock=tuple(stock))


def _less(line: Stock, idle: Idle, change: Callable[[Item], Item], to: Status = "in service") -> Stock:
    if idle.serial:
        return line.changed(items=tuple(change(one) if one.serial == idle.serial else one for one in line.items))
    number, out = _number(line, idle), Counter(line.out)
    out[idle.status] -= number
    out[to] += number
    return line.changed(out={status: n for status, n in out.items() if status != "in service"})


def _line_of(cache: Cache, idle: Idle) -> int | None:
    for at, line in enumerate(cache.stock):
        here = any(one.serial == idle.serial for one in line.items) if idle.serial else _number(line, idle)
        if here and (line.part, line.rig) == (idle.part, idle.rig):
            return at
    return None


def _number(line: Stock, idle: Idle) -> int:
    return min(idle.number, line.in_service if idle.status == "in service" else line.out.get(idle.status, 0))


def _fit(cache: Cache, item: Item, on: date) -> Item:
    part = cache.catalogue.by_id[item.part]
    points = len(part.points) if isinstance(part, Fitting) and item.points_usable is not None else item.points_usable
    return item.changed(
        status="in service", inspected=on, acquired=on, expires=None, label="legible", condition="", measured=None,
        points_usable=points, tag="", note="",
    )  # fmt: skip
