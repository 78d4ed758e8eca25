"""What is out of use and lies on the rig bears a tag, so that nobody takes it."""

from __future__ import annotations

from cache_check.checks.facts import Findings, Inspection
from cache_check.model.rule import Rule

LOOKED_AT = "usable"


def audit(inspection: Inspection, rule: Rule) -> Findings:
    """A finding for each piece, or so many of a lot, that the count found out of use and not tagged."""
    for one in inspection.counted.untagged:
        piece = inspection.called(one.part, one.serial, one.number)
        yield inspection.finding(
            rule, what=f"{piece}: out of use, and not tagged",
            effect="it lies where somebody could take it and build with it",
            figures=(("untagged_count", one.number),), part=one.part, where=one.where,
            serial=one.serial,
        )  # fmt: skip
