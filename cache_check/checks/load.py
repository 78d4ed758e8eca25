"""Runs every kind that has something to say of a situation over its answer."""

from __future__ import annotations

from dataclasses import dataclass

from cache_check.checks.run import kind
from cache_check.model.finding import Finding
from cache_check.model.load import Carrier, LoadResult
from cache_check.planning.packing.muster import Muster


@dataclass(frozen=True)
class LoadFacts:
    """The facts of one situation: the muster, and the answer so far.

    A kind that has something to say of a situation has ``load(facts, rule) -> Iterator[Finding]``.
    """

    muster: Muster
    result: LoadResult

    @property
    def best(self) -> Carrier | None:
        """The best assembly at this length, whether or not it carries."""
        return next(iter(self.result.carriers), None)


def findings(muster: Muster, result: LoadResult) -> tuple[Finding, ...]:
    """Every finding of the rules in force, gravest first."""
    facts = LoadFacts(muster, result)
    found = []
    for rule in muster.book.rules:
        module = kind(rule.kind)
        if module is not None and hasattr(module, "load") and muster.book.is_on(rule.id):
            found += list(module.load(facts, rule))
    return tuple(sorted(found, key=lambda finding: finding.order))
