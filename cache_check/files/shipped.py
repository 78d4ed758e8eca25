"""The tables that come with the program: limits of webbing and chain without a mark, and what ends their service."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Annotated, Any, TypeVar

from pydantic import Field, StrictInt

from cache_check.files import text
from cache_check.files.reading import Reading
from cache_check.files.rules import rules_folder
from cache_check.model.record import Length, Name, Record, Text
from cache_check.model.tables import Criterion, DefaultWll, Removal
from cache_check.units import NEWTON_PER_LBF, length_nm

_Table = TypeVar("_Table", bound=Record)
_Pounds = Annotated[StrictInt, Field(ge=1)]


class _Wll(Record):
    """One row as written; ``disputed_wll_lbf`` is the higher figure of another copy, which is not used."""

    size_in: Name
    grade: StrictInt | None = None
    wll_lbf: _Pounds
    source: Text
    status: Text
    disputed_wll_lbf: _Pounds | None = None

    @property
    def size(self) -> int:
        """The size, nm."""
        return length_nm(f"{self.size_in} in")

    @property
    def wll(self) -> Fraction:
        """The limit, N."""
        return self.wll_lbf * NEWTON_PER_LBF


class _DefaultWll(Record):
    source: Name
    status: Text
    unmarked_chain_grade: StrictInt
    webbing: tuple[_Wll, ...]
    chain: tuple[_Wll, ...]


class _ChainSize(Record):
    size: Length
    least: Length
    wear_64ths: StrictInt | None = None


class _Chain(Record):
    source: Name
    status: Text = ""
    sizes: tuple[_ChainSize, ...] = Field(min_length=1)


class _Removal(Record):
    criteria: tuple[Criterion, ...] = Field(min_length=1)
    chain: _Chain


def _table(name: str, model: type[_Table], folder: Path | None) -> _Table:
    data, page = text.load((folder or rules_folder()) / f"{name}.yaml")
    written: Any = data.get(name) if isinstance(data, dict) else None
    reading = Reading({}, page)
    return reading.sound(reading.record(model, written, (name,)))


@cache
def default_wll(folder: Path | None = None) -> DefaultWll:
    """The limits of webbing and chain without a mark; InputError where the folder's file cannot be read."""
    table = _table("default_wll", _DefaultWll, folder)
    return DefaultWll(
        webbing=tuple((row.size, row.wll) for row in table.webbing),
        chain=tuple((row.size, row.grade or table.unmarked_chain_grade, row.wll) for row in table.chain),
        unmarked_grade=table.unmarked_chain_grade,
        source=table.source,
    )


@cache
def removal(folder: Path | None = None) -> Removal:
    """What ends the service of straps, chains and hooks; InputError where the folder's file cannot be read."""
    table = _table("removal", _Removal, folder)
    return Removal(table.criteria, {one.size: one.least for one in table.chain.sizes})
