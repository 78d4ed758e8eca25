"""The file of ``report``: every kind of sheet that has something to show, in the order of the kinds."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from types import ModuleType

from cache_check.model.cache import Source
from cache_check.model.report import ReportResult
from cache_check.model.rule import RuleBook
from cache_check.report.pages import sheets
from cache_check.report.pages.shell import render


@cache
def kinds() -> tuple[ModuleType, ...]:
    """The modules of the sheets, in order."""
    found = [import_module(f"{sheets.__name__}.{one.name}") for one in iter_modules(sheets.__path__)]
    return tuple(sorted(found, key=lambda module: module.ORDER))


def html(result: ReportResult, book: RuleBook, read: Sequence[Source] = ()) -> str:
    """The whole file; ``read`` are files beside the caches."""
    made = [one for kind in kinds() for one in kind.sheets(result, book, read)]
    names = {kind.KIND: kind.NAME for kind in kinds()}
    title = made[0].title if len(made) == 1 else result.title
    return render(made, names, title, result.on)
