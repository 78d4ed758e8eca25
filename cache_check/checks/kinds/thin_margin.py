"""The governing link has something to spare."""

from __future__ import annotations

from cache_check.checks import say
from cache_check.checks.facts import Findings, LoadFacts
from cache_check.model.rule import Rule


def load(facts: LoadFacts, rule: Rule) -> Findings:
    """One finding when the best assembly that carries has less to spare than the rule's least."""
    best, least = facts.best, facts.value(rule, "least")
    if best is None or not best.carries or best.margin is None or best.margin >= least:
        return
    thin = sum(one.carries and one.margin is not None and one.margin < least for one in facts.result.carriers)
    yield facts.finding(
        rule,
        what=f"the best assembly here has {float(best.margin):.1%} to spare, under {float(least):.0%}; "
        f"{say.listed([best.governing.link])} governs",
        effect=f"{say.several(thin, 'assembly', 'assemblies')} with so thin a margin "
        f"{say.verb(thin, 'carries', 'carry')} only if every figure is right",
    )  # fmt: skip
