"""Rules about a whole cache: one that keeps each, and one that breaks it and nothing else.

Where breaking one rule cannot but break another, both are named.
"""

from __future__ import annotations

from datetime import date
from typing import Any

from builders import needs_of, ready_set, tidy

from cache_check.model.need import Needs
from rule_examples.example import Example

_SOUND = Example(tidy())
_SERIAL: dict[str, Any] = {"serial": "B-1", "inspected": "2025-03-31"}
_CHAIN: dict[str, dict[str, Any]] = {
    "chain": {"kind": "chain", "grade": 80, "size": "3/8 in", "mass": 8, "needs": {"T/binder": 1}},
    "binder": {"kind": "hardware", "mass": 4},
}
_U_HEAD: dict[str, Any] = {"kind": "fitting", "adds": 1, "serves": "head", "family": "U", "end": "T", "mass": 1}
_ADAPTER: dict[str, Any] = {"kind": "adapter", "length": 2, "mass": 1, "lower": "T", "upper": "T"}
_HOLES: dict[str, Any] = {"lock": "holes", "holes": {"pitch": 2, "fine": 1}}
_BARE = {"at": 50, "restrained": False, "load": 3000}
_ONE = needs_of([{"at": 50, "load": 3000}])

_STRUT = (ready_set("A", "base", "body", "head"),)


def _row(length: int, *loads: int) -> dict[str, Any]:
    return {"length": length, "loads": loads}


def _breaks(rule: str, *also: str, needs: Needs | None = None, **changes: Any) -> Example:
    return Example(tidy(**changes), says=frozenset({rule, *also}), needs=needs)


def _keeps(*also: str, needs: Needs | None = None, **changes: Any) -> Example:
    return Example(tidy(**changes), says=frozenset(also), needs=needs)


def _counted_on(day: date, *says: str) -> Example:
    return Example(tidy().changed(book_date=day), says=frozenset(says))


CACHES: dict[str, tuple[Example, Example]] = {
    "OOS-1": (
        _keeps(items={"strap": [{"serial": "S-1", "inspected": "2026-01-10", "status": "in service"}]}),
        _breaks("OOS-1", counts={"strap": 5}, out={"strap": {"repair": 1}}),
    ),
    # A piece inspected 366 days ago is in its last day; a day more and it is overdue.
    "INS-1": (
        _keeps(items={"ext-6": [_SERIAL]}),
        _breaks("INS-1", items={"ext-6": [_SERIAL | {"inspected": "2025-03-30"}]}),
    ),
    "DAT-1": (
        _keeps(items={"ext-6": [_SERIAL | {"inspected": "2026-04-01"}]}),
        _breaks("DAT-1", items={"ext-6": [_SERIAL | {"inspected": "2026-04-02"}]}),
    ),
    "DAT-2": (_counted_on(date(2025, 3, 31)), _counted_on(date(2025, 3, 30), "DAT-2")),
    "USE-1": (_SOUND, _breaks("USE-1", parts={"lone": _U_HEAD | {"end": "U"}}, counts={"lone": 1})),
    "PTS-1": (
        _keeps(items={"base": [{"serial": "B-1", "inspected": "2026-01-10", "points_usable": 2}]}),
        _breaks("PTS-1", items={"base": [{"serial": "B-1", "inspected": "2026-01-10", "points_usable": 1}]}),
    ),
    "STR-1": (_SOUND, _breaks("STR-1", counts={"strap": 3})),
    "STR-2": (
        _keeps(parts=_CHAIN, counts={"strap": 2, "chain": 2, "binder": 2}),
        _breaks("STR-2", parts=_CHAIN, counts={"strap": 4, "chain": 2, "binder": 1}),
    ),
    # A mixed base is no finding of its own: the strap and the chain left over hold nothing, so STR-1 is short.
    "STR-4": (
        _keeps(parts=_CHAIN, counts={"strap": 2, "chain": 2, "binder": 2}),
        _breaks("STR-1", parts=_CHAIN, counts={"strap": 3, "chain": 1, "binder": 1}),
    ),
    "BAL-1": (_SOUND, _breaks("BAL-1", counts={"head": 1})),
    "PIN-2": (_keeps(counts={"pin": 6}), _breaks("PIN-2", counts={"pin": 5})),
    "CNT-2": (_SOUND, _breaks("CNT-2", counts={"ext-6": None})),
    "IDX-1": (
        _keeps("N1-1", "RCH-1", needs=needs_of([{"at": 55}]), parts={"body": _HOLES}, counts={"body": 1}),
        _breaks(
            "IDX-1", "NEED-1", "RCH-1", needs=needs_of([{"at": 52.5}]),
            parts={"body": {**_HOLES, "holes": {"pitch": 2}}},
        ),
    ),
    "CAP-1": (
        _keeps(needs=needs_of([{"at": 50, "load": 8000, "restrained": False}])),
        _breaks("CAP-1", "NEED-1", needs=needs_of([{"at": 50, "load": 8001, "restrained": False}])),
    ),
    "CAP-2": (
        _SOUND,
        _breaks("CAP-2", chart={"rows": [_row(55, 8000, 7000, 6000), _row(75, 9000, 7000, 6000)]}),
    ),
    # A cell of just the largest likely load passes; a pound more does not.
    "CAP-6": (
        _keeps(chart={"rows": [_row(75, 100_000, 90_000, 80_000)]}),
        _breaks("CAP-6", chart={"rows": [_row(75, 100_001, 90_000, 80_000)]}),
    ),
    "CAP-7": (
        _keeps(needs=needs_of([{"at": 50, "restrained": False, "load": 3000, "factor": 2}])),
        _breaks("CAP-7", needs=needs_of([{"at": 50, "restrained": False, "load": 3000, "factor": 1}])),
    ),
    # Rated at 4:1 and nothing asked, the mark stands; asked at 2:1 it is told.
    "CAP-8": (
        _keeps(chart={"factor": 4}, needs=needs_of([_BARE])),
        _breaks("CAP-8", chart={"factor": 4}, needs=needs_of([_BARE | {"factor": 2}])),
    ),
    # A strap of just the largest likely limit passes; a pound more does not.
    "SIZ-1": (
        _keeps(parts={"strap": {"wll": 25_000}}),
        _breaks("SIZ-1", parts={"strap": {"wll": 25_001}}),
    ),
    "CAP-4": (_SOUND, _breaks("CAP-4", chart={"edition": ""})),
    "CAP-3": (
        _keeps(chart={"rows": [_row(73, 8000, 7000, 6000)]}),
        _breaks("CAP-3", chart={"rows": [_row(72, 8000, 7000, 6000)]}),
    ),
    "ADP-2": (
        _keeps(parts={"adapter": _ADAPTER}, counts={"adapter": 1, "pin": 10}),
        _breaks("ADP-2", parts={"adapter": _ADAPTER, "u-head": _U_HEAD}, counts={"adapter": 1, "u-head": 1}),
    ),
    "NEED-1": (_keeps(needs=_ONE), _breaks("NEED-1", needs=needs_of([{"at": 50, "count": 3}]))),
    "N1-1": (_keeps(needs=_ONE), _breaks("N1-1", needs=needs_of([{"at": 50, "count": 2}]))),
    "RCH-1": (
        _keeps(counts={"ext-12": 0}),
        _breaks("RCH-1", parts={"body": {"closed": 31}, "ext-6": {"length": 20}}, counts={"ext-12": 0}),
    ),
    # 35 in closed and 1 in clear go into 36 in; the set weighs 15 + 6 + 2 lb and two pins of 1/4 lb.
    "STO-1": (
        _keeps(ready_sets=_STRUT, compartments=[{"id": "tray", "length": 36, "clearance": 1}]),
        _breaks("STO-1", ready_sets=_STRUT, compartments=[{"id": "tray", "length": "35 63/64 in", "clearance": 1}]),
    ),
    "LFT-1": (
        _keeps(ready_sets=_STRUT, parts={"body": {"mass": "42.5 lb"}}),
        _breaks("LFT-1", ready_sets=_STRUT, parts={"body": {"mass": "42.6 lb"}}),
    ),
    "SET-1": (
        _keeps(ready_sets=(ready_set("A", "base", "body", "head"), ready_set("B", "base", "body", "head"))),
        _breaks("SET-1", ready_sets=(ready_set("A", "head", "body", "head"),)),
    ),
}  # fmt: skip
