"""A cache whose every name tries to be more than text."""

from __future__ import annotations

from pathlib import Path

import yaml
from builders import STATED

MARKUP = "</script><script>window.hit=1</script><img src=x onerror=window.hit=2>"
QUOTES = "\"'><svg onload=window.hit=3>{{7*7}}"
RIGHT_TO_LEFT = "\u05e9\u05dc\u05d5\u05dd\u202e gnorw"
LONG = "x" * 10_000


def write(folder: Path) -> Path:
    """The cache file, beside a family file of the same kind."""
    parts = {
        "body": {"kind": "body", "title": MARKUP, "closed": 26.5, "open": 39, "lock": "collar", "mass": 13},
        "base": {"kind": "fitting", "title": QUOTES, "serves": "base", "adds": 3, "points": 2, "mass": 5},
        "head": {"kind": "fitting", "title": RIGHT_TO_LEFT, "serves": "head", "adds": 2, "mass": 2},
        "strap": {"kind": "strap", "title": LONG, "wll": 3333},
    }
    family = {"family": "H", "units": "us", "joint_pin": "captive", "title": MARKUP, "parts": parts}
    (folder / "family.yaml").write_text(yaml.safe_dump(family, allow_unicode=False), encoding="utf-8")
    cache = {
        "cache": "hostile", "title": MARKUP + QUOTES, "units": "us", **STATED, "families": ["family.yaml"],
        "parts": {
            "body": {"count": 2, "where": MARKUP},
            "base": {"count": 2, "where": QUOTES}, "head": {"count": 2, "where": RIGHT_TO_LEFT},
            "strap": {"count": 4, "where": LONG},
        },
        "ready_sets": {"\U0001f692": {"parts": ["base", "body", "head"], "where": MARKUP}},
    }  # fmt: skip
    made = folder / "hostile.yaml"
    made.write_text(yaml.safe_dump(cache, allow_unicode=False), encoding="utf-8")
    return made
