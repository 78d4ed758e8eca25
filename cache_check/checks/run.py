"""Runs every kind that has something to find or to count over the facts of a cache."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from typing import Any

from cache_check.checks import pieces
from cache_check.checks.facts import Facts
from cache_check.joining.kind import is_about_pieces
from cache_check.model.finding import Finding
from cache_check.model.result import Gap
from cache_check.model.rule import Rule


@cache
def kind(name: str) -> Any:
    """The module of a kind in ``checks/kinds``; ``pieces`` for a rule about pieces that has none, else None.

    A module has ``check(facts, rule) -> Iterator[Finding]``, ``gaps(facts, rule) -> Iterator[Gap]`` or both.
    """
    full = f"cache_check.checks.kinds.{name}"
    if name.isidentifier() and find_spec(full):
        return import_module(full)
    return pieces if is_about_pieces(name) else None


def findings(facts: Facts) -> tuple[Finding, ...]:
    """Every finding of the rules in force, gravest first."""
    found = [finding for rule, module in _active(facts, "check") for finding in module.check(facts, rule)]
    return tuple(sorted(found, key=lambda finding: finding.order))


def gaps(facts: Facts) -> tuple[Gap, ...]:
    """What there is too little of, in the order of the rules."""
    return tuple(gap for rule, module in _active(facts, "gaps") for gap in module.gaps(facts, rule))


def _active(facts: Facts, verb: str) -> Iterator[tuple[Rule, Any]]:
    book = facts.muster.book
    for rule in book.rules:
        module = kind(rule.kind)
        if module is not None and hasattr(module, verb) and book.is_on(rule.id):
            yield rule, module
