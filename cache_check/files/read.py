"""The verbs that read files, and the one that pools caches: each reader is loaded when it is first asked for."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from cache_check.files import cache as cache_file
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache
from cache_check.model.rule import RuleBook

if TYPE_CHECKING:
    from cache_check.files.needs import read_needs
    from cache_check.files.pool import pool
    from cache_check.files.prices import read_prices
    from cache_check.files.situation import read_situation

__all__ = ["pool", "read_cache", "read_needs", "read_prices", "read_rules", "read_situation"]


def __getattr__(name: str) -> object:
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    found: object = getattr(import_module(f"cache_check.files.{name.removeprefix('read_')}"), name)
    globals()[name] = found
    return found


def read_cache(path: str | Path, book: RuleBook | None = None) -> Cache:
    """Read a cache file and the family files that it names.

    Args:
        path: the cache file.
        book: the rules against which settings in the files are checked; the program's own unless given.

    Raises:
        InputError: every mistake of the file and of its family files, each with its place.
    """
    return cache_file.read_cache(path, book or read_rules())
