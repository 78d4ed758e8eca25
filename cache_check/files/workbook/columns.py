"""Columns of a sheet: their heads, where their values belong in the data, and how a cell is read."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from cache_check.files.place import Route
from cache_check.units import BARE, Dimension, System

Reads = Literal[
    "text", "number", "length", "force", "mass", "factor", "flag", "date", "list", "pieces", "points", "value"
]
_DIMENSIONS: tuple[Dimension, ...] = ("length", "force", "mass")
_UNITS: dict[str, tuple[str, ...]] = {
    "length": ("in", "inch", "inches", "ft", "feet", "mm", "cm", "m"),
    "force": ("lbf", "lb", "lbs", "kip", "n", "kn", "dan"),
    "mass": ("lb", "lbs", "kg", "g", "t"),
}
_HEAD = re.compile(r"(.*?)\s*(?:,\s*|\(\s*|\[\s*)([A-Za-z]+)\s*[\])]?")


@dataclass(frozen=True)
class Column:
    """A column.  ``route`` leads from the row's entry to the value; a head with "#" stands for a whole number."""

    head: str
    route: Route
    reads: Reads = "text"
    note: str = ""
    choices: tuple[str, ...] = ()
    wide: int = 12

    @property
    def dimension(self) -> Dimension | None:
        """The dimension of its quantities, None where it has none."""
        return next((one for one in _DIMENSIONS if one == self.reads), None)

    def headed(self, system: System | None) -> str:
        """The head with the unit that bare numbers below it have."""
        unit = BARE[self.dimension][system] if self.dimension and system else ""
        return f"{self.head}, {unit}" if unit else self.head


@dataclass(frozen=True)
class Table:
    """A sheet: its name, what it is for, and its columns; the columns in ``keys`` say which entry a row is."""

    name: str
    about: str
    columns: tuple[Column, ...]

    def by_head(self, written: str) -> tuple[Column, str] | None:
        """The column that a written head means and the unit it names ("" where none); None where it means none."""
        text = folded(written)
        for column in self.columns:
            if found := _means(column, text):
                return found
        return None


def _means(column: Column, text: str) -> tuple[Column, str] | None:
    if text == folded(column.head):
        return column, ""
    split = _HEAD.fullmatch(text)
    if split and split[1] == folded(column.head) and split[2] in _UNITS.get(column.reads, ()):
        return column, split[2]
    return None


def folded(text: str) -> str:
    """A head without case, dashes and needless spaces."""
    return " ".join(text.replace("_", " ").replace("-", " ").casefold().split())
