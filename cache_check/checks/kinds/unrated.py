"""Struts that no chart speaks for: families without a chart, lengths without a row."""

from __future__ import annotations

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings, LoadFacts, spans_by_build
from cache_check.joining.seats import merged
from cache_check.loads.capacity import charts_for, rows_of
from cache_check.loads.chart import unrated_spans
from cache_check.model.assembly import Span
from cache_check.model.family import Chart
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule


def check(facts: Facts, rule: Rule) -> Findings:
    """A finding for each usable body without a chart, and for each chart with the lengths it does not rate."""
    catalogue = facts.muster.cache.catalogue
    charts = {body: charts_for(catalogue, catalogue.by_id[body].family, body) for body in facts.usable_bodies()}
    for body, found in charts.items():
        if not found:
            number = facts.muster.usable.counts[body]
            yield facts.finding(
                rule, what=f"{facts.pieces(body, number)}: no chart, so unrated at every length",
                effect="no strut on this body is counted as rated", figures=(("bodies_count", number),), part=body,
            )  # fmt: skip
    spans = spans_by_build(facts)
    for chart in {chart.id: chart for found in charts.values() for chart in found}.values():
        bodies = [body for body, found in charts.items() if chart in found]
        beyond = _beyond(chart, {build: lengths for build, lengths in spans.items() if build[0] in bodies})
        if beyond:
            yield _no_row(facts, rule, chart, beyond)


def _beyond(chart: Chart, spans: dict[tuple[str, int], tuple[Span, ...]]) -> dict[int, tuple[Span, ...]]:
    """By number of extensions, the lengths that can be built and have no figure in a chart."""
    rows = rows_of(chart)
    found: dict[int, list[Span]] = {}
    for (_, extensions), lengths in spans.items():
        for low, high in lengths:
            found.setdefault(extensions, []).extend(
                (int(over), int(up_to)) for over, up_to in unrated_spans(rows, extensions, low, high)
            )
    return {extensions: merged(unrated) for extensions, unrated in sorted(found.items()) if unrated}


def _no_row(facts: Facts, rule: Rule, chart: Chart, beyond: dict[int, tuple[Span, ...]]) -> Finding:
    lengths = [
        f"{say.several(extensions, 'extension')}: "
        + ", ".join(f"{facts.length(a, 'down')} to {facts.length(b, 'up')}" for a, b in spans)
        for extensions, spans in beyond.items()
    ]
    longest = max(high for spans in beyond.values() for _, high in spans)
    return facts.finding(
        rule, what=f"chart {chart.id} has no figure for lengths that can be built ({'; '.join(lengths)})",
        effect="struts at these lengths are unrated and not counted as rated", figures=(("longest_nm", longest),),
    )  # fmt: skip


def load(facts: LoadFacts, rule: Rule) -> Findings:
    """One finding when assemblies that reach the length needed have no figure there."""
    found = facts.result.carriers
    unrated = [one for one in found if one.rated is None]
    if unrated:
        why = dict.fromkeys(
            link.why for one in unrated for link in one.links if link.of == "chart" and link.loaded and not link.rated
        )
        length = facts.length(facts.result.geometry.length, "up")
        yield facts.finding(
            rule,
            what=f"{len(unrated)} of {say.several(len(found), 'assembly', 'assemblies')} that reach {length} "
            f"{say.verb(len(unrated), 'is', 'are')} unrated there: {say.listed(why)}",
            effect="they are not counted as rated; blank is not infinite", figures=(("unrated_count", len(unrated)),),
        )  # fmt: skip
