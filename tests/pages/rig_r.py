"""A rig of an invented family R, in SI: marked points, chain with binders, a chart at a stated factor, a blank one."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import yaml
from builders import STATED

PARTS: dict[str, dict[str, Any]] = {
    "low-body": {"kind": "body", "closed": 700, "open": 1000, "lock": "collar", "mass": 6},
    "tall-body": {"kind": "body", "closed": 1000, "open": 1600, "lock": "collar", "mass": 11},
    "old-body": {"kind": "body", "closed": 900, "open": 1500, "lock": "collar", "mass": 9},
    "piece-300": {"kind": "extension", "length": 300, "mass": 2.5},
    "wide-base": {
        "kind": "fitting", "serves": "base", "adds": 90, "mass": 3,
        "points": [{"wll": "9 kN"}, {"wll": "9 kN"}, {"wll": "9 kN"}],
    },
    "tie-base": {"kind": "fitting", "serves": "base", "adds": 80, "mass": 3, "points": 2},
    "fork-head": {"kind": "fitting", "serves": "head", "adds": 60, "mass": 1},
    "weak-head": {
        "kind": "fitting", "serves": "head", "adds": 55, "mass": 1, "strength": {"rated_load": "9 kN", "factor": 2},
    },
    "web": {"kind": "strap", "wll": "11 kN"},
    "chain-6": {"kind": "chain", "wll": "14 kN", "needs": {"binder": 1}},
    "binder": {"kind": "hardware", "wll": "10 kN"},
}  # fmt: skip
COUNTS = {
    "low-body": 2, "tall-body": 2, "old-body": 1, "piece-300": 3, "wide-base": 3, "tie-base": 2, "fork-head": 4,
    "weak-head": 2, "web": 12, "chain-6": 6, "binder": 5,
}  # fmt: skip
CHARTS: list[dict[str, Any]] = [
    {
        "id": "R", "states": "rated load", "factor": 2, "edition": "1", "dated": "2026-01-15",
        "bodies": ["low-body", "tall-body"],
        "rows": [
            {"length": 1000, "loads": ["40 kN", "36 kN", "30 kN"]},
            {"length": 1400, "loads": ["31 kN", "27.5 kN", "22 kN"]},
            {"length": 1900, "loads": ["20 kN", "17 kN", None]},
        ],
    },
    {
        "id": "R-old", "states": "rated load", "edition": "1", "dated": "2026-01-15", "bodies": ["old-body"],
        "rows": [{"length": 1900, "loads": ["30 kN", "30 kN", "30 kN"]}],
    },
]  # fmt: skip


def write(folder: Path, renamed: Mapping[str, str] | None = None, **changed: Any) -> Path:
    """The cache file, beside its family; ``renamed`` parts bear other names, other arguments change cache entries."""
    names = {name: name for name in PARTS} | dict(renamed or {})
    charts = [{**chart, "bodies": [names[body] for body in chart["bodies"]]} for chart in CHARTS]
    family = {
        "family": "R", "units": "si", "joint_pin": "captive", "charts": charts,
        "parts": {names[name]: part for name, part in PARTS.items()},
    }  # fmt: skip
    (folder / "family-r.yaml").write_text(yaml.safe_dump(family, sort_keys=False), encoding="utf-8")
    cache = {
        "cache": "rig-r", "title": "Rig R", "units": "si", **STATED, "families": ["family-r.yaml"],
        "parts": {names[name]: {"count": number, "where": "locker"} for name, number in COUNTS.items()},
        "ready_sets": {
            "one": {"parts": ["wide-base", "tall-body", "fork-head"], "where": "locker"},
            "two": {"parts": ["tie-base", "low-body", "weak-head"], "where": "locker"},
        },
    } | changed  # fmt: skip
    made = folder / "rig-r.yaml"
    made.write_text(yaml.safe_dump(cache, sort_keys=False), encoding="utf-8")
    return made
