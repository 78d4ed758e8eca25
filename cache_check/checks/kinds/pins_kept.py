"""Pins and keepers are with the pieces they belong to."""

from __future__ import annotations

from cache_check.checks.facts import Findings, Inspection
from cache_check.model.rule import Rule

LOOKED_AT = "pins"


def audit(inspection: Inspection, rule: Rule) -> Findings:
    """A finding for each line of which the inspector wrote that pins or keepers are not with it."""
    for line in inspection.count.lines if inspection.count else ():
        if line.pins is not False:
            continue
        piece = f"{inspection.name(line.part)} {line.serial}".rstrip()
        yield inspection.finding(
            rule, what=f"{piece}: its pins and keepers are not with it",
            effect="it cannot be built as it lies; the pins are counted where they were found",
            part=line.part, where=line.where, serial=line.serial,
        )  # fmt: skip
