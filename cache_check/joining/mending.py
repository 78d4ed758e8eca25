"""A cache with idle pieces brought back, or kept out: to say what mending is worth, and what waiting does not mend."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from cache_check.joining.stock import as_new
from cache_check.model.cache import Cache, Item, Status, Stock
from cache_check.model.part import Fitting
from cache_check.model.piece import Idle


def mended(cache: Cache, idle: Idle, on: date) -> Cache:
    """The cache with the pieces of one record fit and there, inspected on a day and as if new."""
    stock = list(cache.stock)
    at = _line_of(cache, idle)
    if at is None:
        return cache
    line = stock[at]
    if idle.serial:
        items = tuple(_fit(cache, one, on) if one.serial == idle.serial else one for one in line.items)
        stock[at] = line.changed(items=items)
    else:
        number = _number(line, idle)
        stock[at] = line.changed(count=(line.count or 0) - number, out=_less(line, idle.status, number))
        stock.append(as_new(idle.part, idle.rig, number, on, line.where))
    return cache.changed(stock=tuple(stock))


def kept_out(cache: Cache, idle: Iterable[Idle]) -> Cache:
    """The cache with pieces set aside, so that no day to come brings them back by itself."""
    stock = list(cache.stock)
    for one in idle:
        at = _line_of(cache, one)
        if at is not None:
            stock[at] = _without(stock[at], one)
    return cache.changed(stock=tuple(stock))


def _without(line: Stock, idle: Idle) -> Stock:
    if idle.serial:
        items = (one.changed(status="unknown") if one.serial == idle.serial else one for one in line.items)
        return line.changed(items=tuple(items))
    number = _number(line, idle)
    out = _less(line, idle.status, number)
    return line.changed(out={**out, "unknown": out.get("unknown", 0) + number})


def _line_of(cache: Cache, idle: Idle) -> int | None:
    """The place of the line that holds pieces; None where no line does (they are only supposed)."""
    for at, line in enumerate(cache.stock):
        if (line.part, line.rig) != (idle.part, idle.rig):
            continue
        if any(one.serial == idle.serial for one in line.items) if idle.serial else _number(line, idle):
            return at
    return None


def _number(line: Stock, idle: Idle) -> int:
    """How many of the pieces of a record a line has."""
    return min(idle.number, line.in_service if idle.status == "in service" else line.out.get(idle.status, 0))


def _less(line: Stock, status: Status, number: int) -> dict[Status, int]:
    out = {name: n - number if name == status else n for name, n in line.out.items()}
    return {name: n for name, n in out.items() if n}


def _fit(cache: Cache, item: Item, on: date) -> Item:
    part = cache.catalogue.by_id[item.part]
    points = len(part.points) if isinstance(part, Fitting) and item.points_usable is not None else item.points_usable
    return item.changed(
        status="in service", inspected=on, acquired=on, expires=None, label="legible", condition="", measured=None,
        points_usable=points, tag="", note="",
    )  # fmt: skip
