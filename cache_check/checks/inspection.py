"""What an audit looks at: the book, the count, and the facts of the cache as counted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from cache_check.checks import say
from cache_check.checks.facts import Facts, Mustered
from cache_check.checks.run import kind
from cache_check.frozen import dataclass
from cache_check.model.cache import Cache, Item
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule
from cache_check.planning.packing.muster import Muster

if TYPE_CHECKING:
    from cache_check.checks.counted import Counted
    from cache_check.model.count import CountSheet


@dataclass(frozen=True)
class Mustering:
    """The muster of a cache as counted, for what is said of the rig as a whole."""

    muster: Muster


@dataclass(frozen=True)
class Inspection:
    """One audit; ``facts`` are of the cache as counted.  ``count`` None: the book as it stands is audited."""

    facts: Facts
    book: Cache
    book_hash: str
    count: CountSheet | None
    counted: Counted

    @property
    def muster(self) -> Muster:
        """The muster of the cache as counted."""
        return self.facts.muster

    def items(self) -> Iterator[tuple[Item, str]]:
        """Every piece with a serial, as counted, and where it lies."""
        for line in self.muster.cache.stock:
            for item in line.items:
                yield item, item.where or line.where


def audit_findings(inspection: Inspection) -> tuple[Finding, ...]:
    """Every finding of the rules in force that only an audit looks for, gravest first."""
    book = inspection.muster.book
    found: list[Finding] = []
    for rule in book.rules:
        module: Any = kind(rule.kind)
        if module is not None and hasattr(module, "audit") and book.is_on(rule.id):
            found += module.audit(inspection, rule)
    return tuple(sorted(found, key=lambda finding: finding.order))


def of_piece(facts: Mustered, rule: Rule, item: Item, where: str, what: str, effect: str, **more: Any) -> Finding:
    """A finding about one piece that has a serial."""
    name = f"{say.name(facts, item.part)} {item.serial}"
    found = say.finding(
        facts, rule, what=f"{name}: {what}", effect=effect, part=item.part, where=where, rig=item.rig, **more
    )
    return replace(found, serial=item.serial)


def left(facts: Mustered, part: str) -> str:
    """How many of a part are left to use, as the end of an effect."""
    have, booked = facts.muster.usable.counts[part], facts.muster.cache.counted.get(part, 0)
    return f"{have} of {booked} {say.name(facts, part)} left to use"
