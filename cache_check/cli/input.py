"""Reads what a command names: every mistake of every file at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

from cache_check.errors import AskError, InputError, Mistake

if TYPE_CHECKING:
    from fractions import Fraction

    from cache_check.api import WhatIf
    from cache_check.model.cache import Cache, Source
    from cache_check.model.result import RulesResult
    from cache_check.model.rule import RuleBook


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
