"""What the pages show: each kind of sheet from the verb that answers it; the office page and the index of a county.

What cannot be proven in time is said in its own place, so that the rest of the page stands.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import field, replace
from datetime import date
from fractions import Fraction
from functools import partial
from typing import TypeVar

from cache_check.api.audit import as_found, audit, sheet
from cache_check.api.base import SECONDS, WhatIf, head_of, muster_of, supposed_pieces, tried
from cache_check.api.buy import BuyTerms, buy, county
from cache_check.api.card import card, pooled
from cache_check.api.check import check
from cache_check.api.load import load
from cache_check.api.stage import SETS, stage
from cache_check.checks.costs import falls
from cache_check.errors import AskError, InputError, NoPlanError, listed
from cache_check.frozen import dataclass
from cache_check.model.audit import AuditResult
from cache_check.model.cache import Cache
from cache_check.model.card import CardResult
from cache_check.model.count import CountSheet
from cache_check.model.counting import SceneServed
from cache_check.model.need import Needs
from cache_check.model.purchase import Prices
from cache_check.model.report import KINDS, CountyIndex, NotMade, OfficeResult, ReportResult, RigShown, Side
from cache_check.model.rule import RuleBook
from cache_check.model.situation import Situation
from cache_check.planning.buying.worth import part_losses
from cache_check.planning.loading.at_hand import heaviest
from cache_check.planning.scenes import asked, scene, told
from cache_check.planning.solving.programme import Progress, silent

Found = TypeVar("Found")
Sided = tuple[Side | None, str]  # several caches side by side; where that is not proven, None and why


@dataclass(frozen=True)
class ReportTerms:
    """What the sheets are made from."""

    kinds: tuple[str, ...] = ()  # those wanted; none: all that can be made from what is given
    needs: Needs | None = None
    prices: tuple[Prices, ...] = ()
    situation: Situation | None = None
    count: CountSheet | None = None  # the filled sheet of one of the caches
    angles_deg: tuple[Fraction, ...] = ()  # for the door card; none: the flattest and steepest ruled
    sets: int = SETS
    seconds: float = SECONDS

    def wants(self, kind: str) -> bool:
        """Whether a kind of sheet is to be made, as far as the terms say."""
        return not self.kinds or kind in self.kinds


def pages(
    caches: Sequence[Cache], book: RuleBook, *, terms: ReportTerms | None = None, suppose: WhatIf | None = None,
    progress: Progress = silent,
) -> ReportResult:  # fmt: skip
    """The facts of every sheet, cache by cache; of a rig that was counted as it was found.

    Raises AskError: something supposed cannot be, or a sheet is asked for without what it is made from; NoPlanError:
    not one sheet could be made, since an optimum could not be proven in time.
    """
    terms, suppose = terms or ReportTerms(), suppose or WhatIf()
    _check_asked(caches, terms)
    written, count = caches, terms.count
    if count is not None:  # what was found is what is there: no sheet may say more than its audit
        caches = tuple(
            one if one.id != count.rig else as_found(one, book, count, others=written, suppose=suppose)
            for one in written
        )
    made = _Sheets(caches, book, terms, suppose, progress, written)
    cards = made.every(("door", "crew"), made.card, caches)
    needs, one = terms.needs, terms.situation
    sided = made.sided(needs)
    audited = [one for one in written if (count.rig == one.id if count else "audit" in terms.kinds)]
    result = ReportResult(
        title=", ".join(one.title for one in caches), on=made.suppose.on or date.today(),
        doors=cards if terms.wants("door") else (), crews=cards if terms.wants("crew") else (),
        loads=() if one is None else made.every(
            ("load",), partial(load, book=book, situation=one, suppose=suppose, seconds=terms.seconds), caches
        ),
        offices=made.every(("office",), partial(made.office, needs=needs, sided=sided), caches)
        if needs is not None and (needs.scenes or terms.kinds) else (),
        audits=made.every(("audit",), made.audit, audited),
        counts=tuple(sheet(one) for one in written if len(one.rigs) == 1) if terms.wants("count") else (),
        county=CountyIndex(tuple(map(made.rig, caches)), *sided) if len(caches) > 1 and terms.wants("county") else None,
        unsupposed=tuple((one.id, supposed_pieces(one, made.suppose)) for one in caches), missing=tuple(made.missing),
    )  # fmt: skip
    sheets = (result.county, result.doors, result.crews, result.loads, result.offices, result.audits, result.counts)
    if result.missing and not any(sheets):
        raise NoPlanError(result.missing[0].why)
    return result


@dataclass(frozen=True)
class _Sheets:
    caches: Sequence[Cache]
    book: RuleBook
    terms: ReportTerms
    suppose: WhatIf
    progress: Progress
    written: Sequence[Cache]
    missing: list[NotMade] = field(default_factory=list)

    def every(self, kinds: Iterable[str], ask: Callable[[Cache], Found], caches: Iterable[Cache]) -> tuple[Found, ...]:
        """The facts of each cache for the kinds of sheet that are wanted; one that is not proven is kept as missing."""
        wanted = [kind for kind in kinds if self.terms.wants(kind)]
        made = [(cache, *tried(partial(ask, cache))) for cache in caches] if wanted else []
        self.missing.extend(
            NotMade(kind, one.id, one.title, why) for one, found, why in made if found is None for kind in wanted
        )
        return tuple(found for _, found, _ in made if found is not None)

    def card(self, cache: Cache) -> CardResult:
        """The card of one cache; where no set is built, with those that ``stage`` proposes."""
        terms = self.terms
        proposed = None if cache.ready_sets else stage(
            cache, self.book, needs=terms.needs, sets=terms.sets, suppose=self.suppose, seconds=terms.seconds,
            progress=self.progress,
        )  # fmt: skip
        made = card(
            cache, self.book, needs=terms.needs, others=tuple(one for one in self.caches if one is not cache),
            angles_deg=terms.angles_deg, proposed=proposed, suppose=self.suppose,
            seconds=terms.seconds if terms.wants("crew") else None,
        )  # fmt: skip
        booked = (ready.id for one in self.written if one.id == cache.id for ready in one.ready_sets)
        unbuilt = [name for name in booked if name not in {one.id for one in cache.ready_sets}]
        said = f"On the book, and NOT BUILT when it was counted: {listed(unbuilt, 'and')}."
        return replace(made, unbuilt=(said,) * bool(unbuilt))

    def audit(self, cache: Cache) -> AuditResult:
        """The audit of the rig that was counted, or where none was of every book; without what is supposed of it."""
        terms, others = self.terms, [one for one in self.written if one is not cache]
        suppose = replace(self.suppose, without=(), extra=())
        return audit(
            cache, self.book, terms.count, needs=terms.needs, others=others, suppose=suppose, seconds=terms.seconds
        )

    def sided(self, needs: Needs | None) -> Sided:
        """What each cache serves, the moves that help, and what all serve as one pool, where a sheet shows that."""
        shown = self.terms.wants("office") or self.terms.wants("county")
        if not shown or len(self.caches) < 2 or needs is None or not needs.scenes:
            return None, ""

        def side() -> Side:
            found = county(self.caches, self.book, needs, suppose=self.suppose, progress=self.progress)
            together, unproven = tried(lambda: self.together(needs))
            return Side(found, together or (), unproven)

        return tried(side)

    def together(self, needs: Needs) -> tuple[SceneServed, ...]:
        """How far all caches together meet each scene; what is supposed of each is supposed here too."""
        try:
            muster = pooled(self.caches, self.book, self.suppose, needs)
        except InputError as error:
            raise NoPlanError(f"the caches cannot be taken as one: {error}") from None
        return tuple(told(scene(muster, one), one) for one in needs.scenes)

    def office(self, cache: Cache, needs: Needs, sided: Sided) -> OfficeResult:
        """The facts of one cache's page.  Raises AskError: no scene is asked, or quotes are of several currencies."""
        scenes, suppose, hear = needs.scenes, self.suppose, self.progress
        if not scenes:
            raise AskError("there is no scene for the office page; name a needs file with at least one")
        terms = BuyTerms(seconds=self.terms.seconds, frontier=len(self.caches) == 1)  # which takes long
        muster = muster_of(cache, self.book, suppose, needs=needs)
        bought, unbought = tried(
            lambda: buy(cache, self.book, needs, self.terms.prices, terms=terms, suppose=suppose, progress=hear)
        )
        weighed, unweighed = tried(lambda: heaviest(muster))
        losses, unlost = tried(lambda: part_losses(muster, scenes, hear))
        return OfficeResult(
            *head_of(muster, suppose, scenes=scenes),
            asks=tuple(ask for one in scenes for ask in asked(muster, one)), bought=bought, losses=losses,
            side=sided[0], heaviest=weighed, unbought=unbought, unlost=unlost, unsided=sided[1], unweighed=unweighed,
        )  # fmt: skip

    def rig(self, cache: Cache) -> RigShown:
        """A rig of the index."""
        terms, needs, suppose = self.terms, self.terms.needs, self.suppose
        muster = muster_of(cache, self.book, suppose, needs=needs)
        checked, unproven = tried(partial(check, cache, self.book, needs=needs, suppose=suppose, seconds=terms.seconds))
        pieces = [one for line in cache.stock for one in line.pieces]
        return RigShown(
            *head_of(muster, suppose, scenes=needs.scenes if needs else ()), check=checked,
            due=falls(muster.cache, muster.book, muster.on), unproven=unproven,
            undated=sum(number for item, number in pieces if item.inspected is None and item.expires is None),
        )  # fmt: skip


def _check_asked(caches: Sequence[Cache], terms: ReportTerms) -> None:
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
