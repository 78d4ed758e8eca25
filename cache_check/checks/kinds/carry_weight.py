"""A ready set is no heavier than the persons who lift it may carry."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from cache_check.checks import say
from cache_check.checks.facts import Facts, built_sets
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule


def check(facts: Facts, rule: Rule) -> Iterator[Finding]:
    """A finding for each ready set that one person may not carry, or whose weight nobody knows."""
    one = Fraction(facts.muster.book.value(rule.id, "one_person"))
    two = Fraction(facts.muster.book.value(rule.id, "two_persons"))
    for ready, assembly in built_sets(facts):
        if assembly.mass is not None and assembly.mass <= one:
            continue
        if assembly.mass is None:
            what, effect = "weighs nobody knows what", "nobody can say who may lift it"
        else:
            limits = f"one person carries {say.mass(facts, one, 'down')}, two carry {say.mass(facts, two, 'down')}"
            what = f"weighs {say.mass(facts, assembly.mass, 'up')} with its pins, without straps; {limits}"
            effect = "it takes two persons" if assembly.mass <= two else "two persons are not enough"
        yield say.finding(
            facts, rule, what=f"ready set {ready.id} {what}", effect=effect, where=ready.where, rig=ready.rig
        )
