"""Audits small enough to hold in the head: a cache in which an audit finds nothing, and counts of caches."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from builders import tidy

from cache_check.checks.counted import expected
from cache_check.model.cache import Cache
from cache_check.model.count import CountLine, CountSheet, SetLine
from cache_check.model.part import Fitting

DAY = date(2026, 4, 1)
_STRAPS = [
    {"serial": f"S-{n}", "acquired": "2024-05-01", "inspected": "2026-01-10", "label": "legible"} for n in range(1, 6)
]


def audited_cache(**changes: Any) -> Cache:
    """``tidy`` with a spare strap, and every strap with a serial, a date and a label: nothing to find."""
    counts = {"strap": 5} | changes.pop("counts", {})
    items = {"strap": _STRAPS} | changes.pop("items", {})
    return tidy(counts=counts, items=items, **changes)


def counted(
    cache: Cache,
    lines: Mapping[str, Mapping[str, Any]] | None = None,
    sets: Mapping[str, Mapping[str, Any]] | None = None,
    extra: tuple[CountLine, ...] = (),
    **head: Any,
) -> CountSheet:
    """A count that finds everything as the book has it, but for what is changed.

    ``lines`` changes lines by serial, or by the part's name for what has none; ``sets`` by the set's id.
    """
    changed = dict(lines or {})
    made = []
    for stock in cache.stock:
        part = cache.catalogue.by_id[stock.part]
        lot = expected(stock) or 0
        if lot or not stock.items:
            base = {"part": part.id, "where": stock.where, "found": lot, "usable": lot}
            if isinstance(part, Fitting) and part.points:
                base["points"] = len(part.points) * lot
            made.append(CountLine.model_validate(base | dict(changed.pop(part.name, {}))))
        for item in stock.items:
            base = {"part": part.id, "serial": item.serial, "where": item.where, "found": 1, "usable": 1}
            base["label"] = "legible"
            if isinstance(part, Fitting) and part.points:
                base["points"] = len(part.points)
            made.append(CountLine.model_validate(base | dict(changed.pop(item.serial, {}))))
    assert not changed, f"no such lines: {list(changed)}"
    of_set = {ready.id: {"found": True, "held": True} for ready in cache.ready_sets} | dict(sets or {})
    return CountSheet.model_validate(
        {
            "rig": cache.id, "on": DAY, "by": "A. B.", "second": "C. D.", "lines": (*made, *extra),
            "sets": tuple(SetLine.model_validate({"id": name} | dict(one)) for name, one in of_set.items()),
        }
        | head
    )  # fmt: skip
