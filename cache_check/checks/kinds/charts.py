"""What charts and figures rest on, whether they make sense, and what no chart speaks for."""

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings, Inspection, LoadFacts, Mustered, spans_by_build
from cache_check.loads.capacity import charts_for, doubted, rows_of
from cache_check.loads.chart import Flaw, unrated_spans
from cache_check.model.assembly import Span, merged
from cache_check.model.family import Chart
from cache_check.model.rule import Rule


def check_chart_basis(facts: Facts, rule: Rule) -> Findings:
    """A finding for each chart of the families on the rig that leaves something unsaid."""
    for chart in facts.muster.charts_on_book():
        blank = {"edition": not chart.edition.strip(), "date": chart.dated is None}
        blank["design factor"] = chart.states == "rated load" and chart.factor is None
        effect = "nobody can tell whether it is the maker's current sheet"
        if blank["design factor"]:
            effect = "its loads cannot be brought to any design factor, so nothing rests on it: unrated"
        of = f"chart {chart.id} of family {chart.family}"
        if unsaid := [what for what, missing in blank.items() if missing]:
            yield facts.finding(rule, f"{of}: {say.listed(unsaid)} not stated", effect)
        if chart.dated is not None and chart.dated > facts.muster.on:
            yield facts.finding(rule, f"{of}: dated {chart.dated.isoformat()}, which is to come", effect)


def check_chart_sane(facts: Mustered, rule: Rule) -> Findings:
    """A finding for each cell or row that calls a chart in doubt: loads only fall with length and with extensions."""
    effect = "the whole chart is in doubt, so nothing rests on it: unrated until it is put right"
    for chart in facts.muster.charts_on_book():
        for by, flaw in doubted(chart, facts.muster.cache.catalogue, facts.muster.book):
            if by == rule.id:
                what = f"chart {chart.id}: {_says(facts, chart, flaw)}"
                yield facts.finding(rule, what, effect, figures=(("row_nm", chart.rows[flaw.row].length),))


load_chart_sane = check_chart_likely = load_chart_likely = check_chart_sane


def _says(facts: Mustered, chart: Chart, flaw: Flaw) -> str:
    if flaw.kind == "design factor larger than any likely one" and chart.factor is not None:
        return f"rated at {say.ratio(chart.factor)}, a {flaw.kind}"
    row = f"row {facts.length(chart.rows[flaw.row].length, 'nearest')}"
    if flaw.extensions is None:
        return f"{row}: {flaw.kind}"
    load = chart.rows[flaw.row].loads[flaw.extensions]
    shown = "blank" if load is None else facts.force(load, "nearest")
    sides = (("at least", flaw.least), ("at most", flaw.most))
    bounds = [f"{side} {facts.force(bound, 'nearest')} expected" for side, bound in sides if bound is not None]
    return ", ".join([f"{row} with {say.several(flaw.extensions, 'extension')}: {shown} {flaw.kind}", *bounds])


def audit_edition_matches(inspection: Inspection, rule: Rule) -> Findings:
    """A finding for each label that names another edition than the chart, and each chart younger than the book."""
    catalogue = inspection.book.catalogue
    for line in inspection.count.lines if inspection.count else ():
        charts = charts_for(catalogue, catalogue.by_id[line.part].family, line.part)
        editions = {chart.edition.strip().casefold() for chart in charts}
        if line.edition.strip() and line.edition.strip().casefold() not in editions:
            have = say.listed((chart.edition or "no edition" for chart in charts), last="or")
            piece = f"{inspection.name(line.part)} {line.serial}".rstrip()
            what = f"{piece}: the label names {line.edition!r}, the chart in the book {have}"
            effect = "what it is rated for is unsure until they agree"
            yield inspection.finding(rule, what, effect, part=line.part, where=line.where)
    counted, effect = inspection.book.book_date, "the parts were counted before anybody knew this chart"
    for chart in (chart for family in catalogue.families for chart in family.charts):
        if chart.dated is not None and counted is not None and chart.dated > counted:
            what = f"chart {chart.id} of {chart.dated.isoformat()} is younger than the book of {counted.isoformat()}"
            yield inspection.finding(rule, what, effect, rig=inspection.book.id)


def check_unrated(facts: Facts, rule: Rule) -> Findings:
    """A finding for each usable body without a chart, and for each chart with the lengths it does not rate."""
    catalogue = facts.muster.cache.catalogue
    charts = {body: charts_for(catalogue, catalogue.by_id[body].family, body) for body in facts.usable_bodies()}
    effect = "no strut on this body is counted as rated"
    for body, number in ((body, facts.muster.usable.counts[body]) for body, found in charts.items() if not found):
        what = f"{facts.pieces(body, number)}: no chart, so unrated at every length"
        yield facts.finding(rule, what, effect, figures=(("bodies_count", number),), part=body)
    spans = spans_by_build(facts)
    for chart in {chart.id: chart for found in charts.values() for chart in found}.values():
        bodies = [body for body, found in charts.items() if chart in found]
        if beyond := _beyond(chart, {build: lengths for build, lengths in spans.items() if build[0] in bodies}):
            lengths = []
            for extensions, unrated in beyond.items():
                said = ", ".join(f"{facts.length(low, 'down')} to {facts.length(high, 'up')}" for low, high in unrated)
                lengths.append(f"{say.several(extensions, 'extension')}: {said}")
            what = f"chart {chart.id} has no figure for lengths that can be built ({'; '.join(lengths)})"
            figures = (("longest_nm", max(high for unrated in beyond.values() for _, high in unrated)),)
            effect = "struts at these lengths are unrated and not counted as rated"
            yield facts.finding(rule, what, effect, figures=figures)


def _beyond(chart: Chart, spans: dict[tuple[str, int], tuple[Span, ...]]) -> dict[int, tuple[Span, ...]]:
    """By number of extensions, the lengths that can be built and have no figure in a chart."""
    rows, found = rows_of(chart), dict[int, list[Span]]()
    for (_, extensions), lengths in spans.items():
        unrated = (span for low, high in lengths for span in unrated_spans(rows, extensions, low, high))
        found.setdefault(extensions, []).extend((int(over), int(up_to)) for over, up_to in unrated)
    return {extensions: merged(unrated) for extensions, unrated in sorted(found.items()) if unrated}


def load_unrated(facts: LoadFacts, rule: Rule) -> Findings:
    """One finding when assemblies that reach the length needed have no figure there."""
    found = facts.result.carriers
    if unrated := [one for one in found if one.rated is None]:
        links = (link for one in unrated for link in one.links if link.of == "chart" and link.loaded)
        why = say.listed(dict.fromkeys(link.why for link in links if not link.rated))
        reach = f"that reach {facts.length(facts.result.geometry.length, 'up')}"
        some = f"{len(unrated)} of {say.several(len(found), 'assembly', 'assemblies')} {reach}"
        what = f"{some} {say.verb(len(unrated), 'is', 'are')} unrated there: {why}"
        effect = "they are not counted as rated; blank is not infinite"
        yield facts.finding(rule, what, effect, figures=(("unrated_count", len(unrated)),))


def check_mixed_rating(facts: Facts, rule: Rule) -> Findings:
    """A finding for each mix of families that the usable parts can build and the rule leaves unrated."""
    book = facts.muster.book
    mixes = {block.shape.families for block in facts.muster.joined.blocks if len(block.shape.families) > 1}
    effect = "they count as assembled at once and restrained, never as rated"
    for families in sorted(sorted(mix) for mix in mixes):
        if book.is_on(rule.id, families) and not book.value(rule.id, "rated", families):
            what = f"builds that mix families {say.listed(families)} can be made; they are unrated"
            yield facts.finding(rule, what, effect)


def check_figure_likely(facts: Mustered, rule: Rule) -> Findings:
    """A finding for each unlikely figure of a part type on the book, or of the situation, that is not answered for."""
    effect = "it is taken as not known, and nothing rests on it until it is put right or answered for"
    for one in (each for each in facts.muster.unlikely if not each.word):
        part, units = one.part if one.part in facts.muster.cache.catalogue.by_id else "", facts.muster.cache.units
        value, least, most = (one.shown(figure, units) for figure in (one.value, one.least, one.most))
        what = f"{facts.name(one.part)}: {one.figure} {value} is not likely, {least} to {most} would be"
        place = "" if part else "look at the place again and correct it; where it is so, say sure: true and why"
        yield facts.finding(rule, what, effect, part=part, remedy=place)


load_figure_likely = check_figure_likely
