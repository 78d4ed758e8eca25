"""When each usable piece stops counting, if nobody inspects it or replaces it before."""

from datetime import date

from cache_check.joining.stock import Fitness
from cache_check.model.audit import Fall
from cache_check.model.cache import Cache, Item
from cache_check.model.rule import RuleBook


def falls(cache: Cache, book: RuleBook, on: date, until: date = date.max) -> tuple[Fall, ...]:
    """The pieces usable on a day that are not until a day to come, with the first day that they are not."""
    fitness = Fitness(book, cache.catalogue)
    found = []
    for line in cache.stock:
        for item, number in line.pieces:
            if not fitness.of(item, on).usable or fitness.of(item, until).usable:
                continue
            day = _first_day(fitness, item, on, until)
            reason = fitness.of(item, day).reasons[0]
            where = item.where or line.where
            found.append(Fall(day, item.part, item.serial, number, where, reason.rule, reason.why))
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
