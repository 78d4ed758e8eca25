"""The table of working load limits for webbing and chain that carry no mark."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Annotated, Any

from pydantic import Field, StrictInt

from cache_check.errors import InputError
from cache_check.files import text
from cache_check.files.reading import Reading
from cache_check.files.rules import rules_folder
from cache_check.model.record import Name, Record, Text
from cache_check.model.tie_rating import DefaultWll
from cache_check.units import NEWTON_PER_LBF, length_nm

Pounds = Annotated[StrictInt, Field(ge=1)]


class WllRow(Record):
    """One row as written; ``disputed_wll_lbf`` is the higher figure of another copy, which is not used."""

    size_in: Name
    grade: StrictInt | None = None
    wll_lbf: Pounds
    source: Text
    status: Text
    disputed_wll_lbf: Pounds | None = None


class WllTable(Record):
    """The table as written."""

    source: Name
    status: Text
    unmarked_chain_grade: StrictInt
    webbing: tuple[WllRow, ...]
    chain: tuple[WllRow, ...]


@cache
def default_wll(folder: Path | None = None) -> DefaultWll:
    """The table that comes with the program, or that of another folder of rules.

    Raises:
        InputError: the file cannot be read.
    """
    data, page = text.load((folder or rules_folder()) / "default_wll.yaml")
    written: Any = data.get("default_wll") if isinstance(data, dict) else None
    reading = Reading({}, page)
    table = reading.record(WllTable, written, ("default_wll",))
    reading.finish()
    if table is None:
        raise InputError(reading.in_order())
    return DefaultWll(
        webbing=tuple((_size(row), _wll(row)) for row in table.webbing),
        chain=tuple((_size(row), row.grade or table.unmarked_chain_grade, _wll(row)) for row in table.chain),
        unmarked_grade=table.unmarked_chain_grade,
        source=table.source,
    )


def _size(row: WllRow) -> int:
    return length_nm(f"{row.size_in} in")


def _wll(row: WllRow) -> Fraction:
    return row.wll_lbf * NEWTON_PER_LBF
