"""What ``report`` answers: the facts of every kind of sheet; none of a kind where it was not asked for."""

from __future__ import annotations

from datetime import date

from cache_check.frozen import dataclass
from cache_check.model.audit import AuditResult
from cache_check.model.card import CardResult
from cache_check.model.count import BlankSheet
from cache_check.model.county import CountyIndex
from cache_check.model.load import LoadResult
from cache_check.model.office import OfficeResult

KINDS = ("county", "door", "crew", "load", "office", "audit", "count")
"""The kinds of sheet, by the word that asks for one."""


@dataclass(frozen=True)
class ReportResult:
    """The facts, in the order of the caches.

    ``doors`` are for door cards, ``crews`` for crew pages; ``county`` is of all the caches.
    """

    title: str
    on: date
    doors: tuple[CardResult, ...] = ()
    crews: tuple[CardResult, ...] = ()
    loads: tuple[LoadResult, ...] = ()
    offices: tuple[OfficeResult, ...] = ()
    audits: tuple[AuditResult, ...] = ()
    counts: tuple[BlankSheet, ...] = ()
    county: CountyIndex | None = None
