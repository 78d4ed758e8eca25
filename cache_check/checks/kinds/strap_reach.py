"""The straps are long enough for their anchors, wrap and tail."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from cache_check.checks import say
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule

if TYPE_CHECKING:
    from cache_check.checks.load import LoadFacts


def load(facts: LoadFacts, rule: Rule) -> Iterator[Finding]:
    """One finding when the leading strap or chain is too short for an anchor, or its length is not known."""
    from cache_check.planning.loading.carrying import leading

    way, long = leading(facts.result.ties), [line.length for line in facts.result.lines if line.length is not None]
    if way is None or not long:
        return
    needed = max(long) + facts.muster.book.value(rule.id, "tail")
    said = f"the farthest anchor with tail takes {say.length(facts, needed, 'up')}"
    if way.length is None:
        yield say.finding(
            facts, rule, what=f"{said}; how long {say.name(facts, way.part)} is, is not on the book",
            effect="whether it reaches is not known", part=way.part,
        )  # fmt: skip
    elif way.length < needed:
        yield say.finding(
            facts, rule,
            what=f"{said}; {say.name(facts, way.part)} is {say.length(facts, way.length, 'down')} long",
            effect="it does not reach", part=way.part, figures=(("want_nm", needed), ("have_nm", way.length)),
        )  # fmt: skip
