"""What an example is, and what the program says of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from builders import change, checked

import cache_check as api
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache
from cache_check.model.count import CountSheet
from cache_check.model.need import Needs
from cache_check.model.rule import Setting
from cache_check.model.situation import Situation

TODAY = date(2026, 4, 1)


@dataclass(frozen=True)
class Example:
    """A cache, a stack of its parts (names, ground to load) or a count of it, and exactly what must be said of it.

    ``says`` are rule ids; a stack may also be "short of" a part, or carry a "build note".
    """

    cache: Cache
    stack: tuple[str, ...] = ()
    says: frozenset[str] = frozenset()
    needs: Needs | None = None
    count: CountSheet | None = None
    situation: Situation | None = None


def reported(example: Example, *settings: Setting) -> set[str]:
    """The ids of the rules that the program reports, with what else a stack is told."""
    if example.situation is not None:
        if example.situation.vehicle is None:  # a strut by itself, whatever policy asks for on a class of vehicle
            settings += (change("NUM-1", on=False),)
        suppose = api.WhatIf(on=TODAY, settings=settings)
        result = api.load(example.cache, read_rules(), example.situation, suppose=suppose)
        return {finding.rule for finding in result.findings}
    if example.count is not None:
        suppose = api.WhatIf(on=TODAY, settings=settings)
        audited = api.audit(example.cache, read_rules(), example.count, needs=example.needs, suppose=suppose)
        return {one.finding.rule for one in audited.findings}
    if not example.stack:
        return {finding.rule for finding in checked(example.cache, *settings, needs=example.needs, on=TODAY).findings}
    suppose = api.WhatIf(on=TODAY, settings=settings)
    verdict = api.build(example.cache, read_rules(), example.stack, suppose=suppose).verdict
    assert verdict.legal == (not any(broken.severity == "stop" for broken in verdict.broken))
    short = {f"short of {part}" for part, _, _ in verdict.short_of}
    return {broken.rule for broken in verdict.broken} | short | ({"build note"} if verdict.notes else set())
