"""The starter workbook: the starter files of a cache, its needs and prices, as sheets that explain themselves."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from cache_check.files import text
from cache_check.files.template import starter
from cache_check.files.workbook.tables import filled
from cache_check.files.workbook.xlsx_out import READ_ME, write_workbook


def starter_workbook(kinds: Iterable[str], today: date) -> bytes:
    """A workbook with the invented entries of the starter files of these kinds, their days counted from today."""
    sheets, units = filled({kind: text.parse(starter(kind, today), kind)[0] for kind in kinds})
    return write_workbook(sheets, units, read_me=READ_ME)
