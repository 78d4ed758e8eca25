"""The verbs: from caches to answers.  The commands use these and nothing deeper.

Each verb stands in a file of its own, takes what was read, and returns a typed result in base units
(``cache_check.model``).  What they need is imported when they are called, so that importing this is light.
"""

from cache_check.api.audit import audit
from cache_check.api.base import LIST_AT_MOST, WhatIf, part_id
from cache_check.api.build import build
from cache_check.api.buy import BuyTerms, buy, county
from cache_check.api.check import check
from cache_check.api.graph import graph
from cache_check.api.history import correct, history, keep_audit
from cache_check.api.load import load
from cache_check.api.reach import reach
from cache_check.api.rules import rules
from cache_check.api.sheet import sheet
from cache_check.api.stage import stage

__all__ = [
    "LIST_AT_MOST",
    "BuyTerms",
    "WhatIf",
    "audit",
    "build",
    "buy",
    "check",
    "correct",
    "county",
    "graph",
    "history",
    "keep_audit",
    "load",
    "part_id",
    "reach",
    "rules",
    "sheet",
    "stage",
]
