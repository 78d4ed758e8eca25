"""Reads what a command names: every mistake of every file at once."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, TypeVar

import click

from cache_check.cli.home import rigs, settled
from cache_check.errors import AskError, InputError, Mistake, NotReadError, did_you_mean
from cache_check.frozen import dataclass

if TYPE_CHECKING:
    from cache_check.api.base import WhatIf
    from cache_check.cli.options import Request
    from cache_check.files.cache import Kept
    from cache_check.model.cache import Cache, Source
    from cache_check.model.need import Needs
    from cache_check.model.purchase import Prices
    from cache_check.model.rule import RuleBook
    from cache_check.model.situation import Situation
    from cache_check.units import System


_Read = TypeVar("_Read")


def caches(paths: Sequence[Path], book: RuleBook, kept: Kept | None = None) -> list[Cache]:
    """The caches of several files; ``kept`` are families already read, else each is read once for all of these.

    Raises InputError: the mistakes of all the files together.
    """
    from cache_check.files.cache import read_cache

    mistakes: list[Mistake] = []
    kept = {} if kept is None else kept
    read = [_tried(partial(read_cache, path, book, kept), mistakes) for path in paths]
    if mistakes:
        raise InputError(mistakes)
    return [one for one in read if one is not None]


def _tried(read: Callable[[], _Read], mistakes: list[Mistake]) -> _Read | None:
    """What is read, or None where it has mistakes, which are gathered, each once."""
    try:
        return read()
    except InputError as error:
        mistakes += [one for one in error.mistakes if one not in mistakes]
        return None


@dataclass(frozen=True)
class Given:
    """All that a command was given, read: rules, caches, needs, quotes, other rigs, and the files beside the caches."""

    asked: Request
    book: RuleBook
    caches: list[Cache]
    needs: Needs | None
    quotes: list[Prices]
    others: list[Cache]
    beside: list[Source]
    situation: Situation | None = None
    moved: tuple[tuple[str, frozenset[str]], ...] = ()

    @property
    def suppose(self) -> WhatIf:
        """What is supposed, of each of the caches what is its own."""
        from cache_check.api.base import known

        several = self.caches if len(self.caches) > 1 else ()
        among = tuple((rig, known(one)) for one in several for rig in one.rigs)
        return replace(self.asked.suppose, among=among, moved=self.moved)

    @property
    def rigs(self) -> list[Cache]:
        """The caches, or all of them as one."""
        if not self.asked.pool:
            return self.caches
        from cache_check.files.pool import pool as pooled

        return [pooled(self.caches)]

    @property
    def one(self) -> Cache:
        """The one cache that is named, or several taken as one.

        Raises AskError: there are several and nobody said that they are to be taken as one.
        """
        if len(self.caches) > 1 and not self.asked.pool:
            named = ", ".join(cache.title for cache in self.caches)
            raise AskError(f"{len(self.caches)} caches are named ({named}); name one, or take them as one with --pool")
        return self.rigs[0]


def everything(
    asked: Request, *, county_needs: bool = True, county_prices: bool = False,
    situation: Callable[[System], Situation] | None = None,
) -> Given:  # fmt: skip
    """Read all that is named, with what the county adds where rigs are named by it.

    Raises AskError: a rig is named that there is not; InputError: the mistakes of all the files together.
    """
    return all_of(settled(asked, needs=county_needs, prices=county_prices), situation)


def all_of(asked: Request, situation: Callable[[System], Situation] | None = None) -> Given:
    """Read all that is named, and nothing else.

    Raises:
        AskError: a rig is named that there is not, or something is to be moved that cannot be.
        InputError: the mistakes of all the files together.
    """
    from cache_check.files.rules import read_rules

    mistakes: list[Mistake] = []
    book = _tried(asked.book, mistakes) or read_rules()
    read = _tried(lambda: caches(asked.caches, book), mistakes) or []
    if len(read) > 1:
        from cache_check.files.pool import check_serials

        _tried(lambda: check_serials(read), mistakes)
    scenes = _tried(partial(_scenes, asked), mistakes)
    quotes: list[Prices] = []
    if asked.prices:
        from cache_check.files.prices import read_prices

        quotes = [one for path in asked.prices if (one := _tried(partial(read_prices, path), mistakes))]
    units = asked.units or (read[0].units if read else "us")
    here_is = _tried(partial(situation, units), mistakes) if situation else None
    more = (_tried(lambda: caches(rigs(asked.others)[0], book), mistakes) or []) if asked.others else []
    if mistakes:
        raise InputError(mistakes)
    read, moves = _moving(read, asked, book) if asked.moves else (read, ())
    if quotes:
        _strange([*read, *more], quotes)
    beside = sources([asked.needs, *asked.prices, *asked.others, *asked.policies])
    return Given(asked, book, read, scenes, quotes, more, beside, here_is, moves)


def _strange(read: Sequence[Cache], quotes: Sequence[Prices]) -> None:
    """Ask about each priced name that is no part of these caches and nearly one; another number is another part."""
    from difflib import get_close_matches

    known = {name for one in read for name in one.catalogue.short_names.values()}
    for quote in quotes:
        for place, name in zip(quote.places, (price.part for price in quote.prices), strict=True):
            short = name.rpartition("/")[2]
            near = get_close_matches(short, known, n=1, cutoff=0.8)
            if short not in known and near and _numbers(near[0]) == _numbers(short):
                click.echo(f"cache-check: {place}: {name!r} is no part here; did you mean {near[0]!r}?", err=True)


def _numbers(name: str) -> str:
    return "".join(letter for letter in name if letter.isdecimal())


def _scenes(asked: Request) -> Needs | None:
    """The needs that are asked, but for the scenes that are left out."""
    if asked.needs is None:
        return without(None, asked.skip)
    from cache_check.files.needs import read_needs

    return without(read_needs(asked.needs), asked.skip)


def without(read: Needs | None, skip: Sequence[str]) -> Needs | None:
    """Needs without the scenes that are to be left out.  Raises AskError: such a scene is not there, or no needs."""
    if not skip:
        return read
    if read is None:
        raise AskError("--skip leaves scenes of a needs file out, and none is named; give --needs FILE")
    out = {nearest(name, [scene.id for scene in read.scenes], "scene") for name in skip}
    return read.changed(scenes=tuple(scene for scene in read.scenes if scene.id not in out))


def parted(files: Sequence[Path]) -> tuple[list[Path], Path | None]:
    """The cache files among several, and the situation file if one is among them.

    Raises AskError: there are two situations.
    """
    from cache_check.files import text

    found = []
    for path in files:
        with suppress(InputError):  # what cannot be read is left to the reader of caches
            data = text.load(path)[0] if path.suffix.lower() in (".yaml", ".yml") else None
            found += [path] if isinstance(data, dict) and "situation" in data else []
    if len(found) > 1:
        raise AskError(f"{found[0]} and {found[1]} are both situations; ask of one at a time")
    return [path for path in files if path not in found], next(iter(found), None)


def situation(path: Path | None, entries: dict[str, Any], units: System) -> Situation:
    """A situation from a file, from options, or from both.

    Raises AskError: neither says anything; InputError: every mistake.
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


def sources(paths: Iterable[Path | None]) -> list[Source]:
    """Files that were read beside the caches, those that were named, with the digest of their bytes."""
    from cache_check.files.reading import digest
    from cache_check.model.cache import Source

    return [Source.model_construct(path=str(path), sha256=digest(path)) for path in paths if path is not None]


def asked_at(kind: Literal["length", "load"], text: str, cache: Cache, suppose: WhatIf) -> Any:
    """A length in nanometres or a load in newtons; a bare number is in the units of the page.

    Raises AskError: it is not one above zero.
    """
    from cache_check.units import force_n, length_nm

    try:
        found = (length_nm if kind == "length" else force_n)(text, suppose.units or cache.units)
    except NotReadError as error:
        raise AskError(str(error)) from None
    if found <= 0:
        raise AskError(f"{text!r} is not a {kind} above zero")
    return found


def nearest(name: str, known: Iterable[str], noun: str) -> str:
    """The name itself if it is known, whatever its case.

    Raises AskError: it is not; the sentence offers the nearest.
    """
    by_fold = {one.casefold(): one for one in known}
    if name.casefold() in by_fold:
        return by_fold[name.casefold()]
    there = f"there are {', '.join(by_fold.values())}"
    raise AskError(f"no {noun} {name!r}; {did_you_mean(name, by_fold.values()) or there}")


def _moving(
    read: list[Cache], asked: Request, book: RuleBook
) -> tuple[list[Cache], tuple[tuple[str, frozenset[str]], ...]]:
    """The caches with what is supposed moved between them, and that in words with the rigs that it concerns.

    Raises AskError: it cannot be moved, or a rig that gives or takes is not named.
    """
    from cache_check.api.base import moved

    if len(read) < 2:
        raise AskError("--move is between two rigs, and one is named; name both")
    stems = [[Path(file.path).stem for file in one.sources[:1]] for one in read]
    known = {name: n for n, one in enumerate(read) for name in (one.title, *one.rigs, *stems[n])}
    found, moves = [], []
    for part, number, *ends in asked.moves:
        giver, taker = (known[nearest(end, known, "rig")] for end in ends)
        if giver == taker:
            raise AskError(f"--move of {part} goes from {read[giver].title} to itself; name two rigs")
        said = f"{number} {part} moved from {read[giver].title} to {read[taker].title}"
        found.append((said, frozenset((*read[giver].rigs, *read[taker].rigs))))
        moves.append((part, number, giver, taker))
    return moved(read, moves, book, asked.suppose), tuple(found)
