"""A load that its maker rated is raised over its mark only by a factor that somebody asked for, and it is told."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from cache_check.checks import say
from cache_check.checks.facts import Facts, Findings, LoadFacts, Mustered
from cache_check.loads.chart import DesignFactor
from cache_check.model.rule import Rule
from cache_check.planning.packing.muster import Ask
from cache_check.planning.scenes import ask_of


def check(facts: Facts, rule: Rule) -> Findings:
    """A finding for each chart or part whose marked load is raised by a factor that a need or a rule setting asks."""
    needs = [need for scene in facts.scenes for need in scene.needs if need.loaded]
    asked = [facts.muster.factor(ask_of(need)) for need in needs] or [facts.muster.factor()]
    yield from _raised(facts, rule, asked)


def load(facts: LoadFacts, rule: Rule) -> Findings:
    """The same for a situation."""
    yield from _raised(facts, rule, [facts.muster.factor(Ask(1, 1, factor=facts.result.situation.factor))])


def _raised(facts: Mustered, rule: Rule, asked: Iterable[DesignFactor]) -> Findings:
    said = [factor.k for factor in asked if factor.said]
    if not said:
        return
    least = min(said)
    for what, stated in _rated(facts):
        if stated is not None and stated > least:
            yield facts.finding(
                rule,
                what=f"{what} is rated at {say.ratio(stated)} and asked at {say.ratio(least)}: above the maker's mark",
                effect=f"its loads count for {float(stated / least):.4g} times what is marked",
            )  # fmt: skip


def _rated(facts: Mustered) -> Iterator[tuple[str, Fraction | None]]:
    for chart in facts.charts_on_book():
        yield f"chart {chart.id}", chart.factor
    counts = facts.muster.usable.counts
    for part in facts.muster.cache.catalogue.parts:
        if part.strength is not None and counts[part.id]:
            yield facts.name(part.id), part.strength.factor
