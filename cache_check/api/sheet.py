"""A count sheet to be filled in, in the order of the drawers."""

from __future__ import annotations

import re
from collections.abc import Iterator
from hashlib import sha256

from cache_check.checks.counted import AWAY, expected
from cache_check.model.cache import Cache, Item, Stock
from cache_check.model.count import BlankSheet, SheetLine
from cache_check.model.part import Fitting, Part


def book_hash(cache: Cache) -> str:
    """A short hash of the files that a cache was read from, whatever their names."""
    whole = "\n".join(sorted(source.sha256 for source in cache.sources))
    return sha256(whole.encode()).hexdigest()[:12]


def sheet(cache: Cache) -> BlankSheet:
    """The count sheet of one rig: its lots, pieces and ready sets by place."""
    lines = [line for stock in cache.stock for line in _of_stock(stock, cache.catalogue.by_id[stock.part])]
    lines += [
        SheetLine(
            ready.where, "", "", 1, "; ".join(cache.catalogue.short_names[part] for part in ready.parts), ready.id
        )
        for ready in cache.ready_sets
    ]
    order = {part.id: number for number, part in enumerate(cache.catalogue.parts)}
    order[""] = len(order)
    lines.sort(key=lambda line: (_place_order(line.place), order[line.part], line.ready_set, bool(line.serial)))
    return BlankSheet(
        rig=cache.id,
        title=cache.title,
        units=cache.units,
        book_date=cache.book_date,
        book=book_hash(cache),
        names=tuple(cache.catalogue.short_names.items()),
        lines=tuple(lines),
    )


def _of_stock(stock: Stock, part: Part) -> Iterator[SheetLine]:
    lot = expected(stock)
    points = len(part.points) if isinstance(part, Fitting) and "base" in part.serves else 0
    says = ", ".join(f"{number} {status}" for status, number in stock.out.items() if number)
    if lot or says or not stock.items:
        yield SheetLine(stock.where, stock.part, "", lot, says, kind=part.kind, points=points)
    for item in stock.items:
        here = int(item.status not in AWAY)
        where = item.where or stock.where
        yield SheetLine(where, item.part, item.serial, here, _says(item), kind=part.kind, points=points)


def _says(item: Item) -> str:
    """What the book says of a piece."""
    days = (("inspected", item.inspected), ("acquired", item.acquired), ("expires", item.expires))
    said: list[str] = [item.status] if item.status != "in service" else []
    said += [f"{word} {day.isoformat() if day else 'unknown'}" for word, day in days if day or word == "inspected"]
    said.append(f"label {item.label or 'unknown'}")
    said += [f"tag {item.tag}"] if item.tag else []
    said += [f"note: {item.note}"] if item.note else []
    if item.points_usable is not None:
        said.append(f"{item.points_usable} points")
    return ", ".join([*said, item.condition] if item.condition else said)


def _place_order(place: str) -> tuple[bool, list[tuple[int, str]]]:
    """Places as people walk past them: drawer 2 before drawer 10, the unknown last."""
    parts = re.findall(r"\d+|\D+", place.casefold())
    return (not place, [(int(part), "") if part.isdecimal() else (-1, part) for part in parts])
