"""What a cache of strut parts can build, at once, restrained and rated; and what it lacks.

Data flows one way; the later stage imports the earlier, never back:
errors, units   one family of errors; exact lengths, forces and masses
model           what things are: frozen records, no algorithms
files           how they arrive: caches, families, rules, needs, with the place of every mistake
joining, loads  which parts may meet, and how far that reaches; what a strut carries
planning        who gets what: packing with proof, what binds, one lost
checks, api     what is wrong, one file per kind of rule; the verbs, re-exported here
report, cli     how it is shown; the door
"""

from __future__ import annotations

TYPE_CHECKING = False
if TYPE_CHECKING:
    from cache_check.api.audit import audit, sheet
    from cache_check.api.base import WhatIf, rules
    from cache_check.api.buy import BuyTerms, buy, county
    from cache_check.api.check import build, check, graph, reach
    from cache_check.api.exercises.kinds import exercise
    from cache_check.api.history import correct, history, keep_audit
    from cache_check.api.load import load
    from cache_check.api.report import ReportTerms, pages
    from cache_check.api.stage import stage
    from cache_check.errors import AskError, CacheCheckError, InputError, NoPlanError
    from cache_check.files.cache import read_cache
    from cache_check.files.needs import read_needs
    from cache_check.files.pool import pool
    from cache_check.files.prices import read_prices
    from cache_check.files.rules import read_rules
    from cache_check.files.situation import read_situation

__version__ = "0.1.0"
__all__ = [
    "AskError", "BuyTerms", "CacheCheckError", "InputError", "NoPlanError", "ReportTerms", "WhatIf", "audit", "build",
    "buy", "check", "correct", "county", "exercise", "graph", "history", "keep_audit", "load", "pages", "pool",
    "reach", "read_cache", "read_needs", "read_prices", "read_rules", "read_situation", "rules", "sheet", "stage",
]  # fmt: skip
_ELSEWHERE = {
    "BuyTerms": "api.buy", "ReportTerms": "api.report", "WhatIf": "api.base", "build": "api.check",
    "correct": "api.history", "county": "api.buy", "exercise": "api.exercises.kinds", "graph": "api.check",
    "keep_audit": "api.history", "pages": "api.report", "pool": "files.pool", "reach": "api.check",
    "rules": "api.base", "sheet": "api.audit",
}  # fmt: skip
"""Where names stand whose file bears another name."""


def __getattr__(name: str) -> object:
    """The verb, reader or error of that name, its module imported only now, so that ``--help`` need not wait for it."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    home = "errors" if name.endswith("Error") else f"api.{name}"
    home = f"files.{name.removeprefix('read_')}" if name.startswith("read_") else home
    return getattr(import_module(f"{__name__}.{_ELSEWHERE.get(name, home)}"), name)
