"""What the pages show: each sheet from the verb that answers it.  So far there is one sheet, the door card."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING

from cache_check.api.base import WhatIf
from cache_check.api.card import card
from cache_check.api.stage import SETS, stage
from cache_check.model.cache import Cache
from cache_check.model.card import CardResult
from cache_check.model.need import Needs
from cache_check.model.report import ReportResult
from cache_check.model.rule import RuleBook

if TYPE_CHECKING:
    from cache_check.planning.programme import Progress


@dataclass(frozen=True)
class ReportTerms:
    """What the sheets are made from; angles (none: the flattest and steepest ruled) are for the card's table."""

    needs: Needs | None = None
    angles_deg: tuple[Fraction, ...] = ()
    sets: int = SETS
    seconds: float = 60.0


def report(
    caches: Sequence[Cache],
    book: RuleBook,
    *,
    terms: ReportTerms | None = None,
    suppose: WhatIf | None = None,
    progress: Progress | None = None,
) -> ReportResult:
    """The facts of every sheet, cache by cache.

    Raises:
        AskError: something supposed cannot be.
        NoPlanError: an optimum could not be proven in time.
    """
    terms = terms or ReportTerms()
    cards = tuple(_card(one, caches, book, terms, suppose, progress) for one in caches)
    return ReportResult(cards, (suppose.on if suppose else None) or date.today())


def _card(
    cache: Cache,
    caches: Sequence[Cache],
    book: RuleBook,
    terms: ReportTerms,
    suppose: WhatIf | None,
    progress: Progress | None,
) -> CardResult:
    """The card of one cache; where no set is built, those that ``stage`` proposes."""
    proposed = None
    if not cache.ready_sets:
        proposed = stage(
            cache, book, needs=terms.needs, sets=terms.sets, suppose=suppose, seconds=terms.seconds, progress=progress
        )
    others = tuple(one for one in caches if one is not cache)
    return card(
        cache, book, needs=terms.needs, others=others, angles_deg=terms.angles_deg, proposed=proposed, suppose=suppose
    )
