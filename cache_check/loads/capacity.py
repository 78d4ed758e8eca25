"""What one assembly is rated for at a length and a design factor, and which link governs.

The chart of the body's family speaks for a complete strut of that family's own parts; a part that states its
own strength caps it.  No chart, no row at or above the length, a blank cell, a factor that is not stated, or
families mixed: unrated.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from cache_check.loads.chart import Row, rated_load
from cache_check.loads.rating import rated_at_factor, rated_from_ultimate
from cache_check.model.assembly import Assembly
from cache_check.model.family import Catalogue, Chart
from cache_check.model.part import Strength
from cache_check.model.rule import RuleBook


@dataclass(frozen=True)
class Link:
    """One link of the chain that carries the load: its name, and what it is rated for (N), None if unrated."""

    name: str
    rated: Fraction | None
    why: str = ""


def links(assembly: Assembly, length: int, factor: Fraction, catalogue: Catalogue, book: RuleBook) -> tuple[Link, ...]:
    """Every link of an assembly set to ``length`` (nm) at a design factor, charts first."""
    return (
        *_charted(assembly, length, factor, catalogue, book),
        *(
            Link(part.name, of_strength(part.strength, factor), "its own strength")
            for part in map(catalogue.by_id.__getitem__, dict.fromkeys((*assembly.parts, *dict(assembly.pins))))
            if part.strength is not None
        ),
    )


def governing(chain: tuple[Link, ...]) -> Link:
    """The link that governs: the first unrated one, else the lowest."""
    unrated = next((link for link in chain if link.rated is None), None)
    return unrated or min(chain, key=lambda link: link.rated or 0)


def rated_for(
    assembly: Assembly, length: int, factor: Fraction, catalogue: Catalogue, book: RuleBook
) -> Fraction | None:
    """The rated load (N) of an assembly at a length (nm) and a design factor; None is unrated, never infinite."""
    return governing(links(assembly, length, factor, catalogue, book)).rated


def _charted(assembly: Assembly, length: int, factor: Fraction, catalogue: Catalogue, book: RuleBook) -> Iterator[Link]:
    parts = [catalogue.by_id[part] for part in assembly.parts]
    families = tuple(dict.fromkeys(part.family for part in parts if part.kind != "adapter"))
    return charted(families, assembly.body, assembly.extensions, length, factor, catalogue, book)


def charted(
    families: tuple[str, ...],
    body: str,
    extensions: int,
    length: int,
    factor: Fraction,
    catalogue: Catalogue,
    book: RuleBook,
) -> Iterator[Link]:
    """What charts say of every strut of these families (adapters aside) on a body, with so many extensions."""
    if len(families) > 1 and not _mixed_rated(list(families), book):
        yield Link("families " + " and ".join(families), None, "mixed families are unrated")
        return
    for family in families:
        charts = _charts(family, body, catalogue)
        if not charts:
            yield Link(f"family {family}", None, "no chart")
        for chart in charts:
            rated = _of_chart(chart, length, extensions, factor)
            yield Link(f"chart {chart.id}", rated, "" if rated is not None else "no figure at this length and build")


def _mixed_rated(families: list[str], book: RuleBook) -> bool:
    return bool(book.ruled("mixed_rating", "rated", families, True))


def _charts(family: str, body: str, catalogue: Catalogue) -> list[Chart]:
    record = catalogue.family.get(family)
    return [chart for chart in (record.charts if record else ()) if not chart.bodies or body in chart.bodies]


def _of_chart(chart: Chart, length: int, extensions: int, factor: Fraction) -> Fraction | None:
    rows = [Row(row.length, row.loads) for row in chart.rows]
    load = rated_load(rows, length, extensions)
    if load is None:
        return None
    if chart.states == "failure load":
        return rated_from_ultimate(load, factor)
    return rated_at_factor(load, chart.factor, factor)


def of_strength(strength: Strength, factor: Fraction) -> Fraction | None:
    """What a part's own strength is rated for (N) at a design factor; None is unrated."""
    if strength.failure_load is not None:
        return rated_from_ultimate(strength.failure_load, factor)
    return rated_at_factor(strength.rated_load, strength.factor, factor)
