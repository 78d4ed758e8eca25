"""The rules and what changes them."""

from __future__ import annotations

from cache_check.api.base import in_force
from cache_check.model.cache import Cache
from cache_check.model.result import RulesResult
from cache_check.model.rule import RuleBook


def rules(book: RuleBook, cache: Cache | None = None) -> RulesResult:
    """The rules, with the settings that change them on a cache."""
    settled = book if cache is None else in_force(cache, book, None)
    return RulesResult(settled.version, settled.rules, settled.settings)
