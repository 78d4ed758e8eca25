"""The figures of part types are likely ones; on a wrong nought or unit nothing rests until the file answers for it."""

from __future__ import annotations

from cache_check.checks import say
from cache_check.checks.facts import Findings, Mustered
from cache_check.loads.likely import Unlikely
from cache_check.model.rule import Rule
from cache_check.units import show


def check(facts: Mustered, rule: Rule) -> Findings:
    """A finding for each unlikely figure of a part type on the book, or of the situation, that is not answered for."""
    listed = {line.part for line in facts.muster.cache.stock if line.count != 0}
    for one in facts.muster.unlikely:
        part = one.part if one.part in facts.muster.cache.catalogue.by_id else ""
        if not part or part in listed:
            yield facts.finding(
                rule, part=part,
                what=f"{facts.name(one.part)}: {one.figure} {_shown(facts, one, one.value)} is not likely, "
                f"{_shown(facts, one, one.least)} to {_shown(facts, one, one.most)} would be",
                effect="it is taken as not known, and nothing rests on it until it is put right or answered for",
            )  # fmt: skip


load = check


def _shown(facts: Mustered, one: Unlikely, value: object) -> str:
    assert isinstance(value, int) or hasattr(value, "numerator")
    if one.dimension is None:
        return say.ratio(value)  # type: ignore[arg-type]
    return show(value, one.dimension, facts.muster.cache.units, "nearest")  # type: ignore[arg-type]
