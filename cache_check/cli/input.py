"""Reads what a command names: every mistake of every file at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cache_check.errors import AskError, InputError, Mistake

if TYPE_CHECKING:
    from fractions import Fraction

    from cache_check.api import WhatIf
    from cache_check.model.cache import Cache, Source
    from cache_check.model.need import Needs
    from cache_check.model.result import RulesResult
    from cache_check.model.rule import RuleBook
    from cache_check.model.situation import Situation
    from cache_check.units import System


def caches(paths: Sequence[Path], book: RuleBook) -> list[Cache]:
    """The caches of several files.

    Raises:
        InputError: the mistakes of all the files together.
    """
    from cache_check.files.read import read_cache

    read: list[Cache] = []
    mistakes: list[Mistake] = []
    for path in paths:
        try:
            read.append(read_cache(path, book))
        except InputError as error:
            mistakes += error.mistakes
    if mistakes:
        raise InputError(mistakes)
    return read


def one_cache(paths: Sequence[Path], book: RuleBook, pool: bool) -> Cache:
    """The one cache that is named, or several taken as one.

    Raises:
        AskError: several are named and nobody said that they are to be taken as one.
        InputError: the mistakes of all the files together.
    """
    if len(paths) > 1 and not pool:
        raise AskError(f"{len(paths)} caches are named; name one, or take them as one with --pool")
    read = caches(paths, book)
    if not pool:
        return read[0]
    from cache_check.files.read import pool as pooled

    return pooled(read)


def needs(path: Path | None, skip: Sequence[str] = ()) -> Needs | None:
    """The needs of a file, without the scenes that are to be left out; None where no file is named.

    Raises:
        AskError: a scene to be left out is not there.
        InputError: the mistakes of the file.
    """
    from cache_check.files.read import read_needs

    read = read_needs(path) if path else None
    if not skip:
        return read
    if read is None:
        raise AskError("--skip leaves scenes of a needs file out, and none is named; give --needs FILE")
    out = {nearest(name, [scene.id for scene in read.scenes], "scene") for name in skip}
    return read.changed(scenes=tuple(scene for scene in read.scenes if scene.id not in out))


def parted(files: Sequence[Path]) -> tuple[list[Path], Path | None]:
    """The cache files among several, and the situation file if one is among them.

    Raises:
        AskError: there are two situations, or no cache.
    """
    found = [path for path in files if _is_situation(path)]
    if len(found) > 1:
        raise AskError(f"{found[0]} and {found[1]} are both situations; ask of one at a time")
    rest = [path for path in files if path not in found]
    if not rest:
        raise AskError(f"{found[0]} is a situation; name the cache file before it")
    return rest, found[0] if found else None


def _is_situation(path: Path) -> bool:
    """Whether a file says that it is a situation; what cannot be read is left to the reader of caches."""
    from cache_check.files import text

    if path.suffix.lower() not in (".yaml", ".yml"):
        return False
    try:
        data, _ = text.load(path)
    except InputError:
        return False
    return isinstance(data, dict) and "situation" in data


def situation(path: Path | None, entries: dict[str, Any], units: System) -> Situation:
    """A situation from a file, from options, or from both.

    Raises:
        AskError: neither says anything.
        InputError: every mistake.
    """
    from cache_check.files.situation import read_situation, situation_of

    if path is not None:
        return read_situation(path, entries, units)
    if not entries:
        raise AskError(
            "no situation is given; name a situation file after the cache, or write at least --contact-height and "
            "--angle (cache-check new --kind situation writes a starter)"
        )
    return situation_of(entries, units)


def sources(paths: Sequence[Path]) -> list[Source]:
    """Files that were read beside the caches, with the digest of their bytes."""
    from cache_check.files.workbook.read import digest
    from cache_check.model.cache import Source

    return [Source(path=str(path), sha256=digest(path)) for path in paths]


def length(text: str, cache: Cache, suppose: WhatIf) -> int:
    """A length in nanometres; a bare number is in the units of the page.

    Raises:
        AskError: it is not a length above zero.
    """
    from cache_check.units import QuantityError, length_nm

    try:
        found = length_nm(text, suppose.units or cache.units)
    except QuantityError as error:
        raise AskError(str(error)) from None
    if found <= 0:
        raise AskError(f"{text!r} is not a length above zero")
    return found


def load(text: str, cache: Cache, suppose: WhatIf) -> Fraction:
    """A load in newtons; a bare number is in the units of the page.

    Raises:
        AskError: it is not a load above zero.
    """
    from cache_check.units import QuantityError, force_n

    try:
        found = force_n(text, suppose.units or cache.units)
    except QuantityError as error:
        raise AskError(str(error)) from None
    if found <= 0:
        raise AskError(f"{text!r} is not a load above zero")
    return found


def nearest(name: str, known: Iterable[str], noun: str) -> str:
    """The name itself if it is known, whatever its case.

    Raises:
        AskError: it is not; the sentence offers the nearest.
    """
    by_fold = {one.casefold(): one for one in known}
    if name.casefold() in by_fold:
        return by_fold[name.casefold()]
    near = get_close_matches(name.casefold(), by_fold, n=1)
    hint = f"did you mean {by_fold[near[0]]!r}?" if near else f"there are {', '.join(by_fold.values())}"
    raise AskError(f"no {noun} {name!r}; {hint}")


def only(result: RulesResult, name: str) -> RulesResult:
    """The answer about one rule.

    Raises:
        AskError: there is no such rule.
    """
    rule = nearest(name, [one.id for one in result.rules], "rule")
    return replace(
        result,
        rules=tuple(one for one in result.rules if one.id == rule),
        settings=tuple(one for one in result.settings if one.rule == rule),
    )
