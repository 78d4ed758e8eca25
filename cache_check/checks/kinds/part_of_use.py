"""Part types on the book that no legal strut, and no restraint, can use: which rule keeps each out."""

from __future__ import annotations

from collections.abc import Iterator

from cache_check.checks import say
from cache_check.checks.facts import Facts
from cache_check.joining.joints import Joints
from cache_check.joining.kind import Kind
from cache_check.joining.seats import PLACES, Seat, seats
from cache_check.model.family import CAPTIVE
from cache_check.model.finding import Finding
from cache_check.model.part import LINEAR, Hardware, Pad, Part, Pin, Tie
from cache_check.model.rule import Rule


def check(facts: Facts, rule: Rule) -> Iterator[Finding]:
    """A finding for each part type of which there are pieces, or may be, and that nothing can use.

    A part that only wants a partner is told where no other part is at fault.
    """
    muster = facts.muster
    of_use = muster.of_use
    there = {line.part for line in muster.cache.stock if line.count != 0}
    parts = [part for part in muster.cache.catalogue.parts if part.id in there]
    idle = [part for part in parts if part.kind in LINEAR and part.id not in of_use]
    found = [(part, why) for part in idle if (why := _own_fault(facts, part))]
    found = found or [(part, "no base, body and head of this book make a legal strut with it") for part in idle]
    found += [(part, why) for part in parts if part.kind not in LINEAR and (why := _idle_other(facts, part))]
    for part, why in found:
        yield say.finding(
            facts, rule, what=f"{say.name(facts, part.id)}: {why}",
            effect="no strut and no restraint takes it, however many there are", part=part.id,
        )  # fmt: skip


def _own_fault(facts: Facts, part: Part) -> str:
    """The rule that keeps a linear part out of every assembly, in words; "" where it only wants a partner."""
    joints = facts.muster.joined.joints
    own = [seat for place in PLACES for seat in seats(part, place)]
    seated = [seat for seat in own if joints.may_sit(seat)]
    broken = [next(joints.broken_seat(seat, joints.stopping)) for seat in own if seat not in seated]
    if not seated and broken:
        return _says(*broken[0])
    families = frozenset((part.family,))
    for kind in joints.stopping:
        most = kind.limit(families)
        if most is not None and kind.is_on(families) and kind.measure(part) > most:
            return _says(kind, kind.over(kind.measure(part), most))
    return _unmet(facts, joints, seated)


def _unmet(facts: Facts, joints: Joints, seated: list[Seat]) -> str:
    """Why seats meet nothing that leads to a strut: the rule that forbids the joints at an end that meets nothing."""
    others = [
        seat for part in facts.muster.cache.catalogue.parts if part.kind in LINEAR for place in PLACES
        for seat in seats(part, place) if joints.may_sit(seat)
    ]  # fmt: skip
    for seat in seated:
        ends = [[(seat, one) for one in others if one.bottom]] if seat.top else []
        ends += [[(one, seat) for one in others if one.top]] if seat.bottom else []
        for pairs in ends:
            if not any(joints.may_join(*pair) for pair in pairs):
                broken = (next(joints.broken_joint(*pair, joints.stopping), None) for pair in pairs)
                first = next((one for one in broken if one), None)
                return _says(*first) if first else ""
    return ""


def _says(kind: Kind, says: str) -> str:
    return f"{says} ({kind.rule.id}, {kind.rule.title})"


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
