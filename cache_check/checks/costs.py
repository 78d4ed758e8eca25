"""Why pieces are not usable, one cause for each, and the struts that mending it gives back, or that it alone takes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Literal

from cache_check.errors import NoPlanError
from cache_check.frozen import dataclass
from cache_check.joining.stock import mended
from cache_check.model.audit import Cause, Cost
from cache_check.model.cache import Cache, Item, Status, Stock
from cache_check.model.piece import Why
from cache_check.planning.packing.muster import Ask, Muster


def causes(muster: Muster) -> Iterator[Cause]:
    """Every cause that keeps pieces of a cache from use today, or a base from being restrained."""
    count_rule = next((rule.id for rule in muster.book.in_force("book_against_count")), "")
    for idle in (*muster.usable.idle, *muster.usable.pointless):
        # What is missing is told by the count, not by its state.
        rule = count_rule if count_rule and idle.why is Why.MISSING else idle.rule
        does: Literal["out", "points"] = "points" if idle.why is Why.POINTS else "out"
        yield Cause(rule, idle.part, idle.serial, idle.number, idle.why.text, idle.remedy, does, idle)


def booked_as(by_book: Muster) -> dict[tuple[str, str], tuple[bool, bool]]:
    """For each piece of the book, by part and serial: whether it is usable there, and has points enough."""
    idle, pointless = (
        {(one.part, one.serial) for one in pieces} for pieces in (by_book.usable.idle, by_book.usable.pointless)
    )
    pieces = ((item.part, item.serial) for line in by_book.cache.stock for item in line.items)
    return {piece: (piece not in idle, piece not in pointless) for piece in pieces}


def befallen(book: Cache, cause: Cause, today: Cache) -> Cache:
    """The book with one cause alone: that piece as it is today, or so many of the lot in that state."""
    pieces = {item.serial: item for line in today.stock if line.part == cause.part for item in line.items}

    def line(stock: Stock) -> Stock:
        if stock.part != cause.part:
            return stock
        if cause.serial:
            return stock.changed(items=tuple(_as_today(i, cause, pieces) for i in stock.items))
        number = min(cause.number, stock.in_service)
        out: dict[Status, int] = {**stock.out, "quarantined": stock.out.get("quarantined", 0) + number}
        return stock.changed(out=out) if number > 0 else stock

    return book.changed(stock=tuple(line(stock) for stock in book.stock))


def _as_today(item: Item, cause: Cause, pieces: dict[str, Item]) -> Item:
    if item.serial != cause.serial:
        return item
    if cause.does == "points":
        return item.changed(points_usable=pieces[item.serial].points_usable)
    return item.changed(status="quarantined")


@dataclass(frozen=True)
class Asked:
    """One need or length to compare."""

    label: str
    ask: Ask
    wanted: int | None


class Counts:
    """How many struts each need gets of a muster, worked out once for each stock of usable pieces."""

    def __init__(self, asked: Sequence[Asked]) -> None:
        self.asked = asked
        self.known: dict[tuple[object, ...], tuple[int, ...]] = {}

    def of(self, muster: Muster) -> tuple[int, ...]:
        """Struts on the step that each need asks."""
        usable = muster.usable
        key = (tuple(usable.counts.items()), tuple(usable.pointed.items()))
        if key not in self.known:
            self.known[key] = tuple(muster.most(one.ask, one.ask.top).count for one in self.asked)
        return self.known[key]


def costs_of(asked: Sequence[Asked], by_book: Muster, today: Muster) -> tuple[Cost, ...]:
    """Every cause with what it costs, the dearest first; causes of the same effect are worked out once.

    Those for which the time did not last are there without their cost, and say so.
    """
    counts, untold = Counts(asked), ""
    known: dict[tuple[object, ...], Cost] = {}
    found = []
    pieces = booked_as(by_book)
    for cause in causes(today):
        effect = (cause.part, cause.does, cause.number, cause.idle.status, pieces.get((cause.part, cause.serial)))
        if effect not in known:
            try:
                known[effect] = Cost(cause, (), (), 0, 0, untold) if untold else _of(counts, cause, by_book, today)
            except NoPlanError as error:
                untold = str(error)
                known[effect] = Cost(cause, (), (), 0, 0, untold)
        found.append(replace(known[effect], cause=cause))
    return tuple(sorted(found, key=lambda cost: (tuple(-n for n in cost.weight), cost.cause.rule, cost.cause.part)))


def _of(counts: Counts, cause: Cause, by_book: Muster, today: Muster) -> Cost:
    now, booked = counts.of(today), counts.of(by_book)
    back = counts.of(_like(today, mended(today.cache, cause.idle, today.on)))
    alone = counts.of(_like(by_book, befallen(by_book.cache, cause, today.cache)))
    return _cost(counts.asked, cause, now, back, booked, alone)


def _like(muster: Muster, cache: Cache) -> Muster:
    return muster.changed(cache=cache, gone={})


def _cost(
    asked: Sequence[Asked],
    cause: Cause,
    now: tuple[int, ...],
    back: tuple[int, ...],
    booked: tuple[int, ...],
    alone: tuple[int, ...],
) -> Cost:
    wanted = [one.wanted for one in asked]

    def turned(less: tuple[int, ...], more: tuple[int, ...]) -> int:
        """Needs that are not met by one count and are by the other."""
        return sum(a < w <= b for a, b, w in zip(less, more, wanted, strict=True) if w is not None)

    return Cost(
        cause,
        back=tuple(b - a for a, b in zip(now, back, strict=True)),
        alone=tuple(b - a for a, b in zip(alone, booked, strict=True)),
        met_again=turned(now, back),
        unmet_alone=turned(alone, booked),
    )
