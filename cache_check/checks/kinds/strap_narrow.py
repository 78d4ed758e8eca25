"""The straps spread enough to hold the base sideways."""

from __future__ import annotations

from cache_check.checks import say
from cache_check.checks.facts import Findings, LoadFacts
from cache_check.model.rule import Rule


def load(facts: LoadFacts, rule: Rule) -> Findings:
    """One finding when a strap runs nearly along the strut's line."""
    least = facts.value(rule, "min")
    narrow = [line.plan_angle_deg for line in facts.result.lines if abs(line.plan_angle_deg) < least]
    if narrow:
        yield facts.finding(
            rule,
            what=f"{say.several(len(narrow), 'strap')} {say.verb(len(narrow), 'runs', 'run')} "
            f"{float(min(map(abs, narrow))):.4g} deg from the strut's line, under {float(least):g} deg",
            effect="they hold the thrust, and little stops the base from going sideways",
        )  # fmt: skip
