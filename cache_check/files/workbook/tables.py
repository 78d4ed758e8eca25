"""All sheets of a workbook or folder together: cells to the data of one kind of file, and back."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from cache_check.errors import InputError, Mistake
from cache_check.files.place import Route
from cache_check.files.words import did_you_mean, listed
from cache_check.files.workbook import cells_out
from cache_check.files.workbook.columns import Column, Table, folded
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.grid import Grid, Raw, blank
from cache_check.files.workbook.place import CellSpot, TablePage
from cache_check.files.workbook.sheets import (
    about,
    charts,
    compartments,
    items,
    joints,
    needs,
    parts,
    prices,
    ready_sets,
    rules,
    situation,
    types,
)
from cache_check.files.workbook.table import OTHER_TEXT, Sheet
from cache_check.units import System

KINDS = ("cache", "family", "needs", "policy", "prices", "situation")
NOT_READ = ("read me", "notes")
"""Sheets that explain, or are the owner's own; so are those whose name begins with #."""


@dataclass(frozen=True)
class _Part:
    """A sheet of one kind of file: its table, where its rows go, and how they go both ways."""

    table: Table
    at: Route
    read: Callable[[Sheet, Draft, Route], None]
    rows: Callable[[Any], Iterable[dict[str, Any]]]


_TYPES = (types.TABLE, types.read, types.rows)
_JOINTS = (
    _Part(joints.CONNECTORS, ("connectors",), joints.read_connectors, joints.connector_rows),
    _Part(joints.MATES, ("mates",), joints.read_mates, joints.mate_rows),
)
_CHARTS = _Part(charts.TABLE, ("charts",), charts.read, charts.rows)
_RULES = _Part(rules.SETTINGS, ("rules",), rules.read_settings, rules.setting_rows)
_OF_KIND: dict[str, tuple[_Part, ...]] = {
    "cache": (
        _Part(types.TABLE, ("types",), types.read, types.rows),
        _Part(parts.TABLE, ("parts",), parts.read, parts.rows),
        _Part(items.TABLE, ("parts",), items.read, items.rows),
        _Part(compartments.TABLE, ("compartments",), compartments.read, compartments.rows),
        _Part(ready_sets.TABLE, ("ready_sets",), ready_sets.read, ready_sets.rows),
        _CHARTS, _RULES, *_JOINTS,
    ),
    "family": (_Part(types.TABLE, ("parts",), types.read, types.rows), _CHARTS, _RULES, *_JOINTS),
    "needs": (_Part(needs.TABLE, ("scenes",), needs.read, needs.rows),),
    "situation": (_Part(situation.TABLE, (), situation.read, situation.rows),),
    "prices": (_Part(prices.TABLE, ("parts",), prices.read, prices.rows),),
    "policy": (
        _Part(rules.SETTINGS, ("set",), rules.read_settings, rules.setting_rows),
        _Part(rules.OWN, ("rules",), rules.read_own, rules.own_rows),
        _Part(rules.PARAMETERS, ("rules",), rules.read_parameters, rules.parameter_rows),
    ),
}  # fmt: skip
TABLES = {part.table.name: part.table for parts_of in _OF_KIND.values() for part in parts_of}
"""Every sheet but "about", by name."""


def data_of(grids: Iterable[Grid], name: str, sha256: str, kind: str) -> tuple[dict[str, Any], TablePage]:
    """The data of one kind of file in a workbook or folder, and the page that knows each value's cell.

    Raises:
        InputError: it holds no sheet "about".
    """
    found = {folded(grid.name): grid for grid in grids}
    page = TablePage(name, sha256, [], CellSpot(0, 0, {}))
    if about.TABLE.name not in found:
        right = "cache-check new --workbook FILE.xlsx writes one that explains itself"
        raise InputError([Mistake(name, 'has no sheet "about", which says what it is', right)])
    _refuse_strangers(found, page)
    order = {sheet: number for number, sheet in enumerate(found, 1)}
    top = Draft(CellSpot(0, 1, {}, found[about.TABLE.name].label, order[about.TABLE.name]))
    page.root = top.root
    about.read(Sheet(found[about.TABLE.name], about.TABLE, page, order[about.TABLE.name], None), top, ())
    units = _units(top.data)
    _only(top, kind)
    for part in _OF_KIND.get(kind, ()):
        grid = found.get(part.table.name)
        if grid is not None:
            part.read(Sheet(grid, part.table, page, order[part.table.name], units), top, part.at)
    _titled(top, kind, found)
    return top.data, page


def _refuse_strangers(found: Mapping[str, Grid], page: TablePage) -> None:
    known = [about.TABLE.name, *TABLES, *NOT_READ]
    for number, (name, grid) in enumerate(found.items(), 1):
        if name in known or name.startswith(OTHER_TEXT) or not grid.rows:
            continue
        right = did_you_mean(name, known) or f"the sheets are {listed(known)}"
        spot = CellSpot(0, 0, None, grid.label, number)
        page.mistakes.append(page.in_cell(spot, "is not a sheet here", f"{right}; begin a sheet of your own with #"))


def _units(data: Mapping[str, Any]) -> System | None:
    written = data.get("units")
    return written if written in ("us", "si") else None


def _only(top: Draft, kind: str) -> None:
    """Leave of the sheet about what belongs to the kind; if it is not of this kind, what says which it is."""
    keys = about.OF_KIND.get(kind, ())
    if kind not in top.data and kind not in ("needs", "prices"):
        keys = (*keys, *KINDS)
    for key in [key for key in top.data if key not in keys]:
        del top.data[key]
        assert isinstance(top.root.inside, dict)
        del top.root.inside[key]


def _titled(top: Draft, kind: str, found: Mapping[str, Grid]) -> None:
    """Needs and prices that somebody filled in without naming them are named after their sheet."""
    part = _OF_KIND.get(kind, ())
    if kind in ("needs", "prices") and kind not in top.data and top.has(part[0].at):
        top.put((kind,), kind, CellSpot(1, 1, None, found[kind].label, 1))


@dataclass(frozen=True)
class Filled:
    """A sheet to write: its table, the columns it shows, and its rows as cells."""

    table: Table
    columns: tuple[Column, ...]
    rows: tuple[tuple[Raw, ...], ...]


def filled(files: Mapping[str, Mapping[str, Any]]) -> tuple[list[Filled], System | None]:
    """The sheets of one or more kinds of file, by kind, and the units of their heads."""
    whole: dict[str, Any] = {}
    for kind, data in files.items():
        whole |= {key: data[key] for key in about.OF_KIND[kind] if data.get(key) is not None}
    units = _units(whole)
    sheets = [_filled(about.TABLE, about.rows(whole))]
    for kind, data in files.items():
        for part in _OF_KIND[kind]:
            sheets.append(_filled(part.table, part.rows(data.get(str(part.at[0])) if part.at else data)))
    return sheets, units


def _filled(table: Table, rows: Iterable[dict[str, Any]]) -> Filled:
    cells_of = [{column: _cell(column, row.get(column.head)) for column in table.columns} for row in rows]
    columns = tuple(_shown(table, cells_of))
    return Filled(table, columns, tuple(tuple(row[column] for column in columns) for row in cells_of))


def _cell(column: Column, value: Any) -> Raw:
    if value == charts.UNRATED and column.reads == "force":
        return charts.UNRATED
    return cells_out.written(column.reads, value)


def _shown(table: Table, rows: list[dict[Column, Raw]]) -> Iterator[Column]:
    """All columns of a table; of a chart's loads only as many as are filled, three at least."""
    loads = [column for column in table.columns if column.route[:1] == ("loads",)]
    last = max((n for n, column in enumerate(loads) for row in rows if not blank(row[column])), default=2)
    for column in table.columns:
        if column not in loads or loads.index(column) <= max(2, last):
            yield column
