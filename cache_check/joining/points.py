"""Attachment points that a restrained base must have: its own family's minimum, or the strictest of a mixed strut's.

A base that must have three points is also one of those that have one and two.  So pieces are counted at each minimum
that may be asked, and a strut takes one at every minimum up to its own.
"""

from __future__ import annotations

from collections.abc import Iterable

from cache_check.model.part import Part
from cache_check.model.rule import RuleBook

KIND = "attachment_points"


def least(book: RuleBook, families: Iterable[str]) -> int:
    """The usable points that the base of a strut of these families must have."""
    return int(book.ruled(KIND, "min", tuple(sorted(families)), 0))


def stricter(book: RuleBook, base: Part) -> tuple[int, ...]:
    """The minima above its own family's that a strut of several families may ask of a base, rising."""
    rules = {rule.id for rule in book.of_kind(KIND)}
    others = {said.family for said in book.settings if said.family is not None and said.rule in rules}
    # One family more, of which nothing is said, stands for all that take the rule as it is delivered.
    asked = {least(book, {base.family, other}) for other in (*others, "")}
    return tuple(sorted(number for number in asked if number > least(book, {base.family})))


def counted(part: str, minimum: int) -> str:
    """The name under which pieces of a base with at least so many points are counted, beside its own minimum."""
    return f"{part} >= {minimum}"
