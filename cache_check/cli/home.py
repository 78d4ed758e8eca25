"""Where a command finds its rigs: the files that it names, else the county file of the folder or of one above.

A file named by its path stands for itself, and nothing of the county is added to it.  Options on the line win.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cache_check.errors import AskError, InputError, did_you_mean

if TYPE_CHECKING:
    from cache_check.cli.options import Request
    from cache_check.files.pool import CountyPaths


def settled(asked: Request, *, needs: bool = True, prices: bool = True) -> Request:
    """What is asked of which caches, by the policies of the county too, of its needs and quotes where none are named.

    What stands on the line comes later, so it wins.  Raises as ``rigs`` does.
    """
    caches, county = rigs(asked.caches)
    if county is None:
        return replace(asked, caches=caches)
    return replace(
        asked, caches=caches, policies=(*county.policies, *asked.policies),
        needs=asked.needs or (county.needs if needs else None),
        prices=asked.prices or (county.prices if prices else ()),
    )  # fmt: skip


def rigs(named: Sequence[Path]) -> tuple[tuple[Path, ...], CountyPaths | None]:
    """The caches meant by these words, paths or rig names of the county, with it; with none named, all its rigs.

    Raises:
        AskError: a word is neither a file nor a rig, or none is named and there is no county file.
        InputError: the county file has mistakes.
    """
    files = bool(named) and all(one.exists() or one.suffix for one in named)
    county = None if files else _county()
    if county is None and not named:
        raise AskError("no cache is named; name a cache file, or stand by a county.yaml (cache-check new --county)")
    if county is None:
        return tuple(named), None
    _told(county)
    return tuple(_rig(one, county) for one in named) or county.rigs, county


def record(named: Path | None) -> Path:
    """The record on the line, else the county's.  Raises AskError: neither names one."""
    if named is not None:
        return named
    county = _county()
    if county is None or county.record is None:
        raise AskError("no record is named; name the file that audit --record keeps, or write it in county.yaml")
    _told(county)
    return county.record


def _county() -> CountyPaths | None:
    from cache_check.files.pool import find_county, read_county

    path = find_county(Path.cwd())
    return read_county(path) if path else None


@cache
def _told(county: CountyPaths) -> None:
    """Say in one line what is taken from where."""
    beside = [one.name for one in (county.needs, *county.prices, *county.policies) if one is not None]
    also = f"; with {', '.join(beside)}" if beside else ""
    rigs = ", ".join(path.stem for path in county.rigs)
    click.echo(f"cache-check: {county.title}, from {county.path}: {rigs}{also}", err=True)


def _rig(word: Path, county: CountyPaths) -> Path:
    """The file of a rig by its name, id or file, whatever its case and marks."""
    if word.exists():
        return word
    names = {name: path for path in county.rigs for name in _names(path)}
    if found := {_plain(name): path for name, path in names.items()}.get(_plain(str(word))):
        return found
    hint = did_you_mean(str(word), names) or f"its rigs are {', '.join(path.stem for path in county.rigs)}"
    raise AskError(f"no rig {str(word)!r} in {county.path}; {hint}")


def _names(path: Path) -> list[str]:
    """What a rig may be called: its file, its id, its title; one that cannot be read keeps its file's name."""
    from cache_check.files.reading import open_file

    try:
        data = open_file(path, "cache").data
    except InputError:
        return [path.stem]
    return [path.stem, *(str(data[key]) for key in ("cache", "title") if data.get(key))]


def _plain(name: str) -> str:
    return "".join(letter for letter in name.casefold() if letter.isalnum())
