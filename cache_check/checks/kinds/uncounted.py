"""Parts that nobody counted: no figure is not the same as none."""

from __future__ import annotations

from cache_check.checks.facts import Facts, Findings
from cache_check.model.part import TIES
from cache_check.model.rule import Rule


def check(facts: Facts, rule: Rule) -> Findings:
    """A finding for each line without a figure, and one for each rig that lists no strap and no chain at all."""
    cache = facts.muster.cache
    for line in cache.stock:
        if line.count is None:
            yield facts.finding(
                rule,
                what=f"{facts.name(line.part)} is listed without a figure",
                effect="taken as none on every step above the book",
                part=line.part, where=line.where, rig=line.rig,
            )  # fmt: skip
    for rig in cache.rigs:
        kinds = {cache.catalogue.by_id[line.part].kind for line in cache.stock if line.rig == rig}
        if kinds and not kinds & set(TIES):
            yield facts.finding(
                rule,
                what="no strap and no chain is listed: are there none, or did nobody count?",
                effect="taken as none: nothing on this rig restrains a base",
                rig=rig,
            )  # fmt: skip
