"""Chains with a link worn below the published least size."""

from __future__ import annotations

from collections.abc import Iterator

from cache_check.checks import say
from cache_check.checks.builds import out_of_use
from cache_check.checks.facts import Facts
from cache_check.checks.inspection import left, of_piece
from cache_check.files.removal import removal
from cache_check.model.cache import Item
from cache_check.model.finding import Finding
from cache_check.model.part import Chain
from cache_check.model.rule import Rule

LOOKED_AT = "measured"


def check(facts: Facts, rule: Rule) -> Iterator[Finding]:
    """A finding for each chain that was measured too thin, or that no limit judges."""
    for line in facts.muster.cache.stock:
        for item in line.items:
            if out_of_use(facts, item) in ("worn", "wear has no limit to be judged by"):
                yield _worn(facts, rule, item, item.where or line.where)


def _worn(facts: Facts, rule: Rule, item: Item, where: str) -> Finding:
    chain = facts.muster.cache.catalogue.by_id[item.part]
    assert isinstance(chain, Chain)
    assert item.measured is not None
    least = removal().least_link.get(chain.size or 0)
    measured = say.length(facts, item.measured, "down")
    effect = f"not usable; {left(facts, item.part)}"
    if least is None:
        says = f"{measured} at its thinnest, and no published least size for a chain of its size"
        return of_piece(facts, rule, item, where, says, effect)
    says = f"{measured} at its thinnest, {say.length(facts, least, 'up')} at least"
    figures = (("measured_nm", item.measured), ("least_nm", least))
    return of_piece(facts, rule, item, where, says, effect, figures=figures)
