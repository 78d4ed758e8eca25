"""Pins for every joint that is left built, and spares on top."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from math import ceil

from cache_check.checks import say
from cache_check.checks.facts import Facts, Lacks
from cache_check.model.family import CAPTIVE
from cache_check.model.part import Body
from cache_check.model.rule import Rule


def gaps(facts: Facts, rule: Rule) -> Lacks:
    """For each loose pin: its joints in what takes most of it, and spares."""
    book = facts.muster.book
    for pin, (use, whence) in sorted(_in_use(facts).items()):
        share = Fraction(book.value(rule.id, "share"))
        spare = max(int(book.value(rule.id, "min")), ceil(share * use))
        have = facts.muster.usable.counts.get(pin, 0)
        want = use + spare
        needs = f"{facts.name(pin)}: {use} in {whence} and {spare} spare make {want}"
        effect = "one pin lost on scene can cost a strut"
        if use > have:
            bare = say.several(use - have, "pin")
            effect = f"{bare} short even with no spare: a strut that lacks one pin is not built"
        yield say.gap(rule, pin, have, want, facts.bound_by([pin]), needs), effect


def _in_use(facts: Facts) -> dict[str, tuple[int, str]]:
    """Loose pins in use, by part id, and what takes them: the ready sets or a scene, whichever takes more.

    Without ready sets, two joints on every body stand for them.
    """
    built = facts.muster.cache.ready_sets
    uses = [("the ready sets", _in_ready_sets(facts)) if built else ("two joints on every body", _at_bodies(facts))]
    uses += [(one.title or f"scene {one.scene}", Counter(dict(one.pins))) for one in facts.answers]
    found: dict[str, tuple[int, str]] = {}
    for whence, taken in uses:
        for pin, number in taken.items():
            if number > found.get(pin, (0, ""))[0]:
                found[pin] = (number, whence)
    return found


def _in_ready_sets(facts: Facts) -> Counter[str]:
    by_id, joints = facts.muster.cache.catalogue.by_id, facts.muster.joined.joints
    pins: Counter[str] = Counter()
    for ready in facts.muster.cache.ready_sets:
        for pin, number in filter(None, joints.pins_along([by_id[part] for part in ready.parts])):
            pins[pin] += number
    return pins


def _at_bodies(facts: Facts) -> Counter[str]:
    """The pins of the two joints of every usable body, by its own connectors."""
    catalogue, pins = facts.muster.cache.catalogue, Counter[str]()
    for part, number in facts.usable_bodies().items():
        body = catalogue.by_id[part]
        assert isinstance(body, Body)
        each = int(facts.muster.book.ruled("pin_per_joint", "per_joint", (body.family,), 0))
        for end in (body.lower, body.upper):
            pin = catalogue.pin_of.get(end.name, CAPTIVE)
            if pin != CAPTIVE:
                pins[pin] += each * number
    return +pins
