"""Family files: part types whose ends mate, their joint pins, charts and rule settings."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pydantic import Field

from cache_check.files import catalogue
from cache_check.files.reading import open_file
from cache_check.files.settings import SettingsReader
from cache_check.frozen import dataclass
from cache_check.model.cache import Source
from cache_check.model.family import Family
from cache_check.model.part import Part
from cache_check.model.record import Name
from cache_check.model.rule import RuleBook, Setting


class FamilyFile(catalogue.CatalogueFile):
    """A family file as written.  ``joint_pin`` is one of its parts, or "captive"; parts are read one by one."""

    family: Name
    joint_pin: Name
    parts: dict[Name, Any] = Field(min_length=1)


@dataclass(frozen=True)
class FamilyPage:
    """What a family file says."""

    family: Family
    parts: tuple[Part, ...]
    settings: tuple[Setting, ...]
    source: Source


def read_family(path: str | Path, book: RuleBook) -> FamilyPage:
    """Read a family file; all its mistakes, in their order, are one InputError."""
    reading = open_file(path, "family")
    family = catalogue.file_id(reading, "family")
    names = catalogue.Names(catalogue.part_ids(reading.group("parts"), family).values())
    data = reading.data | catalogue.shared_entries(reading, family, names)
    parts = catalogue.read_parts(reading, "parts", family, names)
    if "joint_pin" in data:
        data["joint_pin"] = catalogue.pin_id(reading, ("joint_pin",), data["joint_pin"], names)
    settings = SettingsReader(reading, book, f"family {family}", family=family).read("rules")
    file = reading.record(FamilyFile, data)
    if file is not None:
        catalogue.check_shared(
            reading, file, file.joint_pin, "parts", parts, {part.id: part for part in parts.values()}
        )
    file = reading.sound(file)
    built = catalogue.built_family(family, file, file.joint_pin)
    return FamilyPage(built, tuple(parts.values()), settings, reading.source)
