"""Why pieces are not usable, one cause for each, so that each can be mended, or can happen, by itself."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from cache_check.joining.fitness import Fitness
from cache_check.model.audit import Cause, Fall
from cache_check.model.cache import Cache, Item, Status, Stock
from cache_check.model.part import Fitting
from cache_check.planning.packing.muster import Muster


class Reasons:
    """Which rule takes a piece out, on any day."""

    def __init__(self, muster: Muster) -> None:
        self.muster = muster
        self.fitness = Fitness(muster.book, muster.cache.catalogue)
        self.count_rule = next((rule.id for rule in muster.book.in_force("book_against_count")), "")

    def of(self, item: Item, on: date) -> tuple[str, str]:
        """(rule, why) that a piece is not usable on a day; ("", "") where it is."""
        rule, why = self.fitness.of(item, on)
        return (self._rule(rule, item.status), why) if why else ("", "")

    def _rule(self, rule: str, status: Status) -> str:
        """What is missing is told by the count, not by its state."""
        return self.count_rule if status == "missing" and self.count_rule else rule

    def of_lot(self, part: str, status: Status) -> tuple[str, str]:
        """(rule, why) that pieces of a part without serials in a state are not usable; ("", "") where they are."""
        rule, why = self.fitness.of_lot(part, status)
        return (self._rule(rule, status), why) if why else ("", "")


def causes(muster: Muster, points_rule: str) -> Iterator[Cause]:
    """Every cause that keeps pieces of a cache from use today, or a base from being restrained."""
    reasons = Reasons(muster)
    for line in muster.cache.stock:
        for item in line.items:
            rule, why = reasons.of(item, muster.on)
            if why:
                yield Cause(rule, line.part, item.serial, 1, why)
            elif points_rule and _damaged(muster, item):
                yield Cause(points_rule, line.part, item.serial, 1, "attachment points", "points")
        for status, number in line.out.items():
            rule, why = reasons.of_lot(line.part, status)
            if why and number:
                yield Cause(rule, line.part, "", number, why)


def _damaged(muster: Muster, item: Item) -> bool:
    part = muster.cache.catalogue.by_id[item.part]
    least = muster.usable.least_points.get(item.part, 0)
    designed = len(part.points) if isinstance(part, Fitting) else 0
    return item.points_usable is not None and item.points_usable < least <= designed


def booked_as(by_book: Muster) -> dict[tuple[str, str], tuple[bool, bool]]:
    """For each piece of the book, by part and serial: whether it is usable there, and has points enough."""
    reasons = Reasons(by_book)
    return {
        (item.part, item.serial): (not reasons.of(item, by_book.on)[1], not _damaged(by_book, item))
        for line in by_book.cache.stock
        for item in line.items
    }


def mended(cache: Cache, cause: Cause, on: date) -> Cache:
    """The cache with one cause mended: the piece fit and there, as if new."""

    def line(stock: Stock) -> Stock:
        if stock.part != cause.part:
            return stock
        if cause.serial:
            return stock.changed(
                items=tuple(_fit(cache, i, on) if i.serial == cause.serial else i for i in stock.items)
            )
        status = _status(cause, stock)
        if status is None:
            return stock
        out = stock.out | {status: stock.out[status] - cause.number}
        return stock.changed(out={name: number for name, number in out.items() if number})

    return cache.changed(stock=tuple(line(stock) for stock in cache.stock))


def _status(cause: Cause, stock: Stock) -> Status | None:
    """The state of a lot that a cause is about, which is also why."""
    return next((status for status, n in stock.out.items() if status == cause.why and n >= cause.number), None)


def _fit(cache: Cache, item: Item, on: date) -> Item:
    part = cache.catalogue.by_id[item.part]
    points = len(part.points) if isinstance(part, Fitting) and item.points_usable is not None else item.points_usable
    return item.changed(
        status="in service", inspected=on, acquired=on, expires=None, label="legible", condition="", measured=None,
        points_usable=points,
    )  # fmt: skip


def befallen(book: Cache, cause: Cause, today: Cache) -> Cache:
    """The book with one cause alone: that piece as it is today, or so many of the lot in that state."""
    pieces = {item.serial: item for line in today.stock if line.part == cause.part for item in line.items}

    def line(stock: Stock) -> Stock:
        if stock.part != cause.part:
            return stock
        if cause.serial:
            return stock.changed(items=tuple(_as_today(i, cause, pieces) for i in stock.items))
        free = (stock.count or 0) - len(stock.items) - sum(stock.out.values())
        number = min(cause.number, free)
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
    reasons = Reasons(muster)
    found = []
    for line in muster.cache.stock:
        for item in line.items:
            if reasons.of(item, muster.on)[1] or not reasons.of(item, until)[1]:
                continue
            day = _first_day(reasons, item, muster.on, until)
            rule, why = reasons.of(item, day)
            found.append(Fall(day, item.part, item.serial, item.where or line.where, rule, why))
    return tuple(sorted(found, key=lambda one: (one.on, one.part, one.serial)))


def _first_day(reasons: Reasons, item: Item, usable: date, out: date) -> date:
    """The first day on which a piece is out; time only takes pieces out, so the days may be halved."""
    low, high = usable.toordinal(), out.toordinal()
    while high - low > 1:
        middle = (low + high) // 2
        if reasons.of(item, date.fromordinal(middle))[1]:
            high = middle
        else:
            low = middle
    return date.fromordinal(high)
