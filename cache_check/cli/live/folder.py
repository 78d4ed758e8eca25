"""Which files an answer rests on, whether they lie within the opened folder, and whether they have changed."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

Signature = tuple[tuple[str, int, int, int], ...]


def signature(paths: Iterable[str]) -> Signature:
    """What changes when any of the files does: for each its time in ns, size and inode; zeros where it is gone.

    A folder of CSV files is its files.
    """
    return tuple(_one(file) for path in sorted(set(paths)) for file in _files(Path(path)))


def outside(paths: Iterable[str], folder: str) -> tuple[str, ...]:
    """The paths that do not lie below a folder once links are followed."""
    root = Path(folder).resolve()
    return tuple(path for path in paths if not Path(path).resolve().is_relative_to(root))


def _files(path: Path) -> list[Path]:
    return sorted(path.glob("*.csv")) if path.is_dir() else [path]


def _one(path: Path) -> tuple[str, int, int, int]:
    try:
        seen = path.stat()
    except OSError:
        return str(path), 0, 0, 0
    return str(path), seen.st_mtime_ns, seen.st_size, seen.st_ino
