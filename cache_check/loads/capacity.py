"""What one assembly is rated for over a length or range and a design factor, and which link governs.

The chart of the body's family speaks for a complete strut of that family's own parts; a part that states its
own strength caps it.  No chart, a chart in doubt, no row at or above a length, a blank cell, a factor that is
not stated, or families mixed: unrated.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from cache_check.frozen import dataclass
from cache_check.loads.chart import lowest_load
from cache_check.loads.doubt import doubted, rows_of
from cache_check.loads.rating import DesignFactor, rated_at_factor, rated_from_ultimate
from cache_check.model.assembly import Assembly
from cache_check.model.family import Catalogue, Chart
from cache_check.model.part import Strength
from cache_check.model.rule import RuleBook

RATING = frozenset({"mixed_rating"})
"""Kinds of rule that say here which assemblies are rated."""


@dataclass(frozen=True)
class Link:
    """One link of the chain that carries the load: its name, and what it is rated for (N), None if unrated.

    ``at`` is the design factor of what it is rated for: the one asked, or a higher one that its maker marked it at.
    ``part`` is the part whose own strength it is.
    ``unknown`` says that some figure is missing or in doubt, so that who has it could tell; past the last row, and
    where families are mixed, there is none to be had.
    """

    name: str
    rated: Fraction | None
    why: str = ""
    unknown: bool = False
    at: Fraction | None = None
    part: str = ""


class Capacity:
    """What assemblies of a catalogue are rated for under the rules in force.

    Every verb and page asks here, so that what is in doubt is in doubt for all of them.
    """

    def __init__(self, catalogue: Catalogue, book: RuleBook) -> None:
        self.catalogue = catalogue
        self.book = book
        self._doubts: dict[tuple[str, str], tuple[str, ...]] = {}
        self.charted = cache(self._charted)  # struts of one body by the thousand ask alike
        self._own_strength = cache(self._strength)

    def links(self, assembly: Assembly, shortest: int, longest: int, factor: DesignFactor) -> tuple[Link, ...]:
        """Every link of an assembly set anywhere from ``shortest`` to ``longest`` (nm), charts first."""
        parts = [self.catalogue.by_id[part] for part in assembly.parts]
        families = tuple(dict.fromkeys(part.family for part in parts if part.kind != "adapter"))
        return (
            *self.charted(families, assembly.body, assembly.extensions, shortest, longest, factor),
            *(
                self._own_strength(part, factor)
                for part in dict.fromkeys((*assembly.parts, *dict(assembly.pins)))
                if self.catalogue.by_id[part].strength is not None
            ),
        )

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
            charts = charts_for(self.catalogue, family, body)
            if not charts:
                found.append(Link(f"family {family}", None, "no chart", unknown=True))
            found += [self._of_chart(chart, shortest, longest, extensions, factor) for chart in charts]
        return tuple(found)

    def _of_chart(self, chart: Chart, shortest: int, longest: int, extensions: int, factor: DesignFactor) -> Link:
        name, rows, doubts = f"chart {chart.id}", rows_of(chart), self.doubts(chart)
        if doubts:
            return Link(name, None, f"in doubt: {', '.join(doubts)}", unknown=True)
        if chart.states == "rated load" and chart.factor is None:
            return Link(name, None, "the design factor of its loads is not stated", unknown=True)
        load = lowest_load(rows, shortest, longest, extensions)
        if load is None:
            blank = longest <= rows[-1].limit and any(len(row.loads) > extensions for row in rows)
            return Link(name, None, "no figure at this length and build", unknown=blank)
        return Link(name, _at(load, chart.factor, factor), at=factor.of(chart.factor))

    def doubts(self, chart: Chart) -> tuple[str, ...]:
        """The rules in force that call a chart in doubt; while any does, nothing rests on it."""
        key = (chart.family, chart.id)
        if key not in self._doubts:
            self._doubts[key] = tuple(dict.fromkeys(rule for rule, _ in doubted(chart, self.catalogue, self.book)))
        return self._doubts[key]


def charts_for(catalogue: Catalogue, family: str, body: str) -> list[Chart]:
    """The charts of a family that speak for a body."""
    record = catalogue.family.get(family)
    return [chart for chart in (record.charts if record else ()) if not chart.bodies or body in chart.bodies]


def lowest(links: tuple[Link, ...]) -> Fraction | None:
    """The lowest of some links; None where any of them is unrated, or there is none."""
    loads = [link.rated for link in links]
    return None if None in loads else min((load for load in loads if load is not None), default=None)


def of_strength(strength: Strength, factor: DesignFactor) -> Fraction | None:
    """What a part's own strength is rated for (N) at a design factor; None is unrated."""
    if strength.failure_load is None and strength.factor is None:
        return None
    return _at(strength.failure_load or strength.rated_load or 0, strength.factor, factor)


def _at(load: Fraction | int, stated: Fraction | None, factor: DesignFactor) -> Fraction:
    """A failure load (``stated`` None), or one rated at a stated factor, at a design factor."""
    return rated_from_ultimate(load, factor.k) if stated is None else rated_at_factor(load, stated, factor)
