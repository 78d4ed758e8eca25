"""Charts and labels are of one edition, and the book is no older than the charts it rests on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from cache_check.checks import say
from cache_check.checks.facts import Inspection
from cache_check.model.family import Chart
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule

if TYPE_CHECKING:
    from cache_check.model.count import CountLine

LOOKED_AT = "edition"


def audit(inspection: Inspection, rule: Rule) -> Iterator[Finding]:
    """A finding for each label that names another edition than the chart, and each chart younger than the book."""
    for line in inspection.count.lines if inspection.count else ():
        charts = _charts(inspection, line)
        editions = {chart.edition.strip().casefold() for chart in charts}
        if line.edition.strip() and line.edition.strip().casefold() not in editions:
            have = say.listed((chart.edition or "no edition" for chart in charts), "or")
            piece = f"{say.name(inspection, line.part)} {line.serial}".rstrip()
            yield say.finding(
                inspection, rule,
                what=f"{piece}: the label names {line.edition!r}, the chart in the book {have}",
                effect="what it is rated for is unsure until they agree",
                part=line.part, where=line.where,
            )  # fmt: skip
    yield from _younger(inspection, rule)


def _charts(inspection: Inspection, line: CountLine) -> list[Chart]:
    """The charts that speak for a part."""
    catalogue = inspection.book.catalogue
    family = catalogue.family.get(catalogue.by_id[line.part].family)
    charts = family.charts if family else ()
    return [chart for chart in charts if not chart.bodies or line.part in chart.bodies]


def _younger(inspection: Inspection, rule: Rule) -> Iterator[Finding]:
    book = inspection.book
    for family in book.catalogue.families:
        for chart in family.charts:
            if chart.dated is not None and book.book_date is not None and chart.dated > book.book_date:
                yield say.finding(
                    inspection, rule,
                    what=f"chart {chart.id} of {chart.dated.isoformat()} is younger than the book of "
                    f"{book.book_date.isoformat()}",
                    effect="the parts were counted before anybody knew this chart",
                    rig=book.id,
                )  # fmt: skip
