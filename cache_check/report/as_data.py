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
from typing import Any

from cache_check.errors import AskError
from cache_check.report.answer import Told, Verb, say_of, tables
from cache_check.report.page import Cell, plain, words

_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
_ACTS = ("=", "+", "-", "@", "\t", "\r")
_MARKUP = re.compile(r"([\\`*_{}\[\]<>#|~&!$])")
_LIST = re.compile(r"^(\s*)([-+=:]|\d+[.)](?=\s|$))")


def as_data(of: Verb, shown: Sequence[str], results: Sequence[Any], told: Told, form: str) -> str:
    """The tables of these sections, each with the rows of all results; the first column says whose a row is.

    Raises:
        AskError: a section holds no table.
    """
    texts, results, known = [], _in_one_unit(results), tables(of)
    for name in shown or (of.TABLE,):
        if name not in known:
            raise AskError(f"--show {name} holds no table; sections that do are {', '.join(known)}")
        topic, whose = known[name], hasattr(results[0], "title")
        for each in results:
            if why := topic.why_not(each):
                raise AskError(f"--show {name}: not worked out for {each.title}: {why}")
        rows = [((each.title,) if whose else ()) + row for each in results for row in topic.data(each, told)]
        texts.append(_drawn("rig|" * whose + say_of(results[0], told).heads(topic.heads), rows, form))
    return "\n".join(texts)


def _in_one_unit(results: Sequence[Any]) -> list[Any]:
    """The results, all to be shown in the units of the first, since they share one head."""
    if not all(hasattr(one, "basis") for one in results):
        return list(results)
    units = results[0].basis.units
    return [replace(one, basis=replace(one.basis, units=units)) for one in results]


def _drawn(heads: str, rows: Sequence[Sequence[Cell]], form: str) -> str:
    columns = words(heads)
    figures = [one.holds == "figures" for one in columns]
    cells = [[_cell(*each) for each in zip(row, figures, strict=True)] for row in rows]
    names = [one.head for one in columns]
    return _csv(names, cells) if form == "csv" else "\n".join(_markdown(names, cells, figures)) + "\n"


def _cell(cell: Cell, figure: bool) -> str:
    """A cell as text, nothing where it is none; in a column of figures without marks of thousands."""
    text = "" if cell is None else str(cell)
    number = text.replace(",", "")
    # What is no number in a column of figures would be read as none: our own fault, never to be printed.
    assert not figure or not text or _NUMBER.fullmatch(number), text
    return number if figure else text


def _csv(heads: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """RFC 4180, but lines end in a line feed."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([_inert(cell) for cell in row] for row in (heads, *rows))
    return text.getvalue()


def _inert(cell: str) -> str:
    text = plain(cell)
    return f"'{text}" if text.startswith(_ACTS) and not _NUMBER.fullmatch(text) else text


def _markdown(heads: Iterable[str], rows: Iterable[Iterable[str]], figures: Sequence[bool]) -> Iterator[str]:
    """A table; every character that Markdown or HTML could take as markup is escaped."""
    yield _row(heads)
    yield "|" + "|".join(" ---: " if one else " --- " for one in figures) + "|"
    yield from (_row(row) for row in rows)


def _row(cells: Iterable[str]) -> str:
    return "| " + " | ".join(_text(cell) for cell in cells) + " |"


def _text(text: str) -> str:
    return _LIST.sub(lambda at: f"{at[1]}{at[2][:-1]}\\{at[2][-1]}", _MARKUP.sub(r"\\\1", plain(text)))
