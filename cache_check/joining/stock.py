"""From the book to what is usable: which pieces count today, and why the others do not."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date

from cache_check.joining.fitness import Fitness
from cache_check.joining.points import counted, least, stricter
from cache_check.model.cache import Cache, Item, Stock
from cache_check.model.part import Fitting
from cache_check.model.result import PartLine
from cache_check.model.rule import RuleBook


@dataclass(frozen=True)
class Usable:
    """Usable pieces of a cache on a day.

    ``counts`` is by part id, every part of the catalogue named.  ``pointed`` gives, for each fitting, how many
    of its usable pieces have at least ``least_points`` usable attachment points; and under the names of
    ``points.counted`` how many have what stricter families ask in a mixed strut.
    """

    counts: dict[str, int]
    pointed: dict[str, int]
    least_points: dict[str, int]
    lines: tuple[PartLine, ...]
    unknown: tuple[str, ...]
    ignored: tuple[str, ...]


def usable(cache: Cache, book: RuleBook, on: date, gone: dict[str, int] | None = None) -> Usable:
    """What of a cache is usable on a day, under the rules of a book, with some pieces supposed gone.

    Of a base, pieces with enough attachment points are supposed gone first: the answer must not flatter.
    """
    fitness = Fitness(book, cache.catalogue)
    counts = dict.fromkeys(cache.catalogue.by_id, 0)
    out: dict[str, Counter[str]] = {part: Counter() for part in counts}
    fallen: dict[str, list[Item]] = {part: [] for part in counts}
    for line in cache.stock:
        reasons = _out_of_line(line, fitness, on)
        out[line.part].update(reason for reason, _ in reasons)
        fallen[line.part] += [item for _, item in reasons if item is not None]
        counts[line.part] += (line.count or 0) - len(reasons)
    asked = least_points(cache, book)
    pointed = _pointed(cache, book, counts, fallen)
    for part, number in (gone or {}).items():
        counts[part] -= number
        out[part]["supposed gone"] += number
        for name in _names(cache, book, part):
            pointed[name[0]] = max(0, pointed[name[0]] - number)
    return Usable(
        counts,
        pointed,
        asked,
        tuple(_line(cache, part, counts[part], out[part]) for part in counts),
        _unknown(cache),
        tuple(f"{n} {part}: {why}" for part in counts for why, n in sorted(out[part].items())),
    )


def _out_of_line(line: Stock, fitness: Fitness, on: date) -> list[tuple[str, Item | None]]:
    """The pieces of one line that are not usable, each with its reason, and its item where it has one."""
    reasons: list[tuple[str, Item | None]] = []
    for item in line.items:
        _, why = fitness.of(item, on)
        if why:
            reasons.append((why, item))
    for status, number in line.out.items():
        _, why = fitness.of_lot(line.part, status)
        reasons += [(why, None)] * number if why else []
    return reasons


def least_points(cache: Cache, book: RuleBook) -> dict[str, int]:
    """For each fitting, the usable attachment points that a restrained base of it must have."""
    return {part.id: least(book, (part.family,)) for part in cache.catalogue.parts if isinstance(part, Fitting)}


def _names(cache: Cache, book: RuleBook, part: str) -> list[tuple[str, int]]:
    """The names under which pieces of a fitting are counted by their points, each with its minimum."""
    fitting = cache.catalogue.by_id[part]
    if not isinstance(fitting, Fitting):
        return []
    return [(part, least(book, (fitting.family,))), *((counted(part, n), n) for n in stricter(book, fitting))]


def _pointed(cache: Cache, book: RuleBook, counts: dict[str, int], fallen: dict[str, list[Item]]) -> dict[str, int]:
    """Usable pieces of each fitting with enough usable points; an item's own count replaces the designed one."""
    pointed: dict[str, int] = {}
    for fitting in cache.catalogue.parts:
        if not isinstance(fitting, Fitting):
            continue
        out = {id(item) for item in fallen[fitting.id]}
        serials = [
            item
            for line in cache.stock
            if line.part == fitting.id
            for item in line.items
            if id(item) not in out and item.points_usable is not None
        ]
        plain = counts[fitting.id] - len(serials)
        for name, points in _names(cache, book, fitting.id):
            enough = sum(1 for item in serials if (item.points_usable or 0) >= points)
            pointed[name] = enough + (plain if len(fitting.points) >= points else 0)
    return pointed


def _line(cache: Cache, part: str, usable_count: int, out: Counter[str]) -> PartLine:
    record = cache.catalogue.by_id[part]
    on_book = None if part in cache.uncounted and part not in cache.counted else cache.counted.get(part, 0)
    return PartLine(part, record.kind, record.title, on_book, usable_count, tuple(sorted(out.items())))


def _unknown(cache: Cache) -> tuple[str, ...]:
    names = cache.catalogue.short_names
    said = [f"{names[part]}: nobody counted, taken as none" for part in cache.uncounted]
    blank: Counter[str] = Counter()
    for line in cache.stock:
        blank[line.part] += sum(1 for item in line.items if item.inspected is None)
    said += [f"{names[part]}: {n} with a blank inspection date" for part, n in blank.items() if n]
    said += [f"{names[part.id]}: weight not known" for part in cache.catalogue.parts
             if part.mass is None and cache.counted.get(part.id)]  # fmt: skip
    return tuple(said)
