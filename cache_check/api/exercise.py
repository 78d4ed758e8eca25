"""Exercises for those who train: questions from one rig whose answers are proven."""

from collections.abc import Iterator
from itertools import islice

from cache_check.api.base import WhatIf, head_of
from cache_check.api.exercises.ground import Draw, Ground
from cache_check.api.exercises.kinds import KINDS
from cache_check.errors import AskError
from cache_check.model.cache import Cache
from cache_check.model.exercise import Card, ExerciseResult, Level
from cache_check.model.need import Needs
from cache_check.model.rule import RuleBook


def exercise(
    cache: Cache, book: RuleBook, *, count: int = 10, seed: int = 1, level: Level | None = None,
    needs: Needs | None = None, suppose: WhatIf | None = None,
) -> ExerciseResult:  # fmt: skip
    """So many cards, the kinds in turn; each key was worked out by the verbs.  The same seed gives the same cards.

    Raises:
        AskError: something supposed cannot be, the rig is too large to list, or it gives no question of that level.
        NoPlanError: an optimum could not be proven in time.
    """
    ground = Ground(cache, book, suppose or WhatIf(), needs)
    if ground.muster.large:
        raise AskError(f"{cache.title} has too many assemblies to be listed; exercises are made from one rig")
    made = [cards(ground, Draw(seed, name)) for of, name, cards in KINDS if level in (None, of)]
    cards = tuple(islice(_in_turn(made), count))
    if not cards:
        raise AskError(f"{cache.title} gives no question{f' of the level {level}' if level else ''}; see its reach")
    return ExerciseResult(
        *head_of(ground.muster, suppose, asked=False), seed=seed, wanted=count, cards=cards,
        short=f"this rig gives {len(cards)} different questions, {count} were asked for" if len(cards) < count else "",
    )  # fmt: skip


def _in_turn(made: list[Iterator[Card | None]]) -> Iterator[Card]:
    """One card of each kind, then another of each, for as long as any gives one; no question twice."""
    seen: set[str] = set()
    while made:
        for one in list(made):
            drawn = next((card for card in one if card is not None), None)
            if drawn is None:
                made.remove(one)
            elif drawn.question not in seen:
                seen.add(drawn.question)
                yield drawn
