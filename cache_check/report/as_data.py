"""Sections as tables of data: a head with units, a row a thing, numbers as numbers, the same columns on every run.

In CSV no cell can act as a formula: one that begins with = + - @ and is no number, or with a tab or carriage return,
gets an apostrophe before it, which spreadsheets show as text.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from cache_check.errors import AskError
from cache_check.report.page import Table, plain

if TYPE_CHECKING:
    from cache_check.report.answer import Told, Verb

_NUMBER = re.compile(r"(-?\d[\d,]*(?:\.\d+)?)(?: [^\d\s]+| % (short))?")
"""A figure as a page shows it: with marks of thousands, perhaps a unit; what is short of nothing is below it."""
_ACTS = ("=", "+", "-", "@", "\t", "\r")
_MARKUP = re.compile(r"([\\`*_{}\[\]<>#|~&!$])")
_LIST = re.compile(r"^(\s*)([-+=:]|\d+[.)](?=\s|$))")


def as_data(of: Verb, shown: Sequence[str], results: Sequence[Any], told: Told, form: str) -> str:
    """The tables of these sections, each with the rows of all results; the first column says whose a row is.

    Raises:
        AskError: a section holds no table.
    """
    texts, results = [], _in_one_unit(results)
    for name in shown:
        tables = [(getattr(one, "title", of.title(one)), of.SECTIONS[name](one, told).table) for one in results]
        if any(table is None for _, table in tables):
            held = ", ".join(one for one in of.SECTIONS if one != name)
            raise AskError(f"--show {name} holds no table here; other sections are {held}")
        rows = [[title, *_cells(row, table)] for title, table in tables if table for row in table.rows]
        heads = ["rig", *(column.head for column in tables[0][1].columns)] if tables[0][1] else []
        # A figure under another rig's head would be read in its unit.
        assert all([column.head for column in table.columns] == heads[1:] for _, table in tables if table)
        texts.append(_csv(heads, rows) if form == "csv" else "\n".join(_markdown(heads, rows, tables[0][1])) + "\n")
    return "\n".join(texts)


def _in_one_unit(results: Sequence[Any]) -> list[Any]:
    """The results, all to be shown in the units of the first, since they share one head."""
    if not all(hasattr(one, "basis") for one in results):
        return list(results)
    units = results[0].basis.units
    return [replace(one, basis=replace(one.basis, units=units)) for one in results]


def _cells(row: Sequence[str], table: Table) -> Iterator[str]:
    """The cells of a row; in a column of figures a number, or nothing where none is known or was asked."""
    for cell, column in zip(row, table.columns, strict=True):
        if column.holds == "words":
            yield cell
        else:
            found = _NUMBER.fullmatch(cell)
            yield f"{'-' if found[2] else ''}{found[1].replace(',', '')}" if found else ""


def _csv(heads: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """RFC 4180, but lines end in a line feed."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([_inert(cell) for cell in row] for row in (heads, *rows))
    return text.getvalue()


def _inert(cell: str) -> str:
    text = plain(cell)
    return f"'{text}" if text.startswith(_ACTS) and not _NUMBER.fullmatch(text) else text


def _markdown(heads: Iterable[str], rows: Iterable[Iterable[str]], table: Table | None) -> Iterator[str]:
    """A table; every character that Markdown or HTML could take as markup is escaped."""
    columns = table.columns if table else ()
    yield _row(heads)
    yield "| --- |" + "|".join(" ---: " if one.holds == "figures" else " --- " for one in columns) + "|"
    yield from (_row(row) for row in rows)


def _row(cells: Iterable[str]) -> str:
    return "| " + " | ".join(_text(cell) for cell in cells) + " |"


def _text(text: str) -> str:
    return _LIST.sub(_bullet, _MARKUP.sub(r"\\\1", plain(text)))


def _bullet(match: re.Match[str]) -> str:
    return f"{match[1]}{match[2][:-1]}\\{match[2][-1]}"
