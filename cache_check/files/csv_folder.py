"""A folder of CSV files, one for each sheet of a workbook, read and written."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from datetime import date
from hashlib import sha256
from pathlib import Path

from cache_check.errors import refused
from cache_check.files.text import decoded, read_bytes
from cache_check.files.workbook.grid import LONGEST_CELL, MOST_COLUMNS, MOST_ROWS, Bad, Grid, Raw, blank
from cache_check.files.workbook.tables import Filled
from cache_check.units import System

MOST_FILES = 60
_MARKS = "=+-@\t\r'"
"""What a spreadsheet takes for the start of a formula when it opens a CSV file, and the mark that prevents it."""
_TELLING = 40
"""So many lines tell the separator of a file."""


def read_grids(folder: Path) -> tuple[list[Grid], str]:
    """The CSV files of a folder as grids, and one SHA-256 over names and bytes; InputError as of ``read_grid``."""
    try:
        paths = sorted(path for path in folder.iterdir() if path.suffix.casefold() == ".csv")
    except OSError as error:
        raise refused(folder, f"cannot be read: {(error.strerror or '').lower()}") from None
    if not paths:
        raise refused(folder, "is a folder without CSV files", "name a file, or a folder that has about.csv")
    if len(paths) > MOST_FILES:
        raise refused(folder, f"has {len(paths)} CSV files", f"{MOST_FILES} at most are read")
    digest = sha256()
    grids = []
    for path in paths:
        raw = read_bytes(path, str(path))
        digest.update(path.name.encode() + b"\0" + sha256(raw).digest())
        grids.append(read_grid(raw, path))
    return grids, digest.hexdigest()


def read_grid(raw: bytes, path: Path) -> Grid:
    """One CSV file as a grid, cells parted by what stands in most of its first lines: comma, semicolon or tab.

    Raises:
        InputError: it is no UTF-8 text, or is out of bounds.
    """
    text = decoded(raw, str(path), "save it as CSV UTF-8")
    lines = [line for line in text.splitlines() if line.strip()][:_TELLING]
    # A name may hold more semicolons than its line has commas; not every line does.
    mark = max(",;\t", key=lambda mark: (sum(mark in line for line in lines), lines[0].count(mark) if lines else 0))
    grid = Grid(path.stem.replace("_", " ").replace("-", " "), path.name)
    try:
        for number, row in enumerate(csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True), 1):
            _add(grid, number, row, path)
    except csv.Error as error:
        raise refused(path, f"is not a CSV file: {error}", "save it as CSV UTF-8") from None
    return grid


def _add(grid: Grid, number: int, row: list[str], path: Path) -> None:
    if number > MOST_ROWS:
        raise refused(path, f"goes on below row {MOST_ROWS:,}", "delete the rows below the data")
    if len(row) > MOST_COLUMNS and any(cell.strip() for cell in row[MOST_COLUMNS:]):
        raise refused(path, f"goes on beyond column {MOST_COLUMNS}", "delete what is there")
    cells = [_raw(cell) for cell in row[:MOST_COLUMNS]]
    if any(not blank(cell) for cell in cells):
        grid.rows.append((number, cells))


def _raw(cell: str) -> Raw:
    if len(cell) > LONGEST_CELL:
        return Bad("is too long a text", "shorten it")
    if cell[:1] == "'" and cell[1:2] and cell[1] in _MARKS:
        return cell[1:]
    return cell


def csv_files(sheets: Sequence[Filled], units: System | None) -> Iterator[tuple[str, str]]:
    """Name and text of the CSV file of each sheet that holds anything."""
    for sheet in sheets:
        if sheet.rows:
            heads = [heading.headed(units) for heading in sheet.headings]
            yield f"{sheet.layout.name.replace(' ', '-')}.csv", csv_text([heads, *map(list, sheet.rows)])


def csv_text(rows: Sequence[Sequence[Raw]]) -> str:
    """Rows as CSV text; what a spreadsheet would take for a formula gets an apostrophe before it."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for row in rows:
        writer.writerow([_written(value) for value in row])
    return out.getvalue()


def _written(value: Raw) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return format(value, ".15g")
    if isinstance(value, date):
        return value.isoformat()
    text = str(value)
    return f"'{text}" if text[:1] and text[0] in _MARKS else text
