"""Labels that cannot be read, and labels that nobody looked at where that counts."""

from __future__ import annotations

from collections.abc import Iterator

from cache_check.checks.builds import out_of_use
from cache_check.checks.facts import Facts
from cache_check.checks.inspection import left, of_piece
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule

LOOKED_AT = "label"


def check(facts: Facts, rule: Rule) -> Iterator[Finding]:
    """A finding for each piece whose label takes it out of use, and is not out for another reason."""
    for line in facts.muster.cache.stock:
        for item in line.items:
            why = out_of_use(facts, item)
            if item.label == "unreadable" or why == "label not looked at":
                says = "label unreadable" if item.label == "unreadable" else why
                yield of_piece(
                    facts, rule, item, item.where or line.where, says, f"not usable; {left(facts, item.part)}"
                )
