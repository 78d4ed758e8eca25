"""Pieces supposed moved from one rig to another: each rig is then judged by its own rules, with what it then holds."""

from collections.abc import Sequence
from datetime import date

from cache_check.api.base import WhatIf, in_force, less, part_id
from cache_check.errors import AskError
from cache_check.files.pool import pool
from cache_check.joining.stock import Fitness
from cache_check.model.cache import Cache, Item, Stock, folded
from cache_check.model.rule import RuleBook

Move = tuple[str, int, int, int]
"""A part (name or id) or one serial, how many pieces, and the numbers of the rigs that give and take them."""


def moved(caches: Sequence[Cache], moves: Sequence[Move], book: RuleBook, suppose: WhatIf) -> list[Cache]:
    """The caches after the moves, one after another; a piece takes all that is known of it along.

    Raises:
        AskError: a part or serial is not there, or fewer of it are usable than are to be moved, or they are not alike.
        InputError: the rig that takes has other files of the same family.
    """
    found = list(caches)
    for name, number, giver, taker in moves:
        gives, on = found[giver], suppose.on or date.today()
        fitness = Fitness(in_force(gives, book, suppose), gives.catalogue)
        part, taken = _taken(gives, name, number, fitness, on)
        takes = _knowing(found[taker], gives, part)
        gone = {n: ([item.serial for item in items], lot) for n, (items, lot) in taken.items()}
        found[giver] = gives.changed(stock=tuple(less(one, *gone.get(n, ((), 0))) for n, one in enumerate(gives.stock)))
        come = (_come(gives.stock[n], takes.rigs[0], gives.title, *pieces) for n, pieces in taken.items())
        found[taker] = takes.changed(stock=(*takes.stock, *come))
    return found


def _taken(
    cache: Cache, name: str, number: int, fitness: Fitness, on: date
) -> tuple[str, dict[int, tuple[tuple[Item, ...], int]]]:
    """The part, and by line of the book the pieces with serials and how many of its lot are moved."""
    one = next((i for line in cache.stock for i in line.items if i.serial and folded(i.serial) == folded(name)), None)
    part = one.part if one else part_id(cache, name)
    there = [
        (n, item, many)
        for n, line in enumerate(cache.stock)
        for item, many in line.pieces
        if (item == one if one else item.part == part) and fitness.of(item, on).usable
    ]
    usable = sum(many for _, _, many in there)
    if number > usable:
        raise AskError(f"{number} {name} to be moved from {cache.title}: {usable} usable there")
    made = len(getattr(cache.catalogue.by_id[part], "points", ()))
    fit = {made if item.points_usable is None else item.points_usable for _, item, _ in there}
    if number < usable and len(fit) > 1:
        raise AskError(f"the {name} pieces of {cache.title} differ in their points; move each by its serial")
    taken: dict[int, tuple[tuple[Item, ...], int]] = {}
    for n, item, many in there:
        items, lot = taken.get(n, ((), 0))
        some = min(many, number)
        number -= some
        if some:
            taken[n] = ((*items, item), lot) if item.serial else (items, lot + some)
    return part, taken


def _come(line: Stock, rig: str, giver: str, items: tuple[Item, ...], lot: int) -> Stock:
    """The line of what has come to a rig."""
    where = f"from {giver}"
    own = tuple(item.changed(rig=rig, where=where) for item in items)
    return line.changed(rig=rig, where=where, out={}, items=own, count=len(own) + lot)


def _knowing(taker: Cache, giver: Cache, part: str) -> Cache:
    """The cache that takes, with the part's family and what that family sets, if it had none of it."""
    if part in taker.catalogue.by_id:
        return taker
    family = giver.catalogue.by_id[part].family
    own = tuple(one for one in giver.settings if one.family == family and one not in taker.settings)
    return taker.changed(catalogue=pool([taker, giver]).catalogue, settings=(*taker.settings, *own))
