"""Tables where a file of YAML may stand: which paths are tables, and what they say."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from cache_check.files.place import Page


WORKBOOKS = (".xlsx", ".xlsm", ".xltx", ".xltm", ".xls", ".xlsb", ".ods", ".fods")
"""Suffixes of workbooks; those that cannot be read are refused in words that say so."""


def is_table(path: Path) -> bool:
    """Whether a path is a workbook, by its suffix, or a folder."""
    return path.suffix.casefold() in WORKBOOKS or path.is_dir()


def load(path: Path, kind: str) -> tuple[dict[str, Any], Page]:
    """What a workbook or folder of CSV files says as one kind of file; like ``cache_check.files.text.load``.

    InputError where it cannot be read at all; mistakes in its cells are left on the page.
    """
    from cache_check.files.workbook.tables import data_of

    if path.is_dir():
        from cache_check.files.csv_folder import read_grids as read_folder

        grids, digest = read_folder(path)
    else:
        from cache_check.files.workbook.xlsx_in import read_grids

        grids, digest = read_grids(path)
    return data_of(grids, str(path), digest, kind)


def digest(path: Path) -> str:
    """The SHA-256 of a file; of a folder, over the names and bytes of its CSV files."""
    if not path.is_dir():
        return sha256(path.read_bytes()).hexdigest()
    from cache_check.files.csv_folder import read_grids as read_folder

    return read_folder(path)[1]
