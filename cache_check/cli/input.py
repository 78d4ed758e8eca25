"""Reads what a command names, or the county file of the folder or of one above has: every mistake of them at once.

A file named by its path stands for itself, and nothing of the county is added to it.  Options on the line win.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import click

from cache_check.errors import AskError, InputError, Mistake, did_you_mean
from cache_check.frozen import dataclass

if TYPE_CHECKING:
    from cache_check.api.base import WhatIf
    from cache_check.cli.options import Request
    from cache_check.files.cache import Kept
    from cache_check.files.pool import CountyPaths
    from cache_check.model.cache import Cache, Source
    from cache_check.model.need import Needs
    from cache_check.model.purchase import Prices
    from cache_check.model.rule import RuleBook
    from cache_check.model.situation import Situation
    from cache_check.units import System

_Read = TypeVar("_Read")


def settled(asked: Request, *, needs: bool = True, prices: bool = True) -> Request:
    """What is asked, with the county's policies, and its needs and quotes where none are named.

    Raises as ``rigs``; InputError too where another rig of the county, which is not asked about, has a serial of these.
    """
    caches, county = rigs(asked.caches)
    if county is None:
        return replace(asked, caches=caches)
    if not asked.others:  # else what is asked compares the serials itself
        _apart(caches, county)
    return replace(
        asked, caches=caches, policies=(*county.policies, *asked.policies),  # what stands on the line is later and wins
        needs=asked.needs or (county.needs if needs else None),
        prices=asked.prices or (county.prices if prices else ()),
    )  # fmt: skip


def rigs(named: Sequence[Path]) -> tuple[tuple[Path, ...], CountyPaths | None]:
    """The caches meant by these words, paths or rig names of the county, with it; with none named, all its rigs.

    Raises AskError: a word is no file and no rig, or nothing is named and no county found; InputError: the county's.
    """
    county = None if named and all(one.exists() or one.suffix for one in named) else _county()
    if county is None and not named:
        raise AskError("no cache is named; name a cache file, or stand by a county.yaml (cache-check new --county)")
    if county is not None:
        _told(county)
    paths = tuple(_rig(one, county) if county else one for one in named) or (county.rigs if county else ())
    whole = [path.resolve() for path in paths]
    if twice := [path for place, path in enumerate(paths) if whole[place] in whole[:place]]:
        raise AskError(f"{twice[0]} is named twice; name each rig once")
    return paths, county


def own(path: Path) -> frozenset[tuple[str, str]]:
    """What no other book may have: the rig and the serials of a file, as they are compared; none where it is no cache.

    Each stands behind what it is, as ``ONCE`` has it.
    """
    from cache_check.files.reading import open_file
    from cache_check.model.cache import folded

    try:
        rig, parts = (reading := open_file(path, "cache")).data.get("cache"), reading.group("parts").values()
    except Exception:  # its row will say what is wrong
        return frozenset()
    lists = [part.get("items") for part in parts if isinstance(part, dict)]
    items = (one for each in lists if isinstance(each, list) for one in each if isinstance(one, dict))
    serials = (("serial", one.get("serial")) for one in items)
    return frozenset((what, folded(str(name))) for what, name in (("rig", rig), *serials) if name)


def _apart(caches: Sequence[Path], county: CountyPaths) -> None:
    from cache_check.files.pool import ONCE

    named = {path.resolve() for path in caches}
    others = [path for path in county.rigs if path.resolve() not in named]
    first = {one: path for path in caches if others for one in own(path)}
    both = ((path, *one) for path in others if first for one in sorted(own(path) & first.keys()))
    says = ((path, f"{what} {name!r} is in {first[what, name]} too", ONCE[what]) for path, what, name in both)
    if mistakes := [Mistake(str(path), too, right) for path, too, right in says]:
        raise InputError(mistakes)


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
    beside = [one.name for one in (county.needs, *county.prices, *county.policies) if one is not None]
    also = f"; with {', '.join(beside)}" if beside else ""
    rigs = ", ".join(path.stem for path in county.rigs)
    click.echo(f"cache-check: {county.title}, from {county.path}: {rigs}{also}", err=True)


def _rig(word: Path, county: CountyPaths) -> Path:
    """The file of a rig by its name, id or file, whatever its case and marks."""
    if word.exists():
        return word
    names = [(name, path) for path in county.rigs for name in _names(path)]
    found = list(dict.fromkeys(path for name, path in names if _plain(name) == _plain(str(word))))
    if len(found) > 1:
        raise AskError(f"{str(word)!r} is the name of {' and of '.join(map(str, found))}; name one of the files")
    if found:
        return found[0]
    hint = did_you_mean(str(word), dict(names)) or f"its rigs are {', '.join(path.stem for path in county.rigs)}"
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


def caches(paths: Sequence[Path], book: RuleBook, kept: Kept | None = None) -> list[Cache]:
    """The caches of files; ``kept`` are families already read.  Raises InputError: the mistakes of all the files."""
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
        """The one cache named, or several taken as one.  Raises AskError: several, and nobody said so of them."""
        if len(self.caches) > 1 and not self.asked.pool:
            named = ", ".join(cache.title for cache in self.caches)
            raise AskError(f"{len(self.caches)} caches are named ({named}); name one, or take them as one with --pool")
        return self.rigs[0]


def everything(
    asked: Request, *, county_needs: bool = True, county_prices: bool = False,
    situation: Callable[[System], Situation] | None = None,
) -> Given:  # fmt: skip
    """Read all that is named, with what the county adds where rigs are named by it.  Raises as ``all_of`` does."""
    return all_of(settled(asked, needs=county_needs, prices=county_prices), situation)


def all_of(asked: Request, situation: Callable[[System], Situation] | None = None) -> Given:
    """Read all that is named, and nothing else.  Raises AskError: no such rig or move; InputError: every mistake."""
    from cache_check.files.rules import read_rules

    mistakes: list[Mistake] = []
    book = _tried(asked.book, mistakes) or read_rules()
    read = _tried(lambda: caches(asked.caches, book), mistakes) or []
    scenes = _tried(partial(_scenes, asked), mistakes)
    quotes: list[Prices] = []
    if asked.prices:
        from cache_check.files.prices import read_prices

        quotes = [one for path in asked.prices if (one := _tried(partial(read_prices, path), mistakes))]
    units = asked.units or (read[0].units if read else "us")
    here_is = _tried(partial(situation, units), mistakes) if situation else None
    others = rigs(asked.others)[0] if asked.others else ()
    more = _tried(lambda: caches(others, book), mistakes) or []
    if len(read) + len(more) > 1:
        from cache_check.files.pool import check_apart, told_apart

        named = {path.resolve() for path in asked.caches}  # an audit tells of serials that another book has, too
        rigs_of = [
            one.changed(stock=()) for path, one in zip(others, more, strict=False) if path.resolve() not in named
        ]
        _tried(lambda: check_apart([*read, *rigs_of]), mistakes)
        named_so = told_apart([*read, *more])
        read, more = named_so[: len(read)], named_so[len(read) :]
    if mistakes:
        raise InputError(mistakes)
    read, moves = _moving(read, asked, book) if asked.moves else (read, ())
    if quotes:
        _strange([*read, *more], quotes)
    beside = sources([asked.needs, *asked.prices, *others, *asked.policies])
    return Given(asked, book, read, scenes, quotes, more, beside, here_is, moves)


def _strange(read: Sequence[Cache], quotes: Sequence[Prices]) -> None:
    """Ask about each priced name that is no part of these caches and nearly one; another number is another part."""
    from difflib import get_close_matches

    known = {name for one in read for name in one.catalogue.short_names.values()}
    for quote in quotes:
        for place, name in zip(quote.places, (price.part for price in quote.prices), strict=True):
            short = name.rpartition("/")[2]
            near = get_close_matches(short, known, n=1, cutoff=0.8)
            numbers = ["".join(filter(str.isdecimal, one)) for one in (short, *near)]
            if short not in known and near and numbers[0] == numbers[1]:
                click.echo(f"cache-check: {place}: {name!r} is no part here; did you mean {near[0]!r}?", err=True)


def _scenes(asked: Request) -> Needs | None:
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


def sources(paths: Iterable[Path | None]) -> list[Source]:
    """Files that were read beside the caches, those that were named, with the digest of their bytes."""
    from cache_check.files.reading import digest
    from cache_check.model.cache import Source

    return [Source.model_construct(path=str(path), sha256=digest(path)) for path in paths if path is not None]


def nearest(name: str, known: Iterable[str], noun: str) -> str:
    """The name itself if it is known, whatever its case.  Raises AskError: it is not; this offers the nearest."""
    by_fold = {one.casefold(): one for one in known}
    if name.casefold() in by_fold:
        return by_fold[name.casefold()]
    there = f"there are {', '.join(by_fold.values())}"
    raise AskError(f"no {noun} {name!r}; {did_you_mean(name, by_fold.values()) or there}")


def _moving(
    read: list[Cache], asked: Request, book: RuleBook
) -> tuple[list[Cache], tuple[tuple[str, frozenset[str]], ...]]:
    """The caches after what is moved between them, and that in words with its rigs.  Raises AskError: it cannot be."""
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
