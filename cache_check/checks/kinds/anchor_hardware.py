"""Every strap or chain has the binders, hooks and shackles that it takes into use."""

from __future__ import annotations

from cache_check.checks import say
from cache_check.checks.facts import Facts, Lacks
from cache_check.model.part import Tie
from cache_check.model.rule import Rule


def gaps(facts: Facts, rule: Rule) -> Lacks:
    """One gap for each piece of hardware that some usable strap or chain needs."""
    counts = facts.muster.usable.counts
    for hardware, users in _users(facts).items():
        want = sum(counts[tie] * each for tie, each in users)
        have = counts.get(hardware, 0)
        ties = say.listed(facts.pieces(tie, counts[tie]) for tie, _ in users)
        each = say.listed((say.word(n) for n in sorted({n for _, n in users})), "or")
        needs = f"{ties} need {facts.pieces(hardware, want)} at {each} each"
        gap = say.gap(rule, hardware, have, want, facts.bound_by([hardware]), needs)
        idle = -(-gap.short // max(n for _, n in users))
        yield gap, f"at least {say.several(idle, 'strap or chain', 'straps or chains')} cannot be put to use"


def _users(facts: Facts) -> dict[str, list[tuple[str, int]]]:
    """For each piece of hardware, the usable straps and chains that need it and how many each."""
    found: dict[str, list[tuple[str, int]]] = {}
    for part in facts.muster.cache.catalogue.parts:
        if isinstance(part, Tie) and facts.muster.usable.counts[part.id]:
            for hardware, each in part.hardware.items():
                if each:
                    found.setdefault(hardware, []).append((part.id, each))
    return found
