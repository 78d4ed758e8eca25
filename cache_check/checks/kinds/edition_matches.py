"""Charts and labels are of one edition, and the book is no older than the charts it rests on."""

from __future__ import annotations

from cache_check.checks import say
from cache_check.checks.facts import Findings, Inspection
from cache_check.loads.capacity import charts_for
from cache_check.model.rule import Rule

LOOKED_AT = "edition"


def audit(inspection: Inspection, rule: Rule) -> Findings:
    """A finding for each label that names another edition than the chart, and each chart younger than the book."""
    catalogue = inspection.book.catalogue
    for line in inspection.count.lines if inspection.count else ():
        charts = charts_for(catalogue, catalogue.by_id[line.part].family, line.part)
        editions = {chart.edition.strip().casefold() for chart in charts}
        if line.edition.strip() and line.edition.strip().casefold() not in editions:
            have = say.listed((chart.edition or "no edition" for chart in charts), "or")
            piece = f"{inspection.name(line.part)} {line.serial}".rstrip()
            yield inspection.finding(
                rule,
                what=f"{piece}: the label names {line.edition!r}, the chart in the book {have}",
                effect="what it is rated for is unsure until they agree",
                part=line.part, where=line.where,
            )  # fmt: skip
    yield from _younger(inspection, rule)


def _younger(inspection: Inspection, rule: Rule) -> Findings:
    book = inspection.book
    for chart in (chart for family in book.catalogue.families for chart in family.charts):
        if chart.dated is not None and book.book_date is not None and chart.dated > book.book_date:
            days = f"{chart.dated.isoformat()} is younger than the book of {book.book_date.isoformat()}"
            effect = "the parts were counted before anybody knew this chart"
            yield inspection.finding(rule, what=f"chart {chart.id} of {days}", effect=effect, rig=book.id)
