"""The pages of ``exercise``: the cards, and apart from them the key."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cache_check.model.cache import Source
from cache_check.model.exercise import Card, ExerciseResult
from cache_check.model.rule import RuleBook
from cache_check.report import basis
from cache_check.report.page import REMINDER, Page, Points, Section, caution

ONLY = (
    "An exercise, for training: never act on a card at a scene. There the maker's current chart and label, training, "
    "local codes and incident command govern."
)
LETTERS = "abcdefgh"


def cards(result: ExerciseResult) -> Page:
    """The questions with their choices, without the key."""
    return Page(
        f"{result.title}: exercise {result.seed}",
        (
            Section("Exercise", (ONLY, *([result.short] if result.short else []))),
            *(Section(f"Card {n}", _asked(one)) for n, one in enumerate(result.cards, 1)),
        ),
    )


def key(result: ExerciseResult, book: RuleBook, read: Sequence[Source] = ()) -> Page:
    """The key, what shows it, and what all of it rests on."""
    return Page(
        f"{result.title}: key of exercise {result.seed}",
        (
            Section("Key", (ONLY, *_key(result.cards), REMINDER)),
            Section("Rig, dates and rules", (basis.head(result.basis),)),
            Section("What this rests on", tuple(basis.rests_on(result.basis, book, read))),
            Section("Caution", caution()),
        ),
    )


def letters(card: Card) -> str:
    """The letters of the right choices."""
    return " and ".join(LETTERS[n] for n in card.right)


def _asked(card: Card) -> tuple[Points]:
    return (Points(card.question, tuple(f"{LETTERS[n]}) {one}" for n, one in enumerate(card.choices))),)


def _key(cards: Sequence[Card]) -> Iterator[Points]:
    for number, card in enumerate(cards, 1):
        said = "; ".join(f"{LETTERS[n]}) {card.choices[n]}" for n in card.right)
        yield Points(f"Card {number}: {said}", (card.why, f"rests on: {card.rests}", f"ask: {card.command}"))
