"""Which files an answer rests on, whether they have changed, and what is kept for as long as they have not."""

from __future__ import annotations

import time
from collections.abc import Callable, Hashable, Iterable
from datetime import date
from pathlib import Path
from typing import Generic, TypeVar

Signature = tuple[tuple[str, int, int, int], ...]


def signature(paths: Iterable[str]) -> Signature:
    """What changes when any of the files does: for each its time in ns, size and inode; zeros where it is gone.

    A folder of CSV files is its files.
    """
    named = map(Path, sorted(set(paths)))
    return tuple(_one(file) for path in named for file in (sorted(path.glob("*.csv")) if path.is_dir() else [path]))


def outside(paths: Iterable[str], folder: str) -> tuple[str, ...]:
    """The paths that do not lie below a folder once links are followed."""
    root = Path(folder).resolve()
    return tuple(path for path in paths if not Path(path).resolve().is_relative_to(root))


def _one(path: Path) -> tuple[str, int, int, int]:
    try:
        seen = path.stat()
    except OSError:
        return str(path), 0, 0, 0
    return str(path), seen.st_mtime_ns, seen.st_size, seen.st_ino


Made = TypeVar("Made")
SETTLED = 1_000_000_000
"""Nanoseconds: of a file that was changed so shortly before it was read, nobody knows which state was read."""


class Remembered(Generic[Made]):
    """The last things made, by what they were made for and the day."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._held: dict[Hashable, tuple[Signature, tuple[str, ...], Made]] = {}

    def made(self, key: Hashable, make: Callable[[], Made], files: Callable[[Made], Iterable[str]]) -> Made:
        """What was made for a key, or is made now; ``files`` says what it rests on: what rests on none is not kept."""
        key = (key, date.today())
        held = self._held.pop(key, None)
        if held is not None and signature(held[1]) == held[0]:
            self._held[key] = held  # the last asked is the last to go
            return held[2]
        begun = time.time_ns()
        made = make()
        rests = tuple(files(made))
        seen = signature(rests)
        if seen and all(0 < changed < begun - SETTLED for _, changed, _, _ in seen):
            self._held[key] = (seen, rests, made)
            while len(self._held) > self._most:
                del self._held[next(iter(self._held))]
        return made
