"""Part types on the book that no legal strut, and no restraint, can use: which rule keeps each out."""

from __future__ import annotations

from cache_check.checks.facts import Facts, Findings
from cache_check.model.family import CAPTIVE
from cache_check.model.part import LINEAR, Hardware, Pad, Part, Pin, Tie
from cache_check.model.rule import Rule


def check(facts: Facts, rule: Rule) -> Findings:
    """A finding for each part type of which there are pieces, or may be, and that nothing can use.

    A part that only wants a partner is told where no other part is at fault.
    """
    muster = facts.muster
    of_use = muster.laid.of_use
    there = {line.part for line in muster.cache.stock if line.count != 0}
    parts = [part for part in muster.cache.catalogue.parts if part.id in there]
    idle = [part for part in parts if part.kind in LINEAR and part.id not in of_use]
    found = [(part, muster.faults[part.id]) for part in idle if part.id in muster.faults]
    found = found or [(part, "no base, body and head of this book make a legal strut with it") for part in idle]
    found += [(part, why) for part in parts if part.kind not in LINEAR and (why := _idle_other(facts, part))]
    for part, why in found:
        yield facts.finding(
            rule, what=f"{facts.name(part.id)}: {why}",
            effect="no strut and no restraint takes it, however many there are", part=part.id,
        )  # fmt: skip


def _idle_other(facts: Facts, part: Part) -> str:
    """Why nothing takes a pin, a tie, hardware or a pad; "" where something does."""
    muster = facts.muster
    catalogue = muster.cache.catalogue
    if isinstance(part, Pin):
        taken = {pin for family in catalogue.families for pin in family.connectors.values()} - {CAPTIVE}
        taken |= {mate.pin for family in catalogue.families for mate in family.mates}
        return "" if part.id in taken else "no joint takes this pin"
    if isinstance(part, Tie) and not muster.pointable:
        rule = next((r for r in muster.book.in_force("attachment_points")), None)
        return f"no base has the attachment points to be held by ({rule.id}, {rule.title})" if rule else ""
    if isinstance(part, Hardware):
        wanted = {need for one in catalogue.parts if isinstance(one, Tie) for need in one.hardware}
        return "" if part.id in wanted else "no strap or chain of this book needs it"
    sized = not isinstance(part, Pad) or part.footprint
    return "" if sized else "its size is not written, so what it bears is not known"
