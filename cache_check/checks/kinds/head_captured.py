"""The contact holds the head, so that it is not left to friction."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from cache_check.checks import say
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule

if TYPE_CHECKING:
    from cache_check.checks.load import LoadFacts


def load(facts: LoadFacts, rule: Rule) -> Iterator[Finding]:
    """One finding when the kind of contact does not hold a head."""
    contact = facts.result.situation.contact
    if contact is None or contact in facts.muster.book.value(rule.id, "captured"):
        return
    slip = facts.result.slip.head
    needs = f": the coefficient must be at least {float(slip):.2f} there" if slip is not None else ""
    yield say.finding(
        facts, rule, what=f"a contact of the kind {contact!r} does not hold a head",
        effect=f"only friction holds it{needs}, and friction is not counted on",
    )  # fmt: skip
