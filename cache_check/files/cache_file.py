"""What a cache file may say, entry by entry, and what must hold between its entries and those of its families."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from cache_check.files import catalogue
from cache_check.files.catalogue import FamilyPage
from cache_check.files.place import Route
from cache_check.files.reading import Reading
from cache_check.files.words import did_you_mean
from cache_check.model.cache import Compartment, Item, Label, ReadySet, Stock, folded
from cache_check.model.family import CAPTIVE
from cache_check.model.part import LINEAR, Fitting, Part
from cache_check.model.record import Day, Name


class CacheFile(catalogue.CatalogueFile):
    """A cache file as written.  ``types`` are part types of its own, joined by its own ``joint_pin``.

    ``inspected``, ``label`` and ``made`` are said once for every piece that does not say otherwise.
    """

    cache: Name
    book_date: Day | None = None
    inspected: Day | None = None
    label: Label | None = None
    made: Day | None = None
    joint_pin: Name | None = None
    families: tuple[Name, ...] = ()
    types: dict[Name, Any] | None = None
    parts: dict[Name, Stock] | None = None
    compartments: dict[Name, Compartment] | None = None
    ready_sets: dict[Name, ReadySet] | None = None


Types = dict[str, Part]


def cross_check(reading: Reading, file: CacheFile, types: Types, pages: Sequence[FamilyPage]) -> None:
    """Note everything that does not agree in a cache file; ``types`` are its own, by the name they stand under."""
    of_families = {part.id: part for page in pages for part in page.parts}
    parts = of_families | {part.id: part for part in types.values()}
    _check_types(reading, file, types, pages, of_families)
    catalogue.check_shared(reading, file, file.joint_pin, "types", types, parts)
    _check_connectors(reading, file, types, pages)
    _check_items(reading, file, parts)
    _check_ready_sets(reading, file, parts)


def _check_types(
    reading: Reading, file: CacheFile, types: Types, pages: Sequence[FamilyPage], of_families: Types
) -> None:
    known = {page.family.id for page in pages}
    if file.cache in known:
        right = "give the cache a name of its own"
        reading.fault(("cache",), f"{file.cache!r} is the name of a family too", right)
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
        for connector in catalogue.connectors_of(part).values():
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
            _check_points(reading, (*route, "points_usable"), item, parts.get(item.part))
        if "in service" in stock.out:
            what = "'in service' is not out of service"
            reading.fault(("parts", name, "out", "in service"), what, "count it in count only")


def _check_points(reading: Reading, route: Route, item: Item, part: Part | None) -> None:
    """No piece has more usable attachment points than it was made with."""
    made = len(part.points) if isinstance(part, Fitting) else 0
    if part is not None and isinstance(item.points_usable, int) and item.points_usable > made:
        what = f"{item.points_usable} usable attachment points, and {part.name!r} is made with {made}"
        reading.fault(route, what, f"write {made} or fewer" if made else "take it out, or write the points of the part")


def _check_ready_sets(reading: Reading, file: CacheFile, parts: Types) -> None:
    serials = {item.serial for stock in (file.parts or {}).values() for item in stock.items}
    for name, ready in (file.ready_sets or {}).items():
        for number, part in enumerate(ready.parts):
            if part in parts and parts[part].kind not in LINEAR:
                what = f"{parts[part].name!r} is no piece of a strut"
                right = "list ground fitting, body, extensions and load fitting; pins and straps follow by rule"
                reading.fault(("ready_sets", name, "parts", number), what, right)
        for number, serial in enumerate(ready.serials):
            if serial not in serials:
                right = did_you_mean(serial, serials) or "list the piece under its part, with its serial"
                what = f"no piece has the serial {serial!r}"
                reading.fault(("ready_sets", name, "serials", number), what, right)
