"""Book and count: missing, extra, in the wrong place, of the wrong rig."""

from __future__ import annotations

from cache_check.checks.facts import Findings, Inspection
from cache_check.model.rule import Rule

_EFFECTS = {
    "extra": "not counted on until it is entered in the book",
    "wrong place": "counted, but not where people will look for it",
    "wrong rig": "not counted here; its own rig is short of it",
    "two books": "one piece cannot be on two rigs: one of the books is wrong",
    "two counts": "nobody knows which is right until it is counted again",
    "not as booked": "not counted on until its state is written",
    "set": "people will look for a built set that is not there",
}


def audit(inspection: Inspection, rule: Rule) -> Findings:
    """A finding for each difference between book and count."""
    for one in inspection.counted.differences:
        effect = f"not usable; {inspection.left(one.part)}" if one.sort == "missing" else _EFFECTS[one.sort]
        places = f"book: {one.booked or 'nowhere'}; found: {one.found or 'nowhere'}"
        yield inspection.finding(
            rule, what=f"{inspection.called(one.part, one.serial, one.number)}: {one.sort}; {one.says}", effect=effect,
            figures=(("different_count", one.number), ("places", places)), part=one.part,
            where=one.found or one.booked, serial=one.serial,
        )  # fmt: skip
