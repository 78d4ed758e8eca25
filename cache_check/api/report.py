"""What the pages show: each kind of sheet from the verb that answers it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from fractions import Fraction
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
    from cache_check.api.load import load
    from cache_check.api.office import county_index
    from cache_check.api.sheet import sheet

    terms = terms or ReportTerms()
    _check_asked(caches, terms)
    side, unsided = _side(caches, book, terms, suppose, progress)
    cards: tuple[CardResult, ...] = ()
    if terms.wants("door") or terms.wants("crew"):
        cards = tuple(_card(one, caches, book, terms, suppose, progress) for one in caches)
    return ReportResult(
        title=", ".join(one.title for one in caches),
        on=(suppose.on if suppose else None) or date.today(),
        doors=cards if terms.wants("door") else (),
        crews=cards if terms.wants("crew") else (),
        loads=tuple(load(one, book, terms.situation, suppose=suppose) for one in caches)
        if terms.situation is not None and terms.wants("load")
        else (),
        offices=tuple(_offices(caches, book, terms, (side, unsided), suppose, progress)),
        audits=_audits(caches, book, terms, suppose) if terms.wants("audit") else (),
        counts=tuple(sheet(one) for one in caches if len(one.rigs) == 1) if terms.wants("count") else (),
        county=county_index(caches, book, needs=terms.needs, side=side, unsided=unsided, suppose=suppose)
        if len(caches) > 1 and terms.wants("county")
        else None,
    )


def _side(
    caches: Sequence[Cache], book: RuleBook, terms: ReportTerms, suppose: WhatIf | None, progress: Progress | None
) -> tuple[Side | None, str]:
    """Several caches side by side, where a sheet shows them so; else why that is not proven."""
    from cache_check.api.office import side_by_side, tried

    needs = terms.needs
    if needs is None or not needs.scenes or len(caches) < 2 or not (terms.wants("office") or terms.wants("county")):
        return None, ""
    return tried(lambda: side_by_side(caches, book, needs, suppose=suppose, progress=progress))


def _offices(
    caches: Sequence[Cache], book: RuleBook, terms: ReportTerms, side: tuple[Side | None, str], suppose: WhatIf | None,
    progress: Progress | None,
) -> Iterator[OfficeResult]:  # fmt: skip
    from cache_check.api.office import office

    if terms.needs is not None and terms.wants("office") and (terms.needs.scenes or terms.kinds):
        for one in caches:
            yield office(
                one, book, terms.needs, terms.prices, side=side[0], unsided=side[1], suppose=suppose,
                seconds=terms.seconds, progress=progress,
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


def _audits(
    caches: Sequence[Cache], book: RuleBook, terms: ReportTerms, suppose: WhatIf | None
) -> tuple[AuditResult, ...]:
    """The audit of the rig that was counted; where none was and audits are asked for, of every book as it stands."""
    from cache_check.api.audit import audit

    counted = terms.count
    audited = [one for one in caches if counted is not None and one.id == counted.rig]
    if counted is None and "audit" in terms.kinds:
        audited = list(caches)
    plain = WhatIf(factor=suppose.factor, on=suppose.on, units=suppose.units) if suppose else None
    return tuple(
        audit(
            one, book, counted, needs=terms.needs, suppose=plain,
            others=[other for other in caches if other is not one],
        )
        for one in audited
    )  # fmt: skip


def _card(
    cache: Cache, caches: Sequence[Cache], book: RuleBook, terms: ReportTerms, suppose: WhatIf | None,
    progress: Progress | None,
) -> CardResult:  # fmt: skip
    """The card of one cache; where no set is built, those that ``stage`` proposes."""
    from cache_check.api.card import card
    from cache_check.api.stage import stage

    proposed = None
    if not cache.ready_sets:
        proposed = stage(
            cache, book, needs=terms.needs, sets=terms.sets, suppose=suppose, seconds=terms.seconds, progress=progress
        )
    others = tuple(one for one in caches if one is not cache)
    return card(
        cache, book, needs=terms.needs, others=others, angles_deg=terms.angles_deg, proposed=proposed, suppose=suppose,
        seconds=terms.seconds if terms.wants("crew") else None,
    )  # fmt: skip
