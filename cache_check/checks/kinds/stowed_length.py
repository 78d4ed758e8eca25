"""A ready set goes into its compartment closed, with what hands and latch need."""

from __future__ import annotations

from math import isqrt

from cache_check.checks.facts import Facts, Findings
from cache_check.model.cache import Compartment
from cache_check.model.rule import Rule


def check(facts: Facts, rule: Rule) -> Findings:
    """A finding for each ready set that is longer closed, with the clearance, than the compartment it lies in."""
    places = {(place.rig, place.id): place for place in facts.muster.cache.compartments}
    for ready, assembly in facts.built_sets():
        place = places.get((ready.rig, ready.where))
        if place is None:
            if ready.where and any(rig == ready.rig for rig, _ in places):
                yield facts.finding(
                    rule,
                    what=f"ready set {ready.id} lies in {ready.where!r}, which is no compartment of the book",
                    effect="whether it goes in is not known", where=ready.where, rig=ready.rig,
                    remedy="write the compartment that it lies in, or list that one with its length",
                )  # fmt: skip
            continue
        want, have = assembly.closed + place.clearance, _room(place)
        if want > have:
            yield facts.finding(
                rule,
                what=f"ready set {ready.id} is {facts.length(assembly.closed, 'up')} closed and wants "
                f"{facts.length(place.clearance, 'up')} clear; {place.id} has {facts.length(have, 'down')}",
                effect=f"it does not go in: {facts.length(want - have, 'up')} too long",
                figures=(("want_nm", want), ("have_nm", have)), where=ready.where, rig=ready.rig,
            )  # fmt: skip


def _room(place: Compartment) -> int:
    """The longest line in a compartment, nm: its length, or corner to corner of its floor where it says so."""
    if not place.diagonal or place.width is None:
        return place.length
    return isqrt(place.length**2 + place.width**2)
