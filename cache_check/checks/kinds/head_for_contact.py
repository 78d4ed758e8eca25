"""The head is made for the kind of contact."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from cache_check.checks import say
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule

if TYPE_CHECKING:
    from cache_check.checks.load import LoadFacts


def load(facts: LoadFacts, rule: Rule) -> Iterator[Finding]:
    """One finding when no assembly here has a head that lists the contact; others are refused one by one."""
    contact, found = facts.result.situation.contact, facts.result.carriers
    if contact is None or not found or any(one.head == f"made for {contact}" for one in found):
        return
    unsaid = any("the book does not say" in one.head for one in found)
    yield say.finding(
        facts, rule, what=f"no head that reaches here is listed for a contact of the kind {contact!r}",
        effect="some heads do not say what they are made for; that is unknown, not fine" if unsaid else
        "every assembly at this length is refused",
    )  # fmt: skip
