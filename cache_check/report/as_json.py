"""Answers as JSON: one envelope for every command, filled from the results as they are, and its JSON Schema."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from typing import Any

from cache_check import __version__
from cache_check.model.audit import AuditResult
from cache_check.model.cache import Source
from cache_check.model.exercise import ExerciseResult
from cache_check.model.history import History
from cache_check.model.load import LoadResult
from cache_check.model.purchase import BuyResult, County
from cache_check.model.result import BuildResult, CheckResult, ReachResult, RulesResult
from cache_check.model.rule import RuleBook
from cache_check.model.staging import StageResult
from cache_check.report.page import NOT_COUNTED, said
from cache_check.report.told import as_told, closed, schema_of

DRAFT = "https://json-schema.org/draft/2020-12/schema"
VERSION = 2
"""Raised when a key goes or changes its meaning; a key more does not raise it."""
ANSWERS: dict[str, type] = {
    "check": CheckResult,
    "reach": ReachResult,
    "build": BuildResult,
    "rules": RulesResult,
    "load": LoadResult,
    "stage": StageResult,
    "buy": BuyResult,
    "audit": AuditResult,
    "history": History,
    "exercise": ExerciseResult,
}
_MORE: dict[str, dict[str, type]] = {"buy": {"county": County}}
"""What stands beside the answers of a command, null where it was not asked."""


def as_json(
    command: str,
    results: Sequence[Any],
    book: RuleBook | None = None,
    read: Iterable[Source] = (),
    counted: str = NOT_COUNTED,
    **more: Any,
) -> str:
    """The answers of a command; ``read`` are files beside those that the results name."""
    named = [source for one in results for source in getattr(getattr(one, "basis", None), "sources", ())]
    envelope: dict[str, Any] = {
        "schema": f"cache-check/{command}/{VERSION}",
        "tool": {"name": "cache-check", "version": __version__},
        "caution": list(said(counted)),
        "inputs": [{"path": one.path, "sha256": one.sha256} for one in dict.fromkeys([*named, *read])],
        "answers": [as_told(one, book) for one in results],
    }
    for key in _MORE.get(command, {}):
        envelope[key] = as_told(more[key], book) if more.get(key) is not None else None
    return json.dumps(envelope, indent=2, ensure_ascii=False) + "\n"


def schemas() -> dict[str, dict[str, Any]]:
    """The JSON Schema of each command's answer."""
    return {command: _schema(command, kind) for command, kind in ANSWERS.items()}


def _schema(command: str, kind: type) -> dict[str, Any]:
    answer, known = schema_of(kind)
    properties: dict[str, Any] = {
        "schema": {"const": f"cache-check/{command}/{VERSION}"},
        "tool": closed({"name": {"const": "cache-check"}, "version": {"type": "string"}}),
        "caution": {"type": "array", "items": {"type": "string"}},
        "inputs": {"type": "array", "items": closed({"path": {"type": "string"}, "sha256": {"type": "string"}})},
        "answers": {"type": "array", "items": answer},
    }
    for key, beside in _MORE.get(command, {}).items():
        form, others = schema_of(beside)
        properties[key] = {"anyOf": [form, {"type": "null"}]}
        known |= others
    return {
        "$schema": DRAFT,
        "title": f"cache-check {command} {VERSION}",
        "description": "SI, units in key names, unrounded; null is unknown, not asked or none.",
        **closed(properties),
        "$defs": dict(sorted(known.items())),
    }
