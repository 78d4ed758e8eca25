"""Findings, gravest first, gaps in figures, and parts."""

from __future__ import annotations

from collections.abc import Iterable

from cache_check import units
from cache_check.model.finding import Figure, Finding
from cache_check.model.result import Gap, PartLine
from cache_check.model.rule import SEVERITIES, Severity
from cache_check.report.page import Paragraph, Points, Section, Table, words
from cache_check.report.say import UNKNOWN, Say
from cache_check.units import Dimension, Rounding

MEANS: dict[Severity, str] = {
    "stop": "do not build or use",
    "short": "a need is not met",
    "watch": "look at it",
    "note": "good to know",
}
_SUFFIX: dict[str, Dimension] = {"_nm": "length", "_n": "force", "_kg": "mass", "_deg": "angle"}


def gaps(all_gaps: Iterable[Gap], say: Say) -> Section:
    """What there is too little of, in figures; also what there is enough of."""
    rows = tuple(
        (
            say.name(one.what),
            str(one.have),
            str(one.want),
            f"SHORT {one.short}" if one.short else "binds" if one.binds else "enough",
            one.says,
            one.rule,
        )
        for one in all_gaps
    )
    if not rows:
        return Section("Gaps", (Paragraph("No rule in force counts what goes with a strut."),))
    return Section("Gaps", (Table(words("what|#have|#want|short|in words|rule"), rows),))


def findings(found: Iterable[Finding], say: Say) -> Section:
    """Each finding with rule, place, figures, effect and remedy."""
    ordered = sorted(found, key=lambda one: one.order)
    if not ordered:
        return Section("Findings", (Paragraph("None."),), data((), say))
    return Section("Findings", tuple(one(finding, say) for finding in ordered), data(ordered, say))


def data(found: Iterable[Finding], say: Say) -> Table:
    """A row for each finding."""
    rows = tuple(
        (one.severity, one.rule, one.rig, say.name(one.part) if one.part else "", one.serial, one.where, one.what,
         one.remedy)
        for one in found
    )  # fmt: skip
    return Table(words("severity|rule|rig|part|serial|place|what|do"), rows)


def by_severity(found: Iterable[Finding]) -> str:
    """How many findings of each severity."""
    found = list(found)
    counts = ((sum(one.severity == severity for one in found), severity) for severity in SEVERITIES)
    return ", ".join(f"{count} {severity}" for count, severity in counts)


def one(finding: Finding, say: Say) -> Points:
    """A finding with its place, figures, effect, remedy and source."""
    place = ", ".join(
        text for text in (finding.rig, say.name(finding.part) if finding.part else "", finding.where) if text
    )
    lead = f"{finding.severity.upper()} ({MEANS[finding.severity]}) {finding.rule} {finding.title}; {place}"
    items = [finding.what]
    if finding.figures:
        items.append("figures: " + ", ".join(figure(name, value, say) for name, value in finding.figures))
    items += [f"effect: {finding.effect}", f"do: {finding.remedy}", f"source: {finding.source}"]
    return Points(lead, tuple(items))


def figure(name: str, value: Figure, say: Say) -> str:
    """A figure in words: its name without the unit, its value in the page's."""
    for suffix, dimension in _SUFFIX.items():
        if name.endswith(suffix) and not isinstance(value, str):
            text = units.show(value, dimension, say.system, _safe(name, dimension))
            return f"{name.removesuffix(suffix).replace('_', ' ')} {text}"
    return f"{name.removesuffix('_count').replace('_', ' ')} {value}"


def _safe(name: str, dimension: Dimension) -> Rounding:
    """The safe way to round a figure: an asked load and a weight up, any other force down, lengths to the nearest."""
    if dimension == "force":
        return "up" if name.startswith(("load", "asked", "want")) else "down"
    return "up" if dimension == "mass" else "nearest"


def parts(lines: Iterable[PartLine]) -> Section:
    """Every part type: on the book, usable, and why the rest is not."""
    rows = tuple(
        (
            one.title or one.part.rpartition("/")[2],
            one.part,
            one.kind,
            UNKNOWN if one.on_book is None else str(one.on_book),
            str(one.usable),
            ", ".join(f"{count} {why}" for why, count in one.out) or "none",
        )
        for one in lines
    )
    if not rows:
        return Section("Parts", (Paragraph("No part is on the book."),))
    return Section("Parts", (Table(words("part|id|kind|#on the book|#usable|not usable, and why"), rows),))
