"""Rule books for tests: the delivered rules, with settings on top."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from typing import Any

from cache_check.files.rules import read_rules
from cache_check.model.rule import RuleBook, Setting


@cache
def _delivered() -> RuleBook:
    return read_rules()


def setting(rule: str, *, family: str | None = None, rig: str | None = None, **change: Any) -> Setting:
    """A setting by a test: ``on``, ``severity``, or values of parameters in base units."""
    fields = {key: change.pop(key) for key in ("on", "severity") if key in change}
    return Setting(rule=rule, family=family, rig=rig, by="a test", values=change, **fields)


def book(settings: Iterable[Setting] = ()) -> RuleBook:
    """The delivered rules with these settings on top."""
    delivered = _delivered()
    return RuleBook(version=delivered.version, rules=delivered.rules, settings=tuple(settings))
