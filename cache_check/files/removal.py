"""The table of removal criteria and wear limits that comes with the program."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from pydantic import Field, StrictInt

from cache_check.errors import InputError
from cache_check.files import text
from cache_check.files.reading import Reading
from cache_check.files.rules import rules_folder
from cache_check.model.record import Length, Name, Record, Text
from cache_check.model.removal import Criterion, Removal


class CriterionEntry(Record):
    """One criterion as written."""

    of: tuple[Name, ...]
    words: tuple[Name, ...]
    says: Name
    limit: Name
    source: Name
    status: Text = ""


class SizeEntry(Record):
    """The least size of one chain as written."""

    size: Length
    least: Length
    wear_64ths: StrictInt | None = None


class ChainTable(Record):
    """The chain table as written."""

    source: Name
    status: Text = ""
    sizes: tuple[SizeEntry, ...] = Field(min_length=1)


class RemovalTable(Record):
    """The file as written."""

    criteria: tuple[CriterionEntry, ...] = Field(min_length=1)
    chain: ChainTable


@cache
def removal(folder: Path | None = None) -> Removal:
    """The table that comes with the program, or that of another folder of rules.

    Raises:
        InputError: the file cannot be read.
    """
    data, page = text.load((folder or rules_folder()) / "removal.yaml")
    written: Any = data.get("removal") if isinstance(data, dict) else None
    reading = Reading({}, page)
    table = reading.record(RemovalTable, written, ("removal",))
    reading.finish()
    if table is None:
        raise InputError(reading.in_order())
    return Removal(
        criteria=tuple(Criterion(one.of, one.words, one.says, one.limit, one.source) for one in table.criteria),
        least_link={one.size: one.least for one in table.chain.sizes},
        chain_source=table.chain.source,
    )
