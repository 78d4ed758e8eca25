"""What the pages show: each kind of sheet from the verb that answers it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING

from cache_check.api.base import WhatIf
from cache_check.errors import AskError
from cache_check.frozen import dataclass
from cache_check.model.audit import AuditResult
from cache_check.model.cache import Cache
from cache_check.model.card import CardResult
from cache_check.model.count import CountSheet
from cache_check.model.need import Needs
from cache_check.model.price import Prices
from cache_check.model.report import KINDS, OfficeResult, ReportResult, Side
from cache_check.model.rule import RuleBook
from cache_check.model.situation import Situation

if TYPE_CHECKING:
    from cache_check.planning.solving.programme import Progress

SETS = 4


@dataclass(frozen=True)
class ReportTerms:
    """What the sheets are made from.

    ``kinds`` are the kinds of sheet wanted; none: all that can be made from what is given.  ``angles_deg`` (none: the
    flattest and steepest ruled) are for the door card.  ``count`` is the filled count sheet of one of the caches.
    """

    kinds: tuple[str, ...] = ()
    needs: Needs | None = None
    prices: tuple[Prices, ...] = ()
    situation: Situation | None = None
    count: CountSheet | None = None
    angles_deg: tuple[Fraction, ...] = ()
    sets: int = SETS
    seconds: float = 60.0

    def wants(self, kind: str) -> bool:
        """Whether a kind of sheet is to be made, as far as the terms say."""
        return not self.kinds or kind in self.kinds


def pages(
    caches: Sequence[Cache],
    book: RuleBook,
    *,
    terms: ReportTerms | None = None,
    suppose: WhatIf | None = None,
    progress: Progress | None = None,
) -> ReportResult:
    """The facts of every sheet, cache by cache.

    Raises:
        AskError: something supposed cannot be, or a sheet is asked for without what it is made from.
        NoPlanError: an optimum could not be proven in time.
    """
    sheets = _Sheets(caches, book, terms or ReportTerms(), suppose, progress)
    _check_asked(caches, sheets.terms)
    return sheets.pages()


@dataclass(frozen=True)
class _Sheets:
    """What all sheets are made from."""

    caches: Sequence[Cache]
    book: RuleBook
    terms: ReportTerms
    suppose: WhatIf | None
    progress: Progress | None

    def pages(self) -> ReportResult:
        from cache_check.api.load import load
        from cache_check.api.office import county_index
        from cache_check.api.sheet import sheet

        caches, book, terms, suppose = self.caches, self.book, self.terms, self.suppose
        side, unsided = self._side()
        cards = tuple(map(self._card, caches)) if terms.wants("door") or terms.wants("crew") else ()
        one = terms.situation if terms.wants("load") else None
        return ReportResult(
            title=", ".join(one.title for one in caches),
            on=(suppose.on if suppose else None) or date.today(),
            doors=cards if terms.wants("door") else (),
            crews=cards if terms.wants("crew") else (),
            loads=tuple(load(cache, book, one, suppose=suppose) for cache in caches) if one else (),
            offices=tuple(self._offices(side, unsided)),
            audits=self._audits() if terms.wants("audit") else (),
            counts=tuple(sheet(one) for one in caches if len(one.rigs) == 1) if terms.wants("count") else (),
            county=county_index(caches, book, needs=terms.needs, side=side, unsided=unsided, suppose=suppose)
            if len(caches) > 1 and terms.wants("county")
            else None,
        )

    def _side(self) -> tuple[Side | None, str]:
        """Several caches side by side, where a sheet shows them so; else why that is not proven."""
        from cache_check.api.office import side_by_side, tried

        needs, wants = self.terms.needs, self.terms.wants
        if needs is None or not needs.scenes or len(self.caches) < 2 or not (wants("office") or wants("county")):
            return None, ""
        return tried(lambda: side_by_side(self.caches, self.book, needs, suppose=self.suppose, progress=self.progress))

    def _offices(self, side: Side | None, unsided: str) -> Iterator[OfficeResult]:
        from cache_check.api.office import office

        terms = self.terms
        if terms.needs is not None and terms.wants("office") and (terms.needs.scenes or terms.kinds):
            for one in self.caches:
                yield office(
                    one, self.book, terms.needs, terms.prices, side=side, unsided=unsided, suppose=self.suppose,
                    seconds=terms.seconds, progress=self.progress,
                )  # fmt: skip

    def _audits(self) -> tuple[AuditResult, ...]:
        """The audit of the rig that was counted; where none was and audits are asked, of every book as it stands."""
        from cache_check.api.audit import audit

        counted, suppose = self.terms.count, self.suppose
        audited = [one for one in self.caches if counted is not None and one.id == counted.rig]
        if counted is None and "audit" in self.terms.kinds:
            audited = list(self.caches)
        plain = WhatIf(factor=suppose.factor, on=suppose.on, units=suppose.units) if suppose else None
        ask = partial(audit, count=counted, needs=self.terms.needs, suppose=plain)
        return tuple(
            ask(one, self.book, others=[other for other in self.caches if other is not one]) for one in audited
        )

    def _card(self, cache: Cache) -> CardResult:
        """The card of one cache; where no set is built, those that ``stage`` proposes."""
        from cache_check.api.card import card
        from cache_check.api.stage import stage

        terms = self.terms
        ask = partial(stage, needs=terms.needs, suppose=self.suppose, progress=self.progress)
        return card(
            cache, self.book, needs=terms.needs, others=tuple(one for one in self.caches if one is not cache),
            angles_deg=terms.angles_deg, suppose=self.suppose, seconds=terms.seconds if terms.wants("crew") else None,
            proposed=None if cache.ready_sets else ask(cache, self.book, sets=terms.sets, seconds=terms.seconds),
        )  # fmt: skip


def _check_asked(caches: Sequence[Cache], terms: ReportTerms) -> None:
    """That whatever is asked for by name can be made."""
    for kind in terms.kinds:
        if kind not in KINDS:
            raise AskError(f"there is no sheet {kind!r}; there are {', '.join(KINDS)}")
    if "load" in terms.kinds and terms.situation is None:
        raise AskError("a load check sheet needs a situation; give --load SITUATION")
    if "office" in terms.kinds and terms.needs is None:
        raise AskError("an office page needs scenes; give --needs FILE")
    if "county" in terms.kinds and len(caches) < 2:
        raise AskError("a county index is of several caches; name another")
    if "count" in terms.kinds and any(len(one.rigs) > 1 for one in caches):
        raise AskError("a count sheet is of one rig; name the caches without --pool")
    if terms.count is not None and terms.count.rig not in [one.id for one in caches]:
        named = ", ".join(repr(one.id) for one in caches)
        raise AskError(f"{terms.count.path or 'the count'} is of {terms.count.rig!r}, and the caches are of {named}")
