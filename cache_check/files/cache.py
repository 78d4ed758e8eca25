"""Cache files: the counted parts of one rig, where they are, what state they are in."""

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from cache_check.errors import InputError, Mistake, did_you_mean
from cache_check.files import catalogue
from cache_check.files.catalogue import FamilyPage, read_family
from cache_check.files.mistakes import Route, shown
from cache_check.files.reading import Reading, open_file
from cache_check.files.rules import read_rules
from cache_check.files.settings import read_settings
from cache_check.model.cache import Cache, Compartment, Label, ReadySet, Stated, Stock, folded
from cache_check.model.family import CAPTIVE, Catalogue
from cache_check.model.part import LINEAR, Fitting, Part
from cache_check.model.quantities import Day
from cache_check.model.record import Name
from cache_check.model.rule import RuleBook

UNKNOWN = "unknown"
Types = dict[str, Part]
Kept = dict[Path, FamilyPage]  # family files by their path, read once for all the caches of one run
FAMILIES_FOLDER = "CACHE_CHECK_FAMILIES"  # the variable that lets caches name families that lie elsewhere
MOST_TYPES = 2_000
"""More part types than this are in no cache and its families together; what is asked about each takes its time."""


class CacheFile(catalogue.CatalogueFile):
    """A cache file as written.  ``types`` are part types of its own, joined by its own ``joint_pin``.

    ``inspected``, ``label`` and ``made`` are said once for every piece that does not say otherwise.
    """

    cache: Name
    book_date: Day | None = None
    inspected: Day | None = None
    label: Label | None = None
    made: Day | None = None
    families: tuple[Name, ...] = ()
    types: dict[Name, Any] | None = None
    parts: dict[Name, Stock] | None = None
    compartments: dict[Name, Compartment] | None = None
    ready_sets: dict[Name, ReadySet] | None = None


def _families(reading: Reading, path: Path, book: RuleBook, kept: Kept) -> tuple[list[FamilyPage], list[Mistake]]:
    pages: list[FamilyPage] = []
    mistakes: list[Mistake] = []
    written = reading.data.get("families", [])
    for number, name in enumerate(written if isinstance(written, list) else ()):
        route, named = ("families", number), path.parent / str(name).strip()
        if not isinstance(name, str) or not name.strip():
            reading.fault(route, f"{shown(name)} is not the name of a file", "write it, as family-p.yaml")
            continue
        if not may_name(path.parent, named):
            right = f"put it there, or set {FAMILIES_FOLDER} to the folder in which families lie"
            reading.fault(route, f"{shown(name.strip())} lies outside the folder of the cache", right)
            continue
        try:
            page = kept[named] = kept.get(named) or read_family(named, book)
        except InputError as error:
            placed = [mistake for mistake in error.mistakes if mistake.line]
            mistakes += placed
            for mistake in () if placed else error.mistakes:
                reading.fault(route, f"{mistake.file}: {mistake.what}", mistake.right)
            continue
        if page.family.id in [known.family.id for known in pages]:
            reading.fault(route, f"family {page.family.id!r} is listed already", "list each family once")
        else:
            pages.append(page)
    return pages, mistakes


def may_name(folder: Path, family: Path) -> bool:
    """Whether a cache in a folder may name a family file: below its own folder, or the one that was asked for."""
    try:
        return family.resolve().is_relative_to(Path(os.environ.get(FAMILIES_FOLDER) or folder).resolve())
    except (OSError, ValueError):
        return True  # no name of a file: reading it says so


def _stock(reading: Reading, rig: str, names: catalogue.Names) -> dict[str, Any]:
    stock = {}
    entries = reading.group("parts")
    for name, part in names.of_keys(reading, ("parts",), entries, "counted").items():
        route, entry = ("parts", name), entries[name] if isinstance(entries[name], dict) else {"count": entries[name]}
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
    data = catalogue.resolved(reading, rig, names)
    if isinstance(data.get("parts"), dict):
        data["parts"] = _stock(reading, rig, names)
    for key in ("compartments", "ready_sets"):
        if isinstance(data.get(key), dict):
            said = data[key].items()
            data[key] = {name: catalogue.supplied(reading, (key, name), one, id=name, rig=rig) for name, one in said}
    return data


def _as_stated(line: Stock, file: CacheFile, parts: dict[str, Part]) -> Stock:
    """A line with what it, or else the whole cache, says of every piece that does not say it itself."""
    inspected, label = line.inspected or file.inspected, line.label or file.label
    made = (line.made or file.made) if parts[line.part].kind == "strap" else None
    items = (
        item.changed(inspected=item.inspected or inspected, label=item.label or label, acquired=item.acquired or made)
        for item in line.items
    )
    return line.changed(inspected=inspected, label=label, made=made, items=tuple(items))


def read_cache(path: str | Path, book: RuleBook | None = None, kept: Kept | None = None) -> Cache:
    """Read a cache file and the family files that it names; all their mistakes, with their places, are one InputError.

    Names of families are relative to its folder.  Settings are checked against ``book``, the program's own unless
    given; ``kept`` are sound family files read under it before, which are taken as they were, and more are put in.
    """
    book = book or read_rules()
    reading = open_file(path, "cache")
    rig = catalogue.file_id(reading, "cache")
    pages, mistakes = _families(reading, Path(path), book, {} if kept is None else kept)
    of_families = {part.id: part for page in pages for part in page.parts}
    written = reading.data.get("families", [])
    names = catalogue.Names(of_families, complete=isinstance(written, list) and len(pages) == len(written))
    names.add(catalogue.part_ids(reading.group("types"), rig).values())
    data = _entries(reading, rig, names)
    types = catalogue.read_parts(reading, "types", rig, names, others=True)
    if (number := len(of_families) + len(types)) > MOST_TYPES:
        reading.fault(("types",), f"{number:,} part types are too many", f"keep to {MOST_TYPES:,} or fewer")
    settings = read_settings(reading, book, "rules", f"cache {rig}", rig=rig)
    if (file := reading.record(CacheFile, data)) is not None:
        parts = of_families | {part.id: part for part in types.values()}
        _check_types(reading, file, types, pages, of_families)
        catalogue.check_shared(reading, file, "types", types, parts)
        _check_connectors(reading, file, types, pages)
        _check_items(reading, file, parts)
        _check_ready_sets(reading, file, parts)
    if reading.page.mistakes or mistakes or file is None:
        raise InputError([*reading.in_order(), *mistakes])
    said = Stated.model_construct(rig=rig, inspected=file.inspected, label=file.label, made=file.made)
    own = [catalogue.built_family(rig, file)] if types or file.connectors or file.mates else []
    families = (*(page.family for page in pages), *own)
    return Cache.model_construct(  # each piece was validated; to validate the whole again would cost a cold start
        id=rig, title=file.title or rig, units=file.units, book_date=file.book_date, rigs=(rig,),
        catalogue=Catalogue.model_construct(families=families, parts=tuple(parts.values())),
        stock=tuple(_as_stated(line, file, parts) for line in (file.parts or {}).values()),
        compartments=tuple((file.compartments or {}).values()), ready_sets=tuple((file.ready_sets or {}).values()),
        settings=(*(one for page in pages for one in page.settings), *settings),
        stated=(said,) if said != Stated.model_construct(rig=rig) else (),
        sources=(reading.source, *(page.source for page in pages)),
    )  # fmt: skip


def _check_types(
    reading: Reading, file: CacheFile, types: Types, pages: Sequence[FamilyPage], of_families: Types
) -> None:
    known = {page.family.id for page in pages}
    if file.cache in known:
        reading.fault(("cache",), f"{file.cache!r} is the name of a family too", "give the cache a name of its own")
    for name, part in types.items():
        if part.id in of_families:
            reading.fault(("types", name), f"part {part.id!r} is in its family file already", "keep one of the two")
        elif part.family not in known | {file.cache}:
            right = did_you_mean(part.family, known) or "list its file under families"
            reading.fault(("types", name, "family"), f"there is no family {part.family!r}", right)


def _check_connectors(reading: Reading, file: CacheFile, types: Types, pages: Sequence[FamilyPage]) -> None:
    """Every connector needs its pin or "captive": a joint of which nobody said it is never a joint without."""
    known = {name for page in pages for name in page.family.connectors} | set(file.connectors or {})
    if file.joint_pin is not None:
        known.add(file.cache)
    routed: list[tuple[Route, Part]] = [(("types", name), part) for name, part in types.items()]
    routed += [(("families",), part) for page in pages for part in page.parts]
    said: set[str] = set()
    for route, part in routed:
        for connector in (end.name for end in part.ends):
            if connector in known | said:
                continue
            said.add(connector)
            what = f"connector {connector!r} of {part.name!r} belongs to no family listed"
            right = "list the family that has it, or name its pin under connectors"
            if connector == file.cache:
                what = f"the joints of {part.name!r} take a pin that nobody named"
                right = f'write "joint_pin: " and one of your pins, or "joint_pin: {CAPTIVE}"'
            reading.fault(route, what, right)


def _check_items(reading: Reading, file: CacheFile, parts: Types) -> None:
    seen: dict[str, str] = {}
    for name, stock in (file.parts or {}).items():
        for number, item in enumerate(stock.items):
            route = ("parts", name, "items", number)
            serial = folded(item.serial)
            if serial in seen:
                what = f"serial {item.serial!r} is listed twice, first under {seen[serial]!r}"
                reading.fault((*route, "serial"), what, "check the labels; one serial is one piece")
            seen.setdefault(serial, name)
            part = parts.get(item.part)
            made = len(part.points) if isinstance(part, Fitting) else 0
            if part is not None and isinstance(item.points_usable, int) and item.points_usable > made:
                what = f"{item.points_usable} usable attachment points, and {part.name!r} is made with {made}"
                right = f"write {made} or fewer" if made else "take it out, or write the points of the part"
                reading.fault((*route, "points_usable"), what, right)
        if "in service" in stock.out:
            what = "'in service' is not out of service"
            reading.fault(("parts", name, "out", "in service"), what, "count it in count only")


def _check_ready_sets(reading: Reading, file: CacheFile, parts: Types) -> None:
    serials = {item.serial for stock in (file.parts or {}).values() for item in stock.items}
    for name, ready in (file.ready_sets or {}).items():
        for number, part in enumerate(ready.parts):
            if part in parts and parts[part].kind not in LINEAR:
                right = "list ground fitting, body, extensions and load fitting; pins and straps follow by rule"
                what = f"{parts[part].name!r} is no piece of a strut"
                reading.fault(("ready_sets", name, "parts", number), what, right)
        for number, serial in enumerate(ready.serials):
            if serial not in serials:
                right = did_you_mean(serial, serials) or "list the piece under its part, with its serial"
                reading.fault(("ready_sets", name, "serials", number), f"no piece has the serial {serial!r}", right)
            elif serial in ready.serials[:number]:
                what = f"serial {serial!r} is listed twice"
                reading.fault(("ready_sets", name, "serials", number), what, "one serial is one piece")
