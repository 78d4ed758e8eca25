"""Why pieces are not usable, one cause for each, so that each can be mended, or can happen, by itself."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Literal

from cache_check.joining.fitness import Fitness
from cache_check.model.audit import Cause, Fall
from cache_check.model.cache import Cache, Item, Status, Stock
from cache_check.model.piece import Why
from cache_check.planning.packing.muster import Muster


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


def falls(muster: Muster, until: date) -> tuple[Fall, ...]:
    """The pieces usable today that are not until a day to come, with the first day that they are not."""
    fitness = Fitness(muster.book, muster.cache.catalogue)
    found = []
    for line in muster.cache.stock:
        for item, number in line.pieces:
            if not fitness.of(item, muster.on).usable or fitness.of(item, until).usable:
                continue
            day = _first_day(fitness, item, muster.on, until)
            reason = fitness.of(item, day).reasons[0]
            where = item.where or line.where
            found.append(Fall(day, item.part, item.serial, number, where, reason.rule, reason.why.text))
    return tuple(sorted(found, key=lambda one: (one.on, one.part, one.serial)))


def _first_day(fitness: Fitness, item: Item, usable: date, out: date) -> date:
    """The first day on which a piece is out; time only takes pieces out, so the days may be halved."""
    low, high = usable.toordinal(), out.toordinal()
    while high - low > 1:
        middle = (low + high) // 2
        if fitness.of(item, date.fromordinal(middle)).usable:
            low = middle
        else:
            high = middle
    return date.fromordinal(high)
