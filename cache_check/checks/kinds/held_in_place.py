"""Ready sets are held from moving, and are no heavier than their compartment carries."""

from __future__ import annotations

from fractions import Fraction

from cache_check.checks import say
from cache_check.checks.facts import Findings, Inspection
from cache_check.model.rule import Rule

LOOKED_AT = "held"


def audit(inspection: Inspection, rule: Rule) -> Findings:
    """A finding for each set that is loose or was not looked at, and each compartment that carries too much."""
    lines = {line.id: line for line in inspection.count.sets} if inspection.count else {}
    for ready in inspection.muster.cache.ready_sets if inspection.count else ():
        line = lines.get(ready.id)
        if line is None or not line.held:
            loose = line is not None and line.held is False
            yield inspection.finding(
                rule,
                what=f"ready set {ready.id} {'is not held from moving' if loose else 'was not tried: is it held?'}",
                effect="a moving load in the compartment" if loose else "unknown, so not fine",
                where=ready.where,
            )  # fmt: skip
    yield from _too_heavy(inspection, rule)


def _too_heavy(inspection: Inspection, rule: Rule) -> Findings:
    loads: dict[tuple[str, str], list[Fraction | None]] = {}
    for ready, assembly in inspection.built_sets():
        loads.setdefault((ready.rig, ready.where), []).append(assembly.mass)
    for place in inspection.muster.cache.compartments:
        masses = loads.get((place.rig, place.id), [])
        if place.carries is None or not masses:
            continue
        known = sum((mass for mass in masses if mass is not None), Fraction(0))
        unknown = sum(mass is None for mass in masses)
        if known > place.carries or unknown:
            more = f" and {say.several(unknown, 'set')} of unknown weight" if unknown else ""
            yield inspection.finding(
                rule,
                what=f"{place.id} holds ready sets of {inspection.mass(known, 'up')}{more}; "
                f"it carries {inspection.mass(place.carries, 'down')}",
                effect="the compartment or its floor may give way",
                where=place.id,
            )  # fmt: skip
