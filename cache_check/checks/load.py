"""What is wrong in a situation: its broken links, and what kinds of rules add to them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from cache_check.checks import say
from cache_check.checks.facts import LoadFacts
from cache_check.checks.run import kind
from cache_check.model.finding import Finding
from cache_check.model.load import LoadResult
from cache_check.model.rule import Severity
from cache_check.model.verdict import LinkCheck
from cache_check.planning.packing.muster import Muster


def findings(muster: Muster, result: LoadResult) -> tuple[Finding, ...]:
    """Every finding of the rules in force, gravest first: each link that does not hold or is not known, and more."""
    facts = LoadFacts(muster, result)
    found = list(_of_links(facts))
    for rule in muster.book.rules:
        module = kind(rule.kind)
        if module is not None and hasattr(module, "load") and muster.book.is_on(rule.id):
            found += list(module.load(facts, rule))
    return tuple(sorted(found, key=lambda finding: finding.order))


def _of_links(facts: LoadFacts) -> Iterator[Finding]:
    """One finding for each broken link of the verdict, under the rule that it rests on; unknown is never graver."""
    for link in facts.result.links:
        if link.state == "holds":
            continue
        says = "does not hold" if link.state == "does not hold" else "is not known"
        figures = f" ({_figures(facts, link)})" if link.loaded and link.rated is not None else ""
        for rule in facts.muster.book.in_force(link.kind)[:1]:
            one = say.finding(
                facts, rule, what=f"{link.named()} {says}" + (f": {link.why}" if link.why else "") + figures,
                effect="not met" if link.state == "does not hold" else "not known, so not met",
            )  # fmt: skip
            grave: Severity = "short" if one.severity in ("watch", "note") else one.severity
            severity: Severity = grave if link.state == "does not hold" else "watch"
            yield replace(one, severity=severity, remedy=link.ask or one.remedy)


def _figures(facts: LoadFacts, link: LinkCheck) -> str:
    takes = say.force(facts, link.rated or 0, "down")
    return f"rated {takes}" if link.demand is None else f"{say.force(facts, link.demand, 'up')} on it, rated {takes}"
