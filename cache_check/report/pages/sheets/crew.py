"""The crew page: the finder."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cache_check.model.cache import Source
from cache_check.model.card import CardResult
from cache_check.model.report import ReportResult
from cache_check.model.rule import RuleBook
from cache_check.report import basis
from cache_check.report.pages import finder
from cache_check.report.pages.sheet import Sheet
from cache_check.report.pages.sheets import door
from cache_check.report.pages.svg import short
from cache_check.report.say import Say

KIND, NAME, ORDER = "crew", "Crew page", 30


def sheets(result: ReportResult, _book: RuleBook, _read: Sequence[Source]) -> Iterator[Sheet]:
    """A page for each cache."""
    for number, card in enumerate(result.crews, 1):
        yield sheet(card, f"crew-{number}")


def sheet(card: CardResult, key: str) -> Sheet:
    """The page of one cache; ``key`` begins the ids of what stands on it."""
    say = Say(card.basis.units, card.names)
    return Sheet(
        "crew",
        f"{short(card.title, 60)}: find a strut",
        basis.head(card.basis),
        (finder.part(card, say, f"{key}-finder"),),
        door.foot(card.basis),
        of=card.name,
    )
