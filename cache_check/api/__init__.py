"""The verbs: from caches to answers.  The commands use these and nothing deeper.

Each verb stands in a file of its own, takes what was read, and returns a typed result in base units
(``cache_check.model``).  A verb's file is imported when the verb is first used, and what it needs when it is
called, so that importing this is light.
"""

from __future__ import annotations

import sys
from types import ModuleType

# ruff: noqa: TC004 - what is imported for the type checker alone here is imported in __getattr__ when it is used
TYPE_CHECKING = False
if TYPE_CHECKING:
    from cache_check.api.audit import audit
    from cache_check.api.base import LIST_AT_MOST, WhatIf, part_id
    from cache_check.api.build import build
    from cache_check.api.buy import BuyTerms, buy, county
    from cache_check.api.card import packed_sets, staged_sets
    from cache_check.api.check import check
    from cache_check.api.exercise import exercise
    from cache_check.api.graph import graph
    from cache_check.api.history import correct, history, keep_audit
    from cache_check.api.load import load
    from cache_check.api.reach import reach
    from cache_check.api.report import ReportTerms, report
    from cache_check.api.rules import rules
    from cache_check.api.sheet import sheet
    from cache_check.api.stage import stage

__all__ = [
    "LIST_AT_MOST",
    "BuyTerms",
    "ReportTerms",
    "WhatIf",
    "audit",
    "build",
    "buy",
    "check",
    "correct",
    "county",
    "exercise",
    "graph",
    "history",
    "keep_audit",
    "load",
    "packed_sets",
    "part_id",
    "reach",
    "report",
    "rules",
    "sheet",
    "stage",
    "staged_sets",
]
_HOME = {
    "audit": ("audit",),
    "base": ("LIST_AT_MOST", "WhatIf", "part_id"),
    "build": ("build",),
    "buy": ("BuyTerms", "buy", "county"),
    "card": ("packed_sets", "staged_sets"),
    "check": ("check",),
    "exercise": ("exercise",),
    "graph": ("graph",),
    "history": ("correct", "history", "keep_audit"),
    "load": ("load",),
    "reach": ("reach",),
    "report": ("ReportTerms", "report"),
    "rules": ("rules",),
    "sheet": ("sheet",),
    "stage": ("stage",),
}


class _Verbs(ModuleType):
    """This package; a file that bears its verb's name does not take the verb's place when it is imported."""

    def __setattr__(self, name: str, value: object) -> None:
        if not (isinstance(value, ModuleType) and name in __all__):
            super().__setattr__(name, value)

    def __getattr__(self, name: str) -> object:
        from importlib import import_module

        for module, names in _HOME.items():
            if name in names:
                found: object = getattr(import_module(f"{__name__}.{module}"), name)
                self.__dict__[name] = found
                return found
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


sys.modules[__name__].__class__ = _Verbs
