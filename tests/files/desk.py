"""A folder to write files in, and what the readers say of them; the samples of the county."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from cache_check.errors import InputError
from cache_check.files.cache import read_cache
from cache_check.files.needs import read_needs
from cache_check.files.prices import read_prices
from cache_check.files.rules import read_rules

SAMPLES = Path(__file__).parents[2] / "sample_caches" / "quillfen"


class Desk:
    """A folder with files, and the refusals that reading them ends in."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def put(self, text: str | bytes, name: str = "x.yaml") -> Path:
        """Write a file and return its path."""
        path = self.folder / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    def says(self, text: str | bytes, read: Callable[[Path], object] = read_cache, name: str = "x.yaml") -> str:
        """What a reader says of a text that it refuses, with the folder's path left out."""
        path = self.put(text, name)
        with pytest.raises(InputError) as refused:
            read(path)
        return str(refused.value).replace(f"{self.folder}/", "")

    def lines(self, text: str | bytes, read: Callable[[Path], object] = read_cache) -> list[str]:
        """Only the first line of each mistake."""
        return [line for line in self.says(text, read).split("\n") if not line.startswith("  ")]


def read_policy(path: Path) -> object:
    """Read one policy file."""
    return read_rules([path])


__all__ = ["SAMPLES", "Desk", "read_cache", "read_needs", "read_policy", "read_prices"]
