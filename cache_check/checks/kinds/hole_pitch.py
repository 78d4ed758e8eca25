"""A length that is asked for lies between two holes of a body that locks nowhere else."""

from __future__ import annotations

from cache_check.checks.facts import Facts, Findings, fixed_lengths
from cache_check.joining.seats import settable
from cache_check.model.counting import Tally
from cache_check.model.finding import Finding
from cache_check.model.part import Body
from cache_check.model.rule import Rule


def check(facts: Facts, rule: Rule) -> Findings:
    """A finding for each unmet need of one length that lies between the settings of builds locked at holes."""
    for _, tally in facts.asked():
        if tally.met or tally.shortest != tally.longest:
            continue
        for body in facts.muster.cache.catalogue.parts:
            if isinstance(body, Body) and body.holes and (nearest := _nearest(facts, body, tally.longest)):
                yield _between(facts, rule, tally, body, *nearest)


def _between(facts: Facts, rule: Rule, tally: Tally, body: Body, below: int, above: int) -> Finding:
    most = int(facts.value(rule, "pack", (body.family,)))
    packing = tally.longest - below
    pack = f"the lower one needs {facts.length(packing, 'up')} of packing"
    within = "which is within" if packing <= most else "which is more than"
    return facts.finding(
        rule,
        what=f"{tally.label}: {facts.length(tally.longest, 'nearest')} lies between two settings of "
        f"{facts.name(body.id)}, {facts.length(below, 'nearest')} and {facts.length(above, 'nearest')}",
        effect=f"no build of this body covers it; {pack}, {within} the {facts.length(most, 'down')} allowed",
        figures=(("asked_nm", tally.longest), ("below_nm", below), ("above_nm", above), ("packing_nm", packing)),
        part=body.id,
    )  # fmt: skip


def _nearest(facts: Facts, body: Body, length: int) -> tuple[int, int] | None:
    """The settings next below and above a length; None where one build covers it or it lies outside them all."""
    below, above = -1, -1
    for block in facts.muster.joined.blocks:
        if body not in block.body.parts:
            continue
        for fixed in {fixed for _, fixed in fixed_lengths(block)}:
            for low, high in settable(body):
                if low + fixed <= length <= high + fixed:
                    return None
                if high + fixed < length:
                    below = max(below, high + fixed)
                elif above < 0 or low + fixed < above:
                    above = low + fixed
    return (below, above) if below >= 0 and above >= 0 else None
