"""County files: the rigs of a company, and what all of them are asked by; commands then take rig names."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pydantic import Field

from cache_check.files.reading import Reading, open_file
from cache_check.frozen import dataclass
from cache_check.model.record import Name, Record, Text

NAME = "county.yaml"
"""What a county file is called, so that commands find it in the folder or above."""


class CountyFile(Record):
    """A county file as written; every name is that of a file, from the folder of the county file."""

    county: Name
    rigs: tuple[Name, ...] = Field(min_length=1)
    needs: Text = ""
    prices: tuple[Name, ...] = ()
    policies: tuple[Name, ...] = ()
    record: Text = ""


@dataclass(frozen=True)
class CountyPaths:
    """A county file with its paths; ``needs`` and ``record`` None where none is named."""

    path: Path
    title: str
    rigs: tuple[Path, ...]
    needs: Path | None
    prices: tuple[Path, ...]
    policies: tuple[Path, ...]
    record: Path | None


def read_county(path: Path) -> CountyPaths:
    """Read a county file; its mistakes, and names of what is not there, are one InputError (a record may be begun)."""
    reading = open_file(path, "county")
    for key in ("rigs", "prices", "policies", "needs"):
        _there(reading, key, path.parent)
    file = reading.sound(reading.record(CountyFile, dict(reading.data)))

    def beside(names: tuple[str, ...]) -> tuple[Path, ...]:
        return tuple(path.parent / name for name in names)

    return CountyPaths(
        path, file.county, beside(file.rigs), path.parent / file.needs if file.needs else None,
        beside(file.prices), beside(file.policies), path.parent / file.record if file.record else None,
    )  # fmt: skip


def _there(reading: Reading, key: str, folder: Path) -> None:
    """Note each file of an entry that is not there; one name may stand without a list."""
    written: Any = reading.data.get(key)
    if isinstance(written, str) and key != "needs":
        written = reading.data[key] = [written]
    for number, name in enumerate(written if isinstance(written, list) else [written]):
        if isinstance(name, str) and name and not (folder / name).exists():
            route = (key, number) if isinstance(written, list) else (key,)
            reading.fault(route, f"{name!r} is not there", f"name a file in {folder} or below")


def find_county(start: Path) -> Path | None:
    """The county file of a folder, or of the nearest above it."""
    return next((one / NAME for one in (start, *start.parents) if (one / NAME).is_file()), None)
