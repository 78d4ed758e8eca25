"""Exercises for those who train: questions from one rig whose answers are proven."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from importlib import import_module
from itertools import islice
from pkgutil import iter_modules
from types import ModuleType

from cache_check.api.base import WhatIf, basis_of, muster_of
from cache_check.errors import AskError
from cache_check.model.cache import Cache
from cache_check.model.exercise import LEVELS, Card, ExerciseResult, Level
from cache_check.model.need import Needs
from cache_check.model.rule import RuleBook

MOST = 200


def exercise(
    cache: Cache,
    book: RuleBook,
    *,
    count: int = 10,
    seed: int = 1,
    level: Level | None = None,
    needs: Needs | None = None,
    suppose: WhatIf | None = None,
) -> ExerciseResult:
    """So many cards, the kinds in turn; each key was worked out by the verbs.  The same seed gives the same cards.

    Raises:
        AskError: something supposed cannot be, the rig is too large to list, or it gives no question of that level.
        NoPlanError: an optimum could not be proven in time.
    """
    from cache_check.api.exercises.draw import Draw
    from cache_check.api.exercises.ground import Ground

    muster = muster_of(cache, book, suppose)
    if muster.large:
        raise AskError(f"{cache.title} has too many assemblies to be listed; exercises are made from one rig")
    ground = Ground(cache, book, suppose or WhatIf(), needs)
    made = [one.cards(ground, Draw(seed, one.__name__)) for one in kinds() if level in (None, one.LEVEL)]
    cards = tuple(islice(_distinct(_in_turn(made)), count))
    if not cards:
        raise AskError(f"{cache.title} gives no question{f' of the level {level}' if level else ''}; see its reach")
    return ExerciseResult(
        name=cache.id,
        title=cache.title,
        basis=basis_of(muster, suppose, asked=False),
        names=tuple(muster.cache.catalogue.short_names.items()),
        seed=seed,
        wanted=count,
        cards=cards,
        short=f"this rig gives {len(cards)} different questions, {count} were asked for" if len(cards) < count else "",
    )


@cache
def kinds() -> tuple[ModuleType, ...]:
    """The kinds of exercise, the easy ones first."""
    from cache_check.api.exercises import kinds as folder

    found = [import_module(f"{folder.__name__}.{one.name}") for one in iter_modules(folder.__path__)]
    return tuple(sorted(found, key=lambda one: (LEVELS.index(one.LEVEL), one.__name__)))


def _in_turn(made: list[Iterator[Card]]) -> Iterator[Card]:
    """One card of each kind, then another of each, for as long as any gives one."""
    while made:
        for one in list(made):
            drawn = next(one, None)
            if drawn is None:
                made.remove(one)
            else:
                yield drawn


def _distinct(cards: Iterator[Card]) -> Iterator[Card]:
    seen: set[str] = set()
    for one in cards:
        if one.question not in seen:
            seen.add(one.question)
            yield one
