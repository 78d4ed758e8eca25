"""Cache files: the counted parts of one rig, where they are, what state they are in."""

from __future__ import annotations

import os
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from cache_check.errors import InputError, Mistake
from cache_check.files import catalogue
from cache_check.files.cache_file import CacheFile, cross_check
from cache_check.files.catalogue import FamilyPage, read_family
from cache_check.files.place import Route
from cache_check.files.reading import Reading, open_file
from cache_check.files.rules import read_rules
from cache_check.files.settings import SettingsReader
from cache_check.files.words import shown
from cache_check.model.cache import Cache, Stated, Stock
from cache_check.model.family import Catalogue
from cache_check.model.part import Part
from cache_check.model.rule import RuleBook

UNKNOWN = "unknown"
Kept = dict[Path, FamilyPage]
"""Family files by their path, read once for all the caches of one run."""

FAMILIES_FOLDER = "CACHE_CHECK_FAMILIES"
"""The variable that lets caches name families that lie elsewhere."""

MOST_TYPES = 2_000
"""More part types than this are in no cache and its families together; what is asked about each takes its time."""


@dataclass
class _Families:
    """The family files that a cache names, and what was wrong in them."""

    pages: list[FamilyPage] = field(default_factory=list)
    mistakes: list[Mistake] = field(default_factory=list)
    complete: bool = True

    @property
    def parts(self) -> dict[str, Part]:
        return {part.id: part for page in self.pages for part in page.parts}


def _read_families(reading: Reading, path: Path, book: RuleBook, kept: Kept) -> _Families:
    found = _Families()
    written = reading.data.get("families", [])
    for number, name in enumerate(written if isinstance(written, list) else ()):
        route, named = ("families", number), name.strip() if isinstance(name, str) else ""
        if not named:
            reading.fault(route, f"{shown(name)} is not the name of a file", "write it, as family-p.yaml")
        elif not may_name(path.parent, path.parent / named):
            right = f"put it there, or set {FAMILIES_FOLDER} to the folder in which families lie"
            reading.fault(route, f"{shown(named)} lies outside the folder of the cache", right)
        else:
            _read_one(reading, path.parent / named, route, book, found, kept)
    found.complete = isinstance(written, list) and len(found.pages) == len(written)
    return found


def may_name(folder: Path, family: Path) -> bool:
    """Whether a cache in a folder may name a family file: below its own folder, or the one that was asked for."""
    allowed = Path(os.environ.get(FAMILIES_FOLDER) or folder)
    try:
        return family.resolve().is_relative_to(allowed.resolve())
    except (OSError, ValueError):
        return True  # no name of a file: reading it says so


def _read_one(reading: Reading, path: Path, route: Route, book: RuleBook, found: _Families, kept: Kept) -> None:
    try:
        page = kept[path] = kept.get(path) or read_family(path, book)
    except InputError as error:
        if all(mistake.line == 0 for mistake in error.mistakes):
            for mistake in error.mistakes:
                reading.fault(route, f"{mistake.file}: {mistake.what}", mistake.right)
        found.mistakes.extend(mistake for mistake in error.mistakes if mistake.line)
        return
    if page.family.id in [known.family.id for known in found.pages]:
        reading.fault(route, f"family {page.family.id!r} is listed already", "list each family once")
        return
    found.pages.append(page)


def _stock(reading: Reading, rig: str, names: catalogue.Names) -> dict[str, Any]:
    """The counted parts as records to validate, by the key they are written under."""
    stock = {}
    ids: dict[str, str] = {}
    for name, entry in reading.group("parts").items():
        route = ("parts", name)
        part = names.resolve(reading, route, name)
        if part in ids:
            reading.fault(route, f"part {part!r} is counted already under {ids[part]!r}", "keep one entry for it")
        ids[part] = name
        if not isinstance(entry, dict):
            entry = {"count": entry}
        entry = catalogue.supplied(reading, route, entry, part=part, rig=rig)
        entry["count"] = None if entry.get("count") == UNKNOWN else entry.get("count")
        if isinstance(entry.get("items"), list):
            entry["items"] = [
                catalogue.supplied(reading, (*route, "items", n), one, part=part, rig=rig)
                for n, one in enumerate(entry["items"])
            ]
        stock[name] = entry
    return stock


def _entries(reading: Reading, rig: str, names: catalogue.Names) -> dict[str, Any]:
    """The whole file as records to validate."""
    data = catalogue.resolved(reading, rig, names)
    if isinstance(data.get("parts"), dict):
        data["parts"] = _stock(reading, rig, names)
    for key in ("compartments", "ready_sets"):
        if isinstance(data.get(key), dict):
            data[key] = {
                name: catalogue.supplied(reading, (key, name), one, id=name, rig=rig) for name, one in data[key].items()
            }
    return data


def _as_stated(line: Stock, file: CacheFile, parts: dict[str, Part]) -> Stock:
    """A line with what it, or else the whole cache, says of every piece that does not say it itself."""
    inspected, label, made = line.inspected or file.inspected, line.label or file.label, line.made or file.made
    ages = parts[line.part].kind == "strap"
    items = (
        item.changed(
            inspected=item.inspected or inspected, label=item.label or label,
            acquired=item.acquired or (made if ages else None),
        )
        for item in line.items
    )  # fmt: skip
    return line.changed(inspected=inspected, label=label, made=made if ages else None, items=tuple(items))


def _stated(file: CacheFile, rig: str) -> tuple[Stated, ...]:
    said = Stated(rig=rig, inspected=file.inspected, label=file.label, made=file.made)
    return (said,) if said != Stated(rig=rig) else ()


def read_cache(path: str | Path, book: RuleBook | None = None, kept: Kept | None = None) -> Cache:
    """Read a cache file and the family files that it names.

    Args:
        path: the cache file; names of families in it are relative to its folder.
        book: the rules against which settings in the files are checked; the program's own unless given.
        kept: sound family files that were read under this book, and are taken as they were; more are put in.

    Raises:
        InputError: every mistake of the file and of its family files, each with its place.
    """
    book = book or read_rules()
    reading = open_file(path, "cache")
    rig = catalogue.file_id(reading, "cache")
    families = _read_families(reading, Path(path), book, {} if kept is None else kept)
    names = catalogue.Names(families.parts, complete=families.complete)
    names.add(catalogue.part_ids(reading.group("types"), rig).values())
    data = _entries(reading, rig, names)
    types = catalogue.read_parts(reading, "types", rig, names, others=True)
    if (number := len(families.parts) + len(types)) > MOST_TYPES:
        reading.fault(("types",), f"{number:,} part types are too many", f"keep to {MOST_TYPES:,} or fewer")
    settings = SettingsReader(reading, book, f"cache {rig}", rig=rig).read("rules")
    file = reading.record(CacheFile, data)
    if file is not None:
        cross_check(reading, file, types, families.pages)
    if reading.page.mistakes or families.mistakes or file is None:
        raise InputError([*reading.in_order(), *families.mistakes])
    parts = families.parts | {part.id: part for part in types.values()}
    own = [catalogue.built_family(rig, file, file.joint_pin)] if types or file.connectors or file.mates else []
    # Every piece has been validated, so the whole is not validated again (that would cost a cold start).
    return Cache.model_construct(
        id=rig,
        title=file.title or rig,
        units=file.units,
        book_date=file.book_date,
        catalogue=Catalogue.model_construct(
            families=(*(page.family for page in families.pages), *own),
            parts=tuple(parts.values()),
        ),
        stock=tuple(_as_stated(line, file, parts) for line in (file.parts or {}).values()),
        compartments=tuple((file.compartments or {}).values()),
        ready_sets=tuple((file.ready_sets or {}).values()),
        settings=(*(one for page in families.pages for one in page.settings), *settings),
        rigs=(rig,),
        stated=_stated(file, rig),
        sources=(reading.source, *(page.source for page in families.pages)),
    )
