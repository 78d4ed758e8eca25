"""Findings, gravest first, gaps in figures, and parts."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from cache_check.model.finding import Finding
from cache_check.model.result import Gap, PartLine
from cache_check.model.rule import SEVERITIES, Severity
from cache_check.report.page import Points, Section, Table, words
from cache_check.report.say import UNKNOWN, Say

MEANS: dict[Severity, str] = {
    "stop": "do not build or use",
    "short": "a need is not met",
    "watch": "look at it",
    "note": "good to know",
}


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
        return Section("Gaps", ("No rule in force counts what goes with a strut.",))
    return Section("Gaps", (Table(words("what|#have|#want|short|in words|rule"), rows),))


def findings(found: Iterable[Finding], say: Say, beside: Callable[[Finding], str] = lambda _: "") -> Section:
    """Findings that one rule has and one thing mends together, gravest first; ``beside`` says more of one."""
    ordered = sorted(found, key=lambda one: one.order)
    if not ordered:
        return Section("Findings", ("None.",))
    alike: dict[tuple[str, str, str], list[Finding]] = {}
    for one in ordered:
        alike.setdefault((one.severity, one.rule, one.remedy), []).append(one)
    rigs = len({one.rig for one in ordered}) > 1
    groups = (_alike(together, rigs, beside) for together in alike.values())
    means = "; ".join(f"{one.upper()}: {MEANS[one]}" for one in MEANS if any(one == each.severity for each in ordered))
    told = f"{means}. `cache-check rules ID` says why a rule is there; figures are in --format json."
    return Section("Findings", (told, *groups))


def _alike(together: Sequence[Finding], rigs: bool, beside: Callable[[Finding], str]) -> Points:
    """Findings alike: one in a line with what to do, more of them under it; an effect that all have is said once."""
    first, effects = together[0], {one.effect for one in together}
    lead = f"{first.severity.upper()} {first.rule} {first.title}"
    shared = len(together) > 1 and len(effects) == 1
    said = [
        f"{f'{one.rig}: ' * rigs}{one.what}{f' ({one.where})' * bool(one.where)}"
        + f"; {one.effect}" * (not shared)
        + beside(one)
        for one in together
    ]
    if len(together) > 1:
        return Points(f"{lead}: {first.remedy}" + f" (each: {first.effect})" * shared, tuple(said))
    return Points(f"{lead}: {said[0]}. Do: {first.remedy}")


def by_severity(found: Iterable[Finding]) -> str:
    """How many findings of each severity."""
    found = list(found)
    counts = ((sum(one.severity == severity for one in found), severity) for severity in SEVERITIES)
    return ", ".join(f"{count} {severity}" for count, severity in counts)


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
        return Section("Parts", ("No part is on the book.",))
    return Section("Parts", (Table(words("part|id|kind|#on the book|#usable|not usable, and why"), rows),))
