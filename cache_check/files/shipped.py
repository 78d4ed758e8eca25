"""The tables that come with the program: limits of webbing and chain without a mark, and what ends their service."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from cache_check.files import text
from cache_check.files.reading import Reading
from cache_check.files.rules import rules_folder
from cache_check.model.record import Record
from cache_check.model.tables import DefaultWll, Removal

_Table = TypeVar("_Table", bound=Record)


def _table(name: str, model: type[_Table], folder: Path | None) -> _Table:
    data, page = text.load((folder or rules_folder()) / f"{name}.yaml")
    written: Any = data.get(name) if isinstance(data, dict) else None
    reading = Reading({"units": "us"}, page)
    return reading.sound(reading.record(model, written, (name,)))


@cache
def default_wll(folder: Path | None = None) -> DefaultWll:
    """The limits of webbing and chain without a mark; InputError where the folder's file cannot be read."""
    return _table("default_wll", DefaultWll, folder)


@cache
def removal(folder: Path | None = None) -> Removal:
    """What ends the service of straps, chains and hooks; InputError where the folder's file cannot be read."""
    return _table("removal", Removal, folder)
