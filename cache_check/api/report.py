"""What the pages show: each kind of sheet from the verb that answers it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from fractions import Fraction

from cache_check.api.audit import audit
from cache_check.api.base import SECONDS, WhatIf, tried
from cache_check.api.card import card
from cache_check.api.load import load
from cache_check.api.office import Sided, county_index, office, side_by_side
from cache_check.api.sheet import sheet
from cache_check.api.stage import SETS, stage
from cache_check.errors import AskError
from cache_check.frozen import dataclass
from cache_check.model.audit import AuditResult
from cache_check.model.cache import Cache
from cache_check.model.card import CardResult
from cache_check.model.count import CountSheet
from cache_check.model.need import Needs
from cache_check.model.purchase import Prices
from cache_check.model.report import KINDS, OfficeResult, ReportResult
from cache_check.model.rule import RuleBook
from cache_check.model.situation import Situation
from cache_check.planning.solving.programme import Progress, silent


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
    seconds: float = SECONDS

    def wants(self, kind: str) -> bool:
        """Whether a kind of sheet is to be made, as far as the terms say."""
        return not self.kinds or kind in self.kinds


def pages(
    caches: Sequence[Cache],
    book: RuleBook,
    *,
    terms: ReportTerms | None = None,
    suppose: WhatIf | None = None,
    progress: Progress = silent,
) -> ReportResult:
    """The facts of every sheet, cache by cache.

    Raises:
        AskError: something supposed cannot be, or a sheet is asked for without what it is made from.
        NoPlanError: an optimum could not be proven in time.
    """
    terms = terms or ReportTerms()
    _check_asked(caches, terms)
    sided = _sided(caches, book, terms, suppose, progress)
    cards = tuple(_cards(caches, book, terms, suppose, progress))
    one = terms.situation if terms.wants("load") else None
    return ReportResult(
        title=", ".join(one.title for one in caches),
        on=(suppose.on if suppose else None) or date.today(),
        doors=cards if terms.wants("door") else (),
        crews=cards if terms.wants("crew") else (),
        loads=tuple(load(cache, book, one, suppose=suppose) for cache in caches) if one else (),
        offices=tuple(_offices(caches, book, terms, sided, suppose, progress)),
        audits=tuple(_audits(caches, book, terms, suppose)),
        counts=tuple(sheet(one) for one in caches if len(one.rigs) == 1) if terms.wants("count") else (),
        county=county_index(caches, book, terms.needs, sided, suppose)
        if len(caches) > 1 and terms.wants("county")
        else None,
    )


def _sided(
    caches: Sequence[Cache], book: RuleBook, terms: ReportTerms, suppose: WhatIf | None, progress: Progress
) -> Sided:
    """Several caches side by side, where a sheet shows them so; else why that is not proven."""
    needs = terms.needs
    if needs is None or not needs.scenes or len(caches) < 2 or not (terms.wants("office") or terms.wants("county")):
        return None, ""
    return tried(lambda: side_by_side(caches, book, needs, suppose=suppose, progress=progress))


def _offices(
    caches: Sequence[Cache], book: RuleBook, terms: ReportTerms, sided: Sided, suppose: WhatIf | None,
    progress: Progress,
) -> Iterator[OfficeResult]:  # fmt: skip
    if terms.needs is not None and terms.wants("office") and (terms.needs.scenes or terms.kinds):
        for one in caches:
            yield office(
                one, book, terms.needs, terms.prices, sided=sided, steps=len(caches) == 1, suppose=suppose,
                seconds=terms.seconds, progress=progress,
            )  # fmt: skip


def _audits(
    caches: Sequence[Cache], book: RuleBook, terms: ReportTerms, suppose: WhatIf | None
) -> Iterator[AuditResult]:
    """The audit of the rig that was counted; where none was and audits are asked, of every book as it stands."""
    if not terms.wants("audit"):
        return
    count = terms.count
    plain = WhatIf(factor=suppose.factor, on=suppose.on, units=suppose.units) if suppose else None
    for one in caches:
        if count.rig == one.id if count else "audit" in terms.kinds:
            others = [other for other in caches if other is not one]
            yield audit(one, book, count, needs=terms.needs, suppose=plain, others=others)


def _cards(
    caches: Sequence[Cache], book: RuleBook, terms: ReportTerms, suppose: WhatIf | None, progress: Progress
) -> Iterator[CardResult]:
    """The card of each cache; where no set is built, with those that ``stage`` proposes."""
    for cache in caches if terms.wants("door") or terms.wants("crew") else ():
        proposed = None if cache.ready_sets else stage(
            cache, book, needs=terms.needs, sets=terms.sets, suppose=suppose, seconds=terms.seconds, progress=progress
        )  # fmt: skip
        yield card(
            cache, book, needs=terms.needs, others=tuple(one for one in caches if one is not cache),
            angles_deg=terms.angles_deg, proposed=proposed, suppose=suppose,
            seconds=terms.seconds if terms.wants("crew") else None,
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
