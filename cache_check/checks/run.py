"""Runs every kind that has something to find or to count: of a cache, of a situation, of an audit."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cache
from itertools import chain
from typing import Any

from cache_check.checks import pieces
from cache_check.checks.facts import Facts, Findings, Inspection, LoadFacts, Mustered
from cache_check.joining.kind import files_of, is_about_pieces
from cache_check.model.finding import Finding
from cache_check.model.result import Gap
from cache_check.model.rule import Rule, Severity
from cache_check.model.verdict import LinkCheck


@cache
def _written() -> dict[str, Any]:
    """What stands in ``kinds/``, by name.

    A kind has some of ``check_<kind>(facts, rule) -> Findings``, ``gaps_<kind>(facts, rule) -> Lacks``, ``load_<kind>``
    of ``LoadFacts`` and ``audit_<kind>`` of an ``Inspection``.
    """
    return {name: one for file in files_of("checks") for name, one in vars(file).items()}


def findings(facts: Facts) -> tuple[Finding, ...]:
    """Every finding of the rules in force, each gap in which something is short among them, gravest first."""
    short = (facts.short_finding(*lack) for lack in _lacks(facts) if lack[1].short and lack[2])
    return _told(facts, "check", short)


def load_findings(facts: LoadFacts) -> tuple[Finding, ...]:
    """The same of a situation: each link that does not hold or is not known, and what the rules in force add."""
    return _told(facts, "load", _of_links(facts))


def audit_findings(inspection: Inspection) -> tuple[Finding, ...]:
    """The same of what only an audit looks for."""
    return _told(inspection, "audit")


def gaps(facts: Facts) -> tuple[Gap, ...]:
    """What there is too little of, in the order of the rules."""
    return tuple(gap for _, gap, _ in _lacks(facts))


def _lacks(facts: Facts) -> Iterator[tuple[Rule, Gap, str]]:
    for rule, gaps_of in _active(facts, "gaps"):
        yield from ((rule, *lack) for lack in gaps_of(facts, rule))


def _told(facts: Mustered, verb: str, found: Iterable[Finding] = ()) -> tuple[Finding, ...]:
    more = (one for rule, look in _active(facts, verb) for one in look(facts, rule))
    return tuple(sorted(chain(found, more), key=lambda finding: finding.order))


def _active(facts: Mustered, verb: str) -> Iterator[tuple[Rule, Any]]:
    book = facts.muster.book
    for rule in book.rules:
        of_pieces = pieces.check if verb == "check" and is_about_pieces(rule.kind) else None
        function = _written().get(f"{verb}_{rule.kind}", of_pieces)
        if function is not None and book.is_on(rule.id):
            yield rule, function


def _of_links(facts: LoadFacts) -> Findings:
    """One finding for each broken link of the verdict, under the rule that it rests on; unknown is never graver."""
    for link in facts.result.links:
        if link.state == "holds":
            continue
        says = "does not hold" if link.state == "does not hold" else "is not known"
        figures = f" ({_figures(facts, link)})" if link.loaded and link.rated is not None else ""
        for rule in facts.muster.book.in_force(link.kind)[:1]:
            one = facts.finding(
                rule, what=f"{link.named()} {says}" + (f": {link.why}" if link.why else "") + figures,
                effect="not met" if link.state == "does not hold" else "not known, so not met",
            )  # fmt: skip
            grave: Severity = "short" if one.severity in ("watch", "note") else one.severity
            severity: Severity = grave if link.state == "does not hold" else "watch"
            yield replace(one, severity=severity, remedy=link.ask or one.remedy)


def _figures(facts: LoadFacts, link: LinkCheck) -> str:
    takes = facts.force(link.rated or 0, "down")
    return f"rated {takes}" if link.demand is None else f"{facts.force(link.demand, 'up')} on it, rated {takes}"
