"""Rules that an audit checks: a count that keeps each, and one that breaks it and nothing else.

Where breaking one rule cannot but break another, both are named.
"""

from __future__ import annotations

from typing import Any

from audit_builders import audited_cache, counted
from builders import needs_of, ready_set

from cache_check.model.cache import Cache
from cache_check.model.need import Needs
from rule_examples.example import Example

_SOUND = audited_cache()
_BASES = audited_cache(items={"base": [{"serial": "B-1", "inspected": "2026-01-10", "label": "legible"}]})
_SET = (ready_set("A", "base", "body", "head"),)
_WITH_SET = audited_cache(ready_sets=_SET)
_DRILL = audited_cache(
    counts={"body": 3}, ready_sets=(ready_set("A", "base", "body", "head", serials=("D-1",)),),
    items={"body": [{"serial": "D-1", "inspected": "2026-01-10", "label": "legible", "status": "training"}]},
)  # fmt: skip
_CHAIN: dict[str, dict[str, Any]] = {"chain": {"kind": "chain", "grade": 80, "size": "3/8 in", "mass": 8}}
_TWO = needs_of([{"at": 50, "count": 2}])


def _keeps(cache: Cache = _SOUND, *also: str, needs: Needs | None = None, **changes: Any) -> Example:
    return Example(cache, says=frozenset(also), needs=needs, count=counted(cache, **changes))


def _breaks(rule: str, *also: str, cache: Cache = _SOUND, needs: Needs | None = None, **changes: Any) -> Example:
    return Example(cache, says=frozenset({rule, *also}), needs=needs, count=counted(cache, **changes))


def _strap(**fields: Any) -> Cache:
    """The sound cache with one strap more, of which something is said."""
    strap = {"serial": "S-9", "acquired": "2024-05-01", "inspected": "2026-01-10", "label": "legible"} | fields
    straps = [
        {"serial": f"S-{n}", "acquired": "2024-05-01", "inspected": "2026-01-10", "label": "legible"} for n in range(5)
    ]
    return audited_cache(counts={"strap": 6}, items={"strap": [*straps, strap]})


def _chain(measured: str) -> Cache:
    chain = {
        "serial": "C-1",
        "inspected": "2026-01-10",
        "label": "legible",
        "measured": int(measured) * 25_400_000 // 64,
    }
    return audited_cache(parts=_CHAIN, counts={"chain": 1}, items={"chain": [chain]})


AUDITS: dict[str, tuple[Example, Example]] = {
    "CNT-1": (_keeps(), _breaks("CNT-1", lines={"ext-6": {"where": "the floor"}})),
    "CNT-3": (_keeps(), _breaks("CNT-3", "LAB-1", "SPR-1", lines={"S-1": {"label": None}})),
    "CNT-4": (_keeps(), _breaks("CNT-4", second="")),
    "TAG-1": (
        _keeps(_SOUND, "OOS-1", "SPR-1", lines={"S-1": {"tag": "T-1"}}),
        _breaks("TAG-1", "AUD-1", "OOS-1", "SPR-1", lines={"S-1": {"usable": 0}}),
    ),
    "LAB-1": (Example(_strap()), Example(_strap(label="unreadable"), says=frozenset({"LAB-1"}))),
    # Ten years with two leap days are 3,652 days: a strap acquired on 1 April 2016 is in its last day.
    "WEB-1": (
        Example(_strap(acquired="2016-04-01")),
        Example(_strap(acquired="2016-03-31"), says=frozenset({"WEB-1"})),
    ),
    "WEB-2": (Example(_strap(condition="Good.")), Example(_strap(condition="cut"), says=frozenset({"WEB-2"}))),
    # Least size of 3/8 in chain: 19/64 in, met exactly.
    "CHN-1": (Example(_chain("19")), Example(_chain("18"), says=frozenset({"CHN-1"}))),
    "PTS-2": (
        _keeps(_BASES),
        _breaks("PTS-2", "OOS-1", "BAL-1", cache=_BASES, lines={"B-1": {"points": 1, "tag": "T-1"}}),
    ),
    "PIN-3": (_keeps(lines={"S-1": {"pins": True}}), _breaks("PIN-3", lines={"body": {"pins": False}})),
    "SPR-1": (_keeps(), _breaks("SPR-1", "CNT-1", lines={"S-5": {"found": 0, "usable": None}})),
    "STO-2": (_keeps(_WITH_SET), _breaks("STO-2", cache=_WITH_SET, sets={"A": {"found": True, "held": False}})),
    "REV-1": (
        _keeps(lines={"body": {"edition": "t-1"}}),
        _breaks("REV-1", lines={"body": {"edition": "T-2"}}),
    ),
    "TRN-1": (
        _keeps(
            audited_cache(counts={"body": 3}, out={"body": {"training": 1}}), "OOS-1", lines={"body": {"tag": "T-1"}}
        ),
        _breaks("TRN-1", "OOS-1", "SET-1", cache=_DRILL, lines={"D-1": {"tag": "T-1"}}),
    ),
    "AUD-1": (
        _keeps(_SOUND, "N1-1", needs=_TWO),
        _breaks("AUD-1", "CNT-1", "NEED-1", needs=_TWO, lines={"body": {"found": 1, "usable": 1}}),
    ),
}  # fmt: skip
