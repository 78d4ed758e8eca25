"""Rules about one strut: a stack that keeps each, and one that breaks it and nothing else."""

from __future__ import annotations

from typing import Any

from builders import tidy

from rule_examples.example import Example

_CACHE = tidy(counts={"body": 3, "ext-6": 4, "ext-12": 3, "pin": 20})
_ADAPTER: dict[str, Any] = {"kind": "adapter", "length": 2, "mass": 1, "lower": "T", "upper": "T"}


def _keeps(*stack: str, **parts: dict[str, Any]) -> Example:
    return _of(frozenset(), stack, parts)


def _breaks(rule: str, *stack: str, **parts: dict[str, Any]) -> Example:
    return _of(frozenset({rule}), stack, parts)


def _of(says: frozenset[str], stack: tuple[str, ...], parts: dict[str, dict[str, Any]]) -> Example:
    """An example in the common cache, or in one with some parts changed or added (two pieces of each)."""
    if not parts:
        return Example(_CACHE, stack, says)
    named = {name.replace("_", "-"): fields for name, fields in parts.items()}
    counts: dict[str, int | None] = {"body": 3, "ext-6": 4, "ext-12": 3, "pin": 20}
    counts |= {name: 3 for name in named if name not in counts}
    return Example(tidy(parts=named, counts=counts), stack, says)


_PLAIN = ("base", "body", "head")

STACKS: dict[str, tuple[Example, Example]] = {
    "EXT-1": (
        _keeps("base", "ext-6", "body", "ext-6", "head"),
        _breaks("EXT-1", "base", "ext-6", "body", "ext-6", "ext-6", "head"),
    ),
    "EXT-2": (
        _keeps("base", "ext-18", "body", "ext-18", "head", ext_18={"kind": "extension", "length": 18, "mass": 7}),
        _breaks(
            "EXT-2", "base", "ext-18", "body", "ext-19", "head",
            ext_18={"kind": "extension", "length": 18, "mass": 7},
            ext_19={"kind": "extension", "length": "18 1/64 in", "mass": 7},
        ),
    ),
    "EXT-3": (
        _keeps("base", "body", "ext-12", "ext-6", "head"),
        _breaks("EXT-3", "base", "body", "ext-6", "ext-12", "head"),
    ),
    "EXT-4": (
        _keeps("base", "ext-6", "body", "head", body={"upper": {"connector": "T", "takes": ["fitting"]}}),
        _breaks("EXT-4", "base", "body", "ext-6", "head", body={"upper": {"connector": "T", "takes": ["fitting"]}}),
    ),
    "MAT-1": (
        _keeps("base", "body", "hook", hook={"kind": "fitting", "adds": 1, "serves": "head", "end": "T", "mass": 1}),
        _breaks(
            "MAT-1", "base", "body", "hook",
            hook={"kind": "fitting", "adds": 1, "serves": "head", "end": "other", "mass": 1},
        ),
    ),
    "MAT-2": (_keeps(*_PLAIN), _breaks("MAT-2", "base", "body", "body", "head")),
    "MAT-3": (_keeps(*_PLAIN), _breaks("MAT-3", "base", "body")),
    "MAT-4": (_keeps(*_PLAIN), _breaks("MAT-4", "head", "body", "head")),
    "MAT-5": (_keeps(*_PLAIN), _breaks("build note", *_PLAIN, head={"index": "turn to the notch"})),
    "PIN-1": (
        _keeps(*_PLAIN),
        Example(tidy(counts={"pin": 1}), _PLAIN, frozenset({"short of T/pin"})),
    ),
    "COL-1": (_keeps(*_PLAIN), _breaks("COL-1", *_PLAIN, body={"lock": "pin only"})),
    "OVL-1": (_keeps(*_PLAIN, body={"pull_apart": 54}), _breaks("OVL-1", *_PLAIN, body={"pull_apart": 53.5})),
    "FAM-1": (
        _keeps(
            "base", "body", "adapter", "hook", adapter=_ADAPTER,
            hook={"kind": "fitting", "adds": 1, "serves": "head", "family": "U", "end": "T", "mass": 1},
        ),
        _breaks(
            "FAM-1", "base", "body", "hook",
            hook={"kind": "fitting", "adds": 1, "serves": "head", "family": "U", "end": "T", "mass": 1},
        ),
    ),
    "ADP-1": (
        _keeps("base", "body", "adapter", "head", adapter=_ADAPTER),
        _breaks("ADP-1", "base", "adapter", "body", "adapter", "head", adapter=_ADAPTER),
    ),
}  # fmt: skip
