"""Straps, chains and hardware in a condition that is not ruled fine."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from cache_check.checks.builds import out_of_use
from cache_check.checks.facts import Facts
from cache_check.checks.inspection import left, of_piece
from cache_check.files.removal import removal
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule

LOOKED_AT = "condition"


def check(facts: Facts, rule: Rule) -> Iterator[Finding]:
    """A finding for each piece that its condition takes out of use, with the criteria that its words name."""
    for line in facts.muster.cache.stock:
        for item in line.items:
            if out_of_use(facts, item) != "condition":
                continue
            kind = facts.muster.cache.catalogue.by_id[item.part].kind
            named = removal().named(kind, item.condition)
            says = "; ".join(f"{one.says} ({one.limit})" for one in named) or "no published criterion of these words"
            found = of_piece(
                facts, rule, item, item.where or line.where, f"{item.condition}: {says}",
                f"not usable; {left(facts, item.part)}",
            )  # fmt: skip
            sources = dict.fromkeys(one.source for one in named)
            yield replace(found, source=", ".join(sources)) if sources else found
