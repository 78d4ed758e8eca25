"""Starter files, with comments that explain each entry to the person who will fill them in.

Their texts lie in ``starters/``.  All numbers in them are invented; each file passes reading as it stands.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from pathlib import Path

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
    from cache_check.files import text
    from cache_check.files.workbook.layout import told
    from cache_check.files.workbook.tables import filled
    from cache_check.files.workbook.xlsx_out import write_workbook

    sheets, units = filled({kind: text.parse(starter(kind, today), kind)[0] for kind in kinds})
    return write_workbook(sheets, units, read_me=told("read me")["lines"])
