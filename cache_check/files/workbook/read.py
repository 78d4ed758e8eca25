"""Tables where a file of YAML may stand: which paths are tables, and what they say."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from cache_check.files.place import Page
    from cache_check.files.workbook.grid import Grid

WORKBOOKS = (".xlsx", ".xlsm", ".xltx", ".xltm", ".xls", ".xlsb", ".ods", ".fods")
"""Suffixes of workbooks; those that cannot be read are refused in words that say so."""


def is_table(path: Path) -> bool:
    """Whether a path is a workbook, by its suffix, or a folder."""
    return path.suffix.casefold() in WORKBOOKS or path.is_dir()


def grids(path: Path) -> tuple[list[Grid], str]:
    """The sheets of a workbook or folder of CSV files as cells, and the SHA-256 of it; InputError where it is none."""
    if path.is_dir():
        from cache_check.files.csv_folder import read_grids as read_folder

        return read_folder(path)
    from cache_check.files.workbook.xlsx_in import read_grids

    return read_grids(path)


def load(path: Path, kind: str) -> tuple[dict[str, Any], Page]:
    """What a workbook or folder of CSV files says as one kind of file; like ``cache_check.files.text.load``.

    InputError where it cannot be read at all; mistakes in its cells are left on the page.
    """
    from cache_check.files.workbook.tables import data_of

    found, digest = grids(path)
    return data_of(found, str(path), digest, kind)


def digest(path: Path) -> str:
    """The SHA-256 of a file; of a folder, over the names and bytes of its CSV files."""
    return grids(path)[1] if path.is_dir() else sha256(path.read_bytes()).hexdigest()
