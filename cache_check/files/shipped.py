"""What comes with the program: limits of webbing and chain without a mark, what ends their service, and starter files.

A starter file explains each entry to the person who will fill it in; its text lies in ``starters/``.  All numbers in
them are invented; each file passes reading as it stands.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
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


WRITTEN = date(2026, 3, 1)
"""The day on which the texts were written; ``starter`` writes them as of another."""


def starter_text(kind: str) -> str:
    """The starter text of a kind of file, as it was written."""
    return (Path(__file__).parent / "starters" / f"{kind}.yaml").read_text(encoding="utf-8")


def starter(kind: str, today: date) -> str:
    """The starter text of a kind of file, its days as if it had been written today: none is overdue yet."""

    def moved(day: re.Match[str]) -> str:
        return (date.fromisoformat(day[0]) + (today - WRITTEN)).isoformat()

    return re.sub(r"\b\d{4}-\d{2}-\d{2}\b", moved, starter_text(kind))


def starter_workbook(kinds: Iterable[str], today: date) -> bytes:
    """A workbook that explains itself, with the invented entries of the starter files of these kinds."""
    from cache_check.files.workbook.layout import told
    from cache_check.files.workbook.tables import filled
    from cache_check.files.workbook.xlsx import write_workbook

    sheets, units = filled({kind: text.parse(starter(kind, today), kind)[0] for kind in kinds})
    return write_workbook(sheets, units, read_me=told("read me")["lines"])
