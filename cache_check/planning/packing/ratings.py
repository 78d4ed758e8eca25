"""What the columns of a muster are rated for, at which design factor, and what judges how their bases are held."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction
from math import inf
from typing import TYPE_CHECKING, Protocol

from cache_check.loads.capacity import doubted, lowest
from cache_check.loads.chart import DesignFactor
from cache_check.model.quantities import FLATTEST_DEG
from cache_check.model.rule import RuleBook, Setting
from cache_check.model.verdict import Link
from cache_check.planning.packing.columns import Columns
from cache_check.planning.packing.laid import Weakest
from cache_check.planning.packing.rows import bits

ANGLED = "strut_angle"  # the kind of rule that says how steep a strut may stand

if TYPE_CHECKING:
    from cache_check.model.told import Pieces
    from cache_check.planning.packing.muster import Ask, Muster


class Ratings:
    """The columns that carry an ask, worked out once between two chart rows."""

    def __init__(self, muster: Muster) -> None:
        self._muster = muster
        self.edges = sorted({r.length for f in muster.cache.catalogue.families for c in f.charts for r in c.rows})
        self._carrying: dict[tuple[int, int, Fraction, DesignFactor, bool], int] = {}

    def rows(self, ask: Ask) -> tuple[int, int]:
        """Between which rows of all charts an ask begins and ends: alike in both, asks are rated alike."""
        return bisect_left(self.edges, ask.shortest), bisect_left(self.edges, ask.longest)

    def carrying(self, ask: Ask, *, hoped: bool = False) -> int:
        """The columns whose assembly is rated for an ask's load or, if ``hoped``, may be for all anybody knows."""
        load, factor, rows = ask.load or Fraction(0), self._muster.factor(ask), self.rows(ask)
        key = (*rows, load, factor, hoped)
        if (found := self._carrying.get(key)) is None:
            rated = ((mask, weakest[hoped]) for weakest, mask in self._weakest(ask, factor).items())
            # No assembly is rated in two ways, so that the sum of the masks is the mask of all.
            strong = sum(mask for mask, least in rated if least is not None and least >= load)
            found = self._carrying[key] = self._muster.columns.taking(strong & self._muster.there_or_bought)
        return found

    def standing_at(self, angle: Fraction | None) -> int:
        """The columns whose assembly may stand at an angle (degrees); where none is stated, at some."""
        book, by_id = self._muster.book, self._muster.cache.catalogue.by_id
        return -1 if angle is None and stands_at(book, None, None) else self._muster.columns.where(
            lambda one: stands_at(book, {by_id[part].family for part in one.parts}, angle), ("at", angle)
        )  # fmt: skip

    def off_angle(self, ask: Ask) -> str:
        """Why no strut that covers an ask may stand at its angle; "" where one may, or any at some."""
        if (may := self.standing_at(ask.angle)) < 0 or may & self._muster.mask(ask, "assembled at once"):
            return ""
        return f"{leans(self._muster.book, ask.angle)}: set it otherwise"

    def _weakest(self, ask: Ask, factor: DesignFactor) -> dict[Weakest, int]:
        """By what their links are rated for the masks of the assemblies, which are kept with what is laid out."""
        muster, columns = self._muster, self._muster.columns
        kept = muster.laid.weakest.setdefault((*self.rows(ask), factor), {})
        for i in bits(muster.there_or_bought & columns.assembled & ~sum(kept.values())):
            found = muster.capacity.links(columns.assemblies[i], ask.shortest, ask.longest, factor)
            told = tuple(one for one in found if not one.unknown)
            weakest = lowest(found), lowest(told) if told else inf
            kept[weakest] = kept.get(weakest, 0) | 1 << i
        return kept


def angles_ruled(book: RuleBook, families: Iterable[str] | None = None) -> tuple[Fraction, ...]:
    """The flattest and the steepest (degrees) that struts of some families, else any, may stand; () where no rule."""
    if not book.in_force(ANGLED, families):
        return ()
    ends = book.ruled("strut_angle", "min", families), book.ruled("strut_angle", "max", families)
    return tuple(max(Fraction(FLATTEST_DEG), end) for end in ends)


def stands_at(book: RuleBook, families: Iterable[str] | None, angle: Fraction | None) -> bool:
    """Whether struts of some families may stand at an angle (degrees; None: at any): what two allow may be none."""
    limits = angles_ruled(book, families)
    return not limits or limits[0] <= (limits[0] if angle is None else angle) <= limits[1]


def leans(book: RuleBook, angle: Fraction | None, families: Iterable[str] | None = None) -> str:
    """An angle beside what is allowed, which some rule says."""
    low, high = angles_ruled(book, families)
    stated = "any angle" if angle is None else f"{float(angle):.4g} deg"
    return f"{stated} from the horizontal, {float(low):g} to {float(high):g} allowed"


def factor_ruled(book: RuleBook) -> DesignFactor:
    """The design factor that the rules ask for; a family's own is never lowered by what is said for all."""
    in_force = [Fraction(book.value(rule.id, "factor")) for rule in book.of_kind("load_check")]
    said = [(Fraction(one.values["factor"]), one.family) for one in factors_set(book)]
    k = max(*in_force, *(factor for factor, family in said if family is not None), Fraction(1))
    return DesignFactor(k, said=k in [factor for factor, _ in said])


def factors_set(book: RuleBook) -> tuple[Setting, ...]:
    """The settings that name a design factor, in their order."""
    rules = {rule.id for rule in book.of_kind("load_check")}
    return tuple(one for one in book.settings if one.rule in rules and "factor" in one.values)


def on_word(muster: Muster) -> Iterator[tuple[str, str]]:
    """What counts although rules call it unlikely, since its file answers for it; with the reason that it gives."""
    _ = muster.judge  # which reads the places of needs
    for one in (each for each in muster.unlikely if each.word):
        yield f"{muster.name(one.part)}: {one.figure} {one.shown(one.value, muster.cache.units)}", one.word
    for chart in (chart for chart in muster.charts_on_book() if chart.sure and not muster.capacity.doubts(chart)):
        if any(doubted(chart.changed(sure=False), muster.cache.catalogue, muster.book)):
            yield f"chart {chart.id}", chart.why.strip()


class Judge(Protocol):
    """What a muster asks about struts that a load pushes outwards, each as its base is held."""

    def columns(self) -> Columns | None:
        """The columns of the muster where its own will not do: bases held by more ties than the rules ask."""

    def bearing(self, ask: Ask) -> tuple[int, int]:
        """The columns that do a loaded ask for certain, and those that may."""

    def unknown(self, ask: Ask, column: int) -> Iterator[Link]:
        """What is not known of a strut under a loaded ask."""

    def fewest(self, ask: Ask, base: str, tie: str) -> int | None:
        """The fewest of one kind of tie that hold a base under a loaded ask, from the parts alone; None: none do."""

    def pads(self, asks: Iterable[tuple[Ask, int]]) -> tuple[int, Pieces]:
        """How many bases of so many struts of each ask need a pad, and the pads that are large enough for any."""

    def together(self, asks: Iterable[tuple[Ask, int]], gone: int = 0) -> Iterator[Link]:
        """What so many struts need together beside their columns, with so many pieces of it ``gone``."""

    def failing(self, ask: Ask) -> str:
        """What keeps the best strut from doing a loaded ask, "" where none comes near."""


Judging = Callable[["Muster"], Judge]
