"""What one assembly is rated for over a length or range and a design factor, and which link governs.

The chart of the body's family speaks for a complete strut of its own parts; a part that states its strength caps it.
Unrated: no chart or one in doubt, no row at or above a length, a blank cell, a factor not stated, or families mixed.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import cache, lru_cache
from itertools import islice, pairwise

from cache_check.frozen import dataclass
from cache_check.loads.chart import RISES, DesignFactor, Flaw, Row, cells, flaws, lowest_load, rated_at_factor
from cache_check.model.assembly import Assembly
from cache_check.model.family import Catalogue, Chart
from cache_check.model.part import Strength
from cache_check.model.rule import Rule, RuleBook

AGAIN = "read it again from the maker's current sheet"
RATING = frozenset({"mixed_rating"})  # kinds of rule that say here which assemblies are rated


def doubted(chart: Chart, catalogue: Catalogue, book: RuleBook) -> Iterator[tuple[str, Flaw]]:
    """(Rule, flaw) for all that the rules in force call in doubt in a chart, and its file does not answer for."""
    for rule in (*book.of_kind("chart_sane"), *book.of_kind("chart_likely")):
        if book.is_on(rule.id, (chart.family,)):
            likely = rule.kind == "chart_likely"
            found = _likely(rule, chart, catalogue, book) if likely else _flaws(tuple(rows_of(chart)))
            # What cannot be is never right, whatever the chart's file answers.
            yield from ((rule.id, flaw) for flaw in found if flaw.kind in RISES or not chart.sure)


@lru_cache(maxsize=256)
def _flaws(rows: tuple[Row, ...]) -> tuple[Flaw, ...]:
    """The flaws of rows, which many rigs have alike."""
    return tuple(flaws(rows))


def rows_of(chart: Chart) -> list[Row]:
    """The rows of a chart, as the equations take them."""
    return [Row(row.length, row.loads) for row in chart.rows]


def _likely(rule: Rule, chart: Chart, catalogue: Catalogue, book: RuleBook) -> list[Flaw]:
    mine, rows = (chart.family,), rows_of(chart)
    least, most = book.value(rule.id, "least", mine), book.value(rule.id, "most", mine)
    found = [Flaw("smaller than any likely load", i, k, least=least) for i, k, load in cells(rows) if load < least]
    found += [Flaw("larger than any likely load", i, k, most=most) for i, k, load in cells(rows) if load > most]
    found += _apart(rows, book.value(rule.id, "apart", mine))
    longest = book.value(rule.id, "longest", mine)
    found += [Flaw("longer than any likely strut", i) for i, row in enumerate(rows) if row.limit > longest]
    others = [one for one in catalogue.family[chart.family].charts if one.id != chart.id]
    away = [place for other in others for place in islice(_away(chart, other, book.value(rule.id, "family", mine)), 1)]
    if 2 * len(away) > len(others):
        found.append(Flaw("far from the other charts of its family", min(away)))
    if chart.factor is not None and chart.factor > book.value(rule.id, "factor", mine):
        found.append(Flaw("design factor larger than any likely one", 0))
    return sorted(found, key=lambda flaw: (flaw.row, flaw.extensions or 0, flaw.kind))


def _apart(rows: Sequence[Row], apart: Fraction) -> Iterator[Flaw]:
    """A cell so far over the next of its row that one of the two has a figure too many or too few."""
    for place, row in enumerate(rows):
        for column, (load, more) in enumerate(pairwise(row.loads)):
            if load is not None and more is not None and load > apart * more:
                yield Flaw("far over the same row with one extension more", place, column, most=apart * more)


def _away(chart: Chart, other: Chart, apart: Fraction) -> Iterator[int]:
    """The rows whose load with no extension is far from another chart's at that length, where both have one."""
    for place, row in enumerate(chart.rows):
        if other.rows[0].length <= row.length <= other.rows[-1].length:
            mine, theirs = (*row.loads, None)[0], lowest_load(rows_of(other), row.length, row.length, 0)
            if mine and theirs and not 1 / apart <= Fraction(mine) / theirs <= apart:
                yield place


@dataclass(frozen=True)
class Link:
    """One link of the chain that carries the load: its name, and what it is rated for (N), None if unrated."""

    name: str
    rated: Fraction | None
    why: str = ""
    # Some figure is missing or in doubt; past the last row, and where families are mixed, there is none to be had.
    unknown: bool = False
    at: Fraction | None = None  # the design factor of that: the one asked, or a higher one that its maker marked it at
    part: str = ""  # whose own strength it is
    ask: str = "ask the maker"  # who could tell what is not known


class Capacity:
    """What assemblies are rated for under the rules in force; every verb asks here, so that a doubt is one for all."""

    def __init__(self, catalogue: Catalogue, book: RuleBook) -> None:
        self.catalogue, self.book = catalogue, book
        self._doubts: dict[tuple[str, str], tuple[str, ...]] = {}
        self.charted = cache(self._charted)  # struts of one body by the thousand ask alike
        self._own_strength = cache(self._strength)

    def links(self, assembly: Assembly, shortest: int, longest: int, factor: DesignFactor) -> tuple[Link, ...]:
        """Every link of an assembly set anywhere from ``shortest`` to ``longest`` (nm), charts first."""
        by_id = self.catalogue.by_id
        families = tuple(dict.fromkeys(by_id[part].family for part in assembly.parts if by_id[part].kind != "adapter"))
        charted = self.charted(families, assembly.body, assembly.extensions, shortest, longest, factor)
        strong = (p for p in dict.fromkeys((*assembly.parts, *dict(assembly.pins))) if by_id[p].strength is not None)
        return (*charted, *(self._own_strength(part, factor) for part in strong))

    def _strength(self, part: str, factor: DesignFactor) -> Link:
        strong = self.catalogue.by_id[part]
        assert strong.strength is not None
        rated = of_strength(strong.strength, factor)
        return Link(strong.name, rated, "its own strength", rated is None, factor.of(strong.strength.factor), part)

    def rated(self, assembly: Assembly, shortest: int, longest: int, factor: DesignFactor) -> Fraction | None:
        """The rated load (N) of an assembly at every length of a range; None is unrated, never infinite."""
        return lowest(self.links(assembly, shortest, longest, factor))

    def _charted(
        self, families: tuple[str, ...], body: str, extensions: int, shortest: int, longest: int, factor: DesignFactor
    ) -> tuple[Link, ...]:
        """What charts say of every strut of these families (adapters aside) on a body, with so many extensions."""
        if len(families) > 1 and not self.book.ruled("mixed_rating", "rated", families, True):
            return (Link("families " + " and ".join(families), None, "mixed families are unrated"),)
        found: list[Link] = []
        for family in families:
            if not (charts := charts_for(self.catalogue, family, body)):
                found.append(Link(f"family {family}", None, "no chart", unknown=True))
            found += [self._of_chart(chart, shortest, longest, extensions, factor) for chart in charts]
        return tuple(found)

    def _of_chart(self, chart: Chart, shortest: int, longest: int, extensions: int, factor: DesignFactor) -> Link:
        name, rows, doubts = f"chart {chart.id}", rows_of(chart), self.doubts(chart)
        if doubts:
            return Link(name, None, f"in doubt: {', '.join(doubts)}", unknown=True, ask=AGAIN)
        if chart.states == "rated load" and chart.factor is None:
            return Link(name, None, "the design factor of its loads is not stated", unknown=True)
        if (load := lowest_load(rows, shortest, longest, extensions)) is None:
            blank = longest <= rows[-1].limit and any(len(row.loads) > extensions for row in rows)
            return Link(name, None, "no figure at this length and build", unknown=blank)
        return Link(name, rated_at_factor(load, chart.factor, factor), at=factor.of(chart.factor))

    def doubts(self, chart: Chart) -> tuple[str, ...]:
        """The rules in force that call a chart in doubt; while any does, nothing rests on it."""
        if (key := (chart.family, chart.id)) not in self._doubts:
            self._doubts[key] = tuple(dict.fromkeys(rule for rule, _ in doubted(chart, self.catalogue, self.book)))
        return self._doubts[key]


def charts_for(catalogue: Catalogue, family: str, body: str) -> list[Chart]:
    """The charts of a family that speak for a body."""
    charts = catalogue.family[family].charts if family in catalogue.family else ()
    return [chart for chart in charts if not chart.bodies or body in chart.bodies]


def lowest(links: tuple[Link, ...]) -> Fraction | None:
    """The lowest of some links; None where any of them is unrated, or there is none."""
    loads = [link.rated for link in links]
    return None if None in loads else min((load for load in loads if load is not None), default=None)


def of_strength(strength: Strength, factor: DesignFactor) -> Fraction | None:
    """What a part's own strength is rated for (N) at a design factor; None is unrated."""
    if strength.failure_load is None and strength.factor is None:
        return None
    return rated_at_factor(strength.failure_load or strength.rated_load or 0, strength.factor, factor)
