"""Exercise cards as one HTML file: two cards a side to print, a page to answer on, the key on sheets of its own."""

from __future__ import annotations

from collections.abc import Sequence

from cache_check import __version__
from cache_check.model.cache import Source
from cache_check.model.exercise import ExerciseResult
from cache_check.model.rule import RuleBook
from cache_check.report import basis
from cache_check.report.caution import CAUTION
from cache_check.report.of_exercise import LETTERS, ONLY, letters
from cache_check.report.pages.shell import environment


def html(result: ExerciseResult, book: RuleBook, read: Sequence[Source] = ()) -> str:
    """The file; it runs no script, and keeps nothing of who answers."""
    cards = tuple(enumerate(result.cards, 1))
    made = environment().get_template("exercise.html.j2")
    return (
        made.render(
            result=result,
            sides=[cards[at : at + 2] for at in range(0, len(cards), 2)],
            letter=LETTERS,
            letters=letters,
            only=ONLY,
            caution=CAUTION,
            head=basis.head(result.basis).items,
            version=__version__,
        )
        + "\n"
    )
