"""Exercises: cards with a question about one rig, and a key that the verbs have proven."""

from typing import Annotated, Literal

from cache_check.frozen import dataclass
from cache_check.model.result import Answer

Level = Literal["first", "usual", "hard"]
LEVELS: tuple[Level, ...] = ("first", "usual", "hard")


@dataclass(frozen=True)
class Card:
    """One question with its choices."""

    kind: str
    level: Level
    question: str
    choices: tuple[str, ...]
    right: Annotated[tuple[int, ...], "the numbers, from 0, of the choices that are right"]
    why: Annotated[str, "what shows it"]
    rests: Annotated[str, "the rule or the step that the answer rests on"]
    command: Annotated[str, "the words that ask the tool the same"]


@dataclass(frozen=True)
class ExerciseResult(Answer):
    """Cards from one rig.  The same seed gives the same cards on every machine; ``short`` says why there are fewer."""

    seed: int
    wanted: int
    cards: tuple[Card, ...]
    short: str = ""
