"""The cache as it was counted: the book with what an inspector found in place of what it says.

It never flatters: what nobody looked at is unknown, what is on no book is not counted on until it is, and a piece
that the book has elsewhere stays there until somebody writes its state.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any, Literal

from cache_check.model.cache import Cache, Item, ReadySet, Status, Stock
from cache_check.model.count import CountLine, CountSheet
from cache_check.model.part import Fitting, Part

AWAY: tuple[Status, ...] = ("repair", "loaned", "missing")
"""States in which a piece is not looked for on the rig."""
Sort = Literal["missing", "extra", "wrong place", "wrong rig", "not as booked", "set"]


@dataclass(frozen=True)
class Difference:
    """One way in which book and count differ: of which part, or piece, how many, where by book and where found."""

    sort: Sort
    part: str
    serial: str
    number: int
    booked: str
    found: str
    says: str


@dataclass(frozen=True)
class Blank:
    """What somebody left blank on a line: the part, the piece, how many, and which columns."""

    part: str
    serial: str
    number: int
    where: str
    columns: tuple[str, ...]


@dataclass
class Counted:
    """The cache as counted, where it differs from the book, and what nobody looked at."""

    cache: Cache
    differences: list[Difference] = field(default_factory=list)
    blanks: list[Blank] = field(default_factory=list)


def expected(stock: Stock) -> int | None:
    """How many pieces without serials should lie on the rig; None where nobody ever counted."""
    if stock.count is None:
        return None
    return stock.count - len(stock.items) - sum(n for status, n in stock.out.items() if status in AWAY)


def same_place(one: str, two: str) -> bool:
    """Whether two places are the same but for case and spaces."""
    return " ".join(one.casefold().split()) == " ".join(two.casefold().split())


@dataclass
class _Work:
    """Works through a book line by line; ``owners`` says for serials of other rigs whose they are."""

    book: Cache
    count: CountSheet
    blank_as_book: bool
    unfit: Callable[[Item], bool]
    owners: dict[str, str]
    result: Counted

    def line(self, stock: Stock) -> Stock:
        """A line of the book as it was counted."""
        lines = [line for line in self.count.lines if line.part == stock.part]
        by_serial = {_fold(line.serial): line for line in lines if line.serial}
        items = [self._item(stock, item, by_serial.pop(_fold(item.serial), None)) for item in stock.items]
        for line in by_serial.values():
            if line.found != 0:
                self._unbooked(line, 1)
        return self._lot(stock, items, [line for line in lines if not line.serial])

    def _item(self, stock: Stock, item: Item, line: CountLine | None) -> Item:
        booked = item.where or stock.where
        if line is None or line.found is None:
            if item.status not in AWAY:
                self._blank(item.part, item.serial, 1, booked, ("found",))
            unseen = item.status == "in service" and not self.blank_as_book
            return item.changed(status="unknown") if unseen else item
        if line.found == 0:
            if item.status in AWAY:
                return item
            self._differs("missing", item.part, item.serial, 1, booked, "", "not found")
            return item.changed(status="missing")
        self._placed(item.part, item.serial, 1, booked, line.where)
        return self._seen(item, line, booked)

    def _seen(self, item: Item, line: CountLine, booked: str) -> Item:
        """A piece that was found, with what its line says of it."""
        blank = [name for name in ("usable", "label") if getattr(line, name) is None]
        if line.points is None and _has_points(self.book.catalogue.by_id[item.part]):
            blank.append("points")
        self._blank(item.part, item.serial, 1, line.where or booked, tuple(blank))
        status: Status = line.state or item.status
        if line.state is None and item.status in AWAY:
            says = f"the book has it as {item.status}, and it is here; not counted on until its state is written"
            self._differs("not as booked", item.part, item.serial, 1, booked, line.where, says)
        elif status == "in service" and line.usable == 0:
            status = "quarantined"
        return item.changed(status=status, **_given(line))

    def _unbooked(self, line: CountLine, number: int) -> None:
        """Tell of pieces that are not on the book; they are not counted on, so they stay out of the cache."""
        owner = line.rig if line.rig and line.rig != self.book.id else self.owners.get(_fold(line.serial), "")
        sort: Sort = "wrong rig" if owner else "extra"
        says = f"belongs to {owner}" if owner else "on no book; not counted on until it is"
        self._differs(sort, line.part, line.serial, number, owner, line.where, says)

    def _lot(self, stock: Stock, items: list[Item], lines: list[CountLine]) -> Stock:
        """The pieces without serials."""
        own = [line for line in lines if not line.rig or line.rig == self.book.id]
        for line in lines:
            if line not in own and line.found:
                self._unbooked(line, line.found)
        seen = [line for line in own if line.found is not None]
        return self._seen_lot(stock, items, seen) if seen else self._unseen_lot(stock, items)

    def _seen_lot(self, stock: Stock, items: list[Item], seen: list[CountLine]) -> Stock:
        for line in seen:
            self._placed(stock.part, "", line.found or 0, stock.where, line.where)
            if line.usable is None and line.state is None and line.found:
                self._blank(stock.part, "", line.found, line.where or stock.where, ("usable",))
        found = sum(line.found or 0 for line in seen)
        booked = expected(stock)
        wanted = found if booked is None else booked
        self._compare(stock, wanted, found, seen)
        here = min(found, wanted)
        unfit = _unfit(stock, seen, here)
        made = self._told_apart(stock, seen, here - unfit.total(), len(items))
        out: Counter[Status] = Counter({status: n for status, n in stock.out.items() if status in AWAY})
        out["missing"] += wanted - here
        count = len(items) + here + out.total()
        out.update(unfit)
        return stock.changed(count=count, out=dict(+out), items=(*items, *made))

    def _unseen_lot(self, stock: Stock, items: list[Item]) -> Stock:
        """A lot that nobody looked at."""
        wanted = expected(stock)
        if wanted is None:
            self._blank(stock.part, "", 0, stock.where, ("found",))
            return stock
        out: Counter[Status] = Counter(stock.out)
        if wanted:
            self._blank(stock.part, "", wanted, stock.where, ("found",))
            if not self.blank_as_book:
                out["unknown"] += wanted - sum(n for status, n in stock.out.items() if status not in AWAY)
        return stock.changed(out=dict(+out), items=tuple(items))

    def _compare(self, stock: Stock, wanted: int, found: int, seen: list[CountLine]) -> None:
        if found < wanted:
            says = f"{wanted} on the book, {found} found"
            self._differs("missing", stock.part, "", wanted - found, stock.where, "", says)
        elif found > wanted:
            self._unbooked(seen[-1], found - wanted)

    def _told_apart(self, stock: Stock, seen: list[CountLine], most: int, start: int) -> list[Item]:
        """Fit pieces of which a line says something that matters: each a piece of its own from here on."""
        made: list[Item] = []
        name = self.book.catalogue.short_names[stock.part]
        for line in seen:
            fields = _given(line)
            whole = Item.model_construct(serial="?", part=stock.part, rig=stock.rig, **fields)
            if not self._matters(whole, fields):
                continue
            number = (line.found or 0) if line.usable is None else line.usable
            for _ in range(min(number, most - len(made))):
                made.append(whole.changed(serial=f"{name} without serial {start + len(made) + 1}"))
        return made

    def _matters(self, piece: Item, fields: dict[str, Any]) -> bool:
        if not set(fields) - {"where", "label"} and piece.label != "unreadable":
            return False
        designed = len(getattr(self.book.catalogue.by_id[piece.part], "points", ()))
        fewer = piece.points_usable is not None and piece.points_usable < designed
        dated = any(name in fields for name in ("inspected", "acquired", "expires", "measured"))
        return fewer or dated or self.unfit(piece)

    def _placed(self, part: str, serial: str, number: int, booked: str, found: str) -> None:
        if number and booked and found and not same_place(booked, found):
            self._differs("wrong place", part, serial, number, booked, found, f"belongs in {booked}")

    def _differs(self, sort: Sort, part: str, serial: str, number: int, booked: str, found: str, says: str) -> None:
        self.result.differences.append(Difference(sort, part, serial, number, booked, found, says))

    def _blank(self, part: str, serial: str, number: int, where: str, columns: tuple[str, ...]) -> None:
        if columns:
            self.result.blanks.append(Blank(part, serial, number, where, columns))


def _has_points(part: Part) -> bool:
    """Whether a part is a base that has attachment points."""
    return isinstance(part, Fitting) and "base" in part.serves and bool(part.points)


def _fold(serial: str) -> str:
    return serial.strip().casefold()


def _given(line: CountLine) -> dict[str, Any]:
    """What a line says of a piece, by field of the piece."""
    given = {
        "label": line.label, "inspected": line.inspected, "acquired": line.acquired, "expires": line.expires,
        "points_usable": line.points, "measured": line.measured, "condition": line.condition or None,
        "where": line.where or None,
    }  # fmt: skip
    return {name: value for name, value in given.items() if value is not None}


def _unfit(stock: Stock, seen: list[CountLine], most: int) -> Counter[Status]:
    """Found pieces that are not fit, by state: those the book knows of, then those that the count adds."""
    out: Counter[Status] = Counter()
    for line in seen:
        here = line.found or 0
        if line.state not in (None, "in service"):
            out[line.state or "unknown"] += here
        elif line.usable is not None:
            out["quarantined"] += here - line.usable
    known: Counter[Status] = Counter({status: n for status, n in stock.out.items() if status not in AWAY and n})
    for status, number in known.items():
        same = min(number, out["quarantined"]) if status != "quarantined" else 0
        out["quarantined"] -= same
        out[status] = max(out[status], number)
    return _at_most(out, most)


def _at_most(out: Counter[Status], most: int) -> Counter[Status]:
    """The same, no more than there are."""
    kept: Counter[Status] = Counter()
    for status, number in out.items():
        kept[status] = max(0, min(number, most - kept.total()))
    return kept


def as_counted(
    book: Cache,
    count: CountSheet,
    *,
    blank_as_book: bool,
    unfit: Callable[[Item], bool],
    owners: dict[str, str] | None = None,
) -> Counted:
    """The cache of one rig as counted.

    Args:
        book: what it should be.
        count: what was found.
        blank_as_book: take what nobody looked at as the book has it, else as unknown.
        unfit: whether what is known of a piece keeps it from being used.
        owners: whose rig a serial belongs to, serials in lower case.
    """
    result = Counted(book)
    work = _Work(book, count, blank_as_book, unfit, owners or {}, result)
    stock = [work.line(line) for line in book.stock]
    booked = {line.part for line in book.stock}
    for part in dict.fromkeys(line.part for line in count.lines if line.part not in booked):
        stock.append(work.line(Stock(part=part, rig=book.id, count=0)))
    result.cache = book.changed(stock=tuple(stock), ready_sets=tuple(_sets(book, count, result)))
    return result


def _sets(book: Cache, count: CountSheet, result: Counted) -> Iterator[ReadySet]:
    """The ready sets that were found, each where it was found."""
    lines = {line.id: line for line in count.sets}
    for ready in book.ready_sets:
        line = lines.get(ready.id)
        if line is None or line.found is None:
            result.blanks.append(Blank("", f"ready set {ready.id}", 1, ready.where, ("found",)))
            yield ready
            continue
        name = f"ready set {ready.id}"
        if not line.found:
            says = f"{name} is on the book and not built"
            result.differences.append(Difference("set", "", name, 1, ready.where, "", says))
            continue
        moved = bool(line.where) and not same_place(line.where, ready.where)
        if moved:
            says = f"{name} belongs in {ready.where}"
            result.differences.append(Difference("set", "", name, 1, ready.where, line.where, says))
        yield ready.changed(where=line.where) if moved else ready
