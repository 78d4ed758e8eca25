"""Straps in use whose age nobody knows."""

from __future__ import annotations

from collections.abc import Iterator

from cache_check.checks import say
from cache_check.checks.builds import out_of_use
from cache_check.checks.inspection import Inspection
from cache_check.model.finding import Finding
from cache_check.model.rule import Rule


def audit(inspection: Inspection, rule: Rule) -> Iterator[Finding]:
    """A finding for each line of straps that are in use and of unknown age; without a serial no age is known."""
    cache = inspection.muster.cache
    for line in cache.stock:
        if cache.catalogue.by_id[line.part].kind != "strap" or not line.count:
            continue
        blank = [item.serial for item in line.items if item.acquired is None and not out_of_use(inspection.facts, item)]
        lot = line.count - len(line.items) - sum(line.out.values())
        said = [f"{say.name(inspection, line.part)} {say.listed(blank)}"] if blank else []
        said += [f"{say.pieces(inspection, line.part, lot)} without serials"] if lot else []
        if said:
            yield say.finding(
                inspection, rule, what=f"{say.listed(said)}: age unknown",
                effect="counted as usable all the same",
                figures=(("unknown_count", len(blank) + lot),), part=line.part, where=line.where, rig=line.rig,
            )  # fmt: skip
