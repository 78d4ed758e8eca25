"""No need, situation, family or command asks quietly for a smaller design factor than policy."""

from __future__ import annotations

from fractions import Fraction

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings, LoadFacts, Mustered
from cache_check.model.rule import Rule
from cache_check.planning.packing.ratings import factors_set


def check(facts: Facts, rule: Rule) -> Findings:
    """A finding for each need that asks less than is used, and for each policy that was lowered."""
    yield from _lowered(facts, rule)
    for scene in facts.scenes:
        for need in scene.needs:
            if need.loaded:
                yield from _asked(facts, rule, f"{scene.id}: {need.id}", need.factor)


def load(facts: LoadFacts, rule: Rule) -> Findings:
    """The same for a situation."""
    yield from _lowered(facts, rule)
    yield from _asked(facts, rule, facts.result.situation.title or "this situation", facts.result.situation.factor)


def _asked(facts: Mustered, rule: Rule, who: str, factor: Fraction | None) -> Findings:
    used = facts.muster.factor().k
    if factor is not None and factor < used:
        yield facts.finding(
            rule, what=f"{who} asks {say.ratio(factor)}: asked below policy, which asks {say.ratio(used)}",
            effect=f"{say.ratio(used)} is used, the stricter of the two",
        )  # fmt: skip


def _lowered(facts: Mustered, rule: Rule) -> Findings:
    """Where a setting replaced a higher factor, of the rules or of an earlier setting: used all the same."""
    book, used = facts.muster.book, facts.muster.factor().k
    voices = [(one.by, Fraction(one.values["factor"])) for one in factors_set(book)]
    voices += [(one.id, Fraction(one.parameters["factor"].value)) for one in book.of_kind("load_check")]
    higher = [(who, factor) for who, factor in voices if factor > used]
    if higher:
        by = next((who for who, factor in reversed(voices[: len(factors_set(book))]) if factor == used), "a setting")
        yield facts.finding(
            rule, what=f"{by} sets {say.ratio(used)}: asked below policy, "
            + say.listed(f"{who} asks {say.ratio(factor)}" for who, factor in higher),
            effect=f"{say.ratio(used)} is used, and every rated count and load here is asked below policy",
        )  # fmt: skip
