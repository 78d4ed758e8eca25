"""What ``report`` answers: the door card of each cache."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from cache_check.model.card import CardResult


@dataclass(frozen=True)
class ReportResult:
    """The cards, in the order of the caches."""

    cards: tuple[CardResult, ...]
    on: date
