"""A sheet as cells, whichever file it came from."""

from __future__ import annotations

from dataclasses import field
from datetime import date, datetime, time, timedelta

from cache_check.frozen import dataclass

MOST_ROWS = 20_000
MOST_COLUMNS = 200
LONGEST_CELL = 10_000


@dataclass(frozen=True)
class Bad:
    """A cell that cannot mean anything: what is wrong, and what would be right."""

    what: str
    right: str = ""


Raw = str | int | float | bool | date | datetime | time | timedelta | Bad | None
"""What a cell holds.  A ``datetime`` is also a ``date``."""


@dataclass
class Grid:
    """A sheet: its name, what people call it, and its rows that are not blank, each with its number from 1."""

    name: str
    label: str
    rows: list[tuple[int, list[Raw]]] = field(default_factory=list)
    epoch_1904: bool = False
    dates_by_number: bool = False


def blank(value: Raw) -> bool:
    """Whether a cell holds nothing but spaces."""
    return value is None or (isinstance(value, str) and not value.strip(" \t\r\n\u00a0"))
