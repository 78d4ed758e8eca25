"""A ready set is no heavier than the persons who lift it may carry."""

from __future__ import annotations

from fractions import Fraction

from cache_check.checks.facts import Facts, Findings
from cache_check.model.rule import Rule


def check(facts: Facts, rule: Rule) -> Findings:
    """A finding for each ready set that one person may not carry, or whose weight nobody knows."""
    one = Fraction(facts.value(rule, "one_person"))
    two = Fraction(facts.value(rule, "two_persons"))
    for ready, assembly in facts.built_sets():
        if assembly.mass is not None and assembly.mass <= one:
            continue
        if assembly.mass is None:
            what, effect = "weighs nobody knows what", "nobody can say who may lift it"
        else:
            limits = f"one person carries {facts.mass(one, 'down')}, two carry {facts.mass(two, 'down')}"
            what = f"weighs {facts.mass(assembly.mass, 'up')} with its pins, without straps; {limits}"
            effect = "it takes two persons" if assembly.mass <= two else "two persons are not enough"
        yield facts.finding(rule, what=f"ready set {ready.id} {what}", effect=effect, where=ready.where, rig=ready.rig)
