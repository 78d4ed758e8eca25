"""Pre-tension alone does not move the vehicle."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from cache_check.checks import say
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule

if TYPE_CHECKING:
    from cache_check.checks.load import LoadFacts


def load(facts: LoadFacts, rule: Rule) -> Iterator[Finding]:
    """One finding when it lifts more than the rule's share of what rests on the strut."""
    push, most = facts.result.push, facts.muster.book.value(rule.id, "share")
    if push is None or push.share is None or push.share <= most:
        return
    moves = "the vehicle moves before the strut carries anything" if push.share >= 1 else "the vehicle may shift"
    yield say.finding(
        facts, rule,
        what=f"pre-tension alone lifts the vehicle with {say.force(facts, push.lift, 'up')} at each strut, "
        f"{float(push.share):.0%} of that strut's share; {float(most):.0%} is allowed",
        effect=moves,
    )  # fmt: skip
