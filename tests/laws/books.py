"""Rule books for tests, read from ``rules/`` without the product's own reader."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from cache_check import units
from cache_check.model.rule import Rule, RuleBook, Setting

RULES = Path(__file__).resolve().parents[2] / "rules"


def _base_unit(kind: str, value: Any) -> Any:
    if kind == "length":
        return units.length_nm(value)
    if kind in ("force", "mass"):
        return units.parse(value, "force" if kind == "force" else "mass", None)
    if kind == "ratio":
        return units.parse(value, "angle", "us")
    return tuple(value) if kind == "words" else value


@cache
def rules() -> tuple[Rule, ...]:
    """Every entry of ``rules/``, parameters in base units."""
    found = []
    for path in sorted(RULES.glob("*.yaml")):
        for entry in yaml.safe_load(path.read_text(encoding="utf-8")).get("rules", ()):
            for spec in entry.get("parameters", {}).values():
                spec["value"] = _base_unit(spec["type"], spec["value"])
            found.append(Rule(**entry))
    return tuple(found)


def setting(rule: str, *, family: str | None = None, rig: str | None = None, **change: Any) -> Setting:
    """A setting by a test: ``on``, ``severity``, or values of parameters in base units."""
    fields = {key: change.pop(key) for key in ("on", "severity") if key in change}
    return Setting(rule=rule, family=family, rig=rig, by="a test", values=change, **fields)


def book(settings: Iterable[Setting] = ()) -> RuleBook:
    """The delivered rules with these settings on top."""
    return RuleBook(version="2026.1", rules=rules(), settings=tuple(settings))
