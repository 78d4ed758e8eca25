"""A cache of 2,116 assemblies, more than pages list: 46 bases of their own by 46 heads, on one body."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml
from builders import STATED

SIDE = 46


def write(folder: Path) -> Path:
    """The cache file, beside its family."""
    parts: dict[str, dict[str, Any]] = {
        "body": {"kind": "body", "closed": 26, "open": 40, "lock": "collar"},
        "strap": {"kind": "strap", "wll": 3333},
    }
    for n in range(SIDE):
        parts[f"base-{n}"] = {"kind": "fitting", "serves": "base", "adds": 2, "points": 2}
        parts[f"head-{n}"] = {"kind": "fitting", "serves": "head", "adds": 1}
    chart = {"id": "M", "states": "failure load", "rows": [{"length": 50, "loads": [20000]}]}
    family = {"family": "M", "units": "us", "joint_pin": "captive", "parts": parts, "charts": [chart]}
    (folder / "family-m.yaml").write_text(yaml.safe_dump(family, sort_keys=False), encoding="utf-8")
    cache = {
        "cache": "many", "title": "Many", "units": "us", **STATED, "families": ["family-m.yaml"],
        "parts": {name: {"count": 4 if name == "strap" else 1, "where": "store"} for name in parts},
        "ready_sets": {"one": {"parts": ["base-0", "body", "head-0"], "where": "store"}},
    }  # fmt: skip
    made = folder / "many.yaml"
    made.write_text(yaml.safe_dump(cache, sort_keys=False), encoding="utf-8")
    return made
