"""When each usable piece stops counting, if nobody inspects it or replaces it before."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from cache_check.joining.kind import Kind
from cache_check.joining.kinds import inspection_due, webbing_age
from cache_check.joining.stock import Fitness
from cache_check.model.cache import Cache, Item
from cache_check.model.report import Due
from cache_check.model.rule import RuleBook


def falling_due(cache: Cache, book: RuleBook, on: date) -> tuple[Due, ...]:
    """The last day of every piece that is usable on a day and has one, by the rules in force; the soonest first."""
    fitness = Fitness(book, cache.catalogue)
    found = []
    for line in cache.stock:
        for item, number in line.pieces:
            ruling = (kind for kind in fitness.kinds if kind.is_on(kind.family_of(item.part)))
            days = sorted(day for kind in ruling for day in _of_kind(kind, item))
            if days and fitness.of(item, on).usable:
                found.append(Due(days[0][0], item.part, item.serial, days[0][1], number))
    return tuple(sorted(found, key=lambda one: (one.day, one.part, one.serial)))


def _of_kind(kind: Kind, item: Item) -> Iterator[tuple[date, str]]:
    family = kind.family_of(item.part)
    if isinstance(kind, inspection_due.Check):
        if item.expires is not None:
            yield item.expires, "last day"
        if item.inspected is not None:
            yield inspection_due.due(item.inspected, int(kind.value("every", family))), "inspection"
    strap = kind.catalogue.by_id[item.part].kind == "strap"
    if isinstance(kind, webbing_age.Check) and strap and item.acquired is not None:
        yield inspection_due.due(item.acquired, int(kind.value("most", family))), "age"
