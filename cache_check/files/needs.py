"""Needs files: the struts that each scene wants at once."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

from pydantic import Field, StrictInt, field_validator, model_validator

from cache_check.files.reading import Reading, open_file
from cache_check.model.need import AnyNeed, Need, Needs, Scene, disagreement, reaching, stated
from cache_check.model.record import Length, Name, Record, ShortLength, Text
from cache_check.units import System

_ONE_OF_THEM = "write either one length, or a range as from and to"


class NeedEntry(AnyNeed):
    """A need as written: one ``length``, a range as ``from`` and ``to``, or ``height`` and ``angle`` of the strut."""

    length: Length | None = None
    shortest: ShortLength | None = Field(default=None, alias="from")
    longest: Length | None = Field(default=None, alias="to")

    @field_validator("*", mode="before")
    @classmethod
    def _not_blank(cls, value: Any) -> Any:
        if value is None:
            raise ValueError("is blank; write it, or take the line out where none is asked")
        return value

    @model_validator(mode="after")
    def _one_or_range(self) -> NeedEntry:
        wrong = disagreement(stated(self), restrained=self.restrained)
        if wrong:
            raise ValueError(wrong)
        if self.vertical is not None:
            return self
        if self.length is not None:
            if self.shortest is not None or self.longest is not None:
                raise ValueError(f"'length' stands beside 'from' or 'to'; {_ONE_OF_THEM}")
        elif self.shortest is None or self.longest is None:
            raise ValueError(f"the length is missing or half a range; {_ONE_OF_THEM}")
        elif self.longest < self.shortest:
            raise ValueError("'to' is shorter than 'from'; swap them")
        return self

    def need(self) -> Need:
        """The need in base units."""
        said: dict[str, Any] = {name: getattr(self, name) for name in AnyNeed.model_fields}
        said |= {"shortest": self.length or self.shortest, "longest": self.length or self.longest}
        if self.height is not None and self.angle is not None:
            said["shortest"] = said["longest"] = reaching(self.height, self.angle)
        return Need(**said)


class SceneEntry(Record):
    """A scene as written, under its name."""

    title: Text = ""
    weight: Annotated[StrictInt, Field(ge=1)] = 1
    needs: tuple[NeedEntry, ...] = Field(min_length=1)

    def scene(self, name: str) -> Scene:
        """The scene in base units."""
        needs = tuple(entry.need() for entry in self.needs)
        return Scene(id=name, title=self.title, weight=self.weight, needs=needs)


class NeedsFile(Record):
    """A needs file as written: scenes by name, or the needs of a single scene as a list."""

    needs: Name
    units: System
    scenes: dict[Name, SceneEntry] = Field(min_length=1)


def _numbered(reading: Reading, name: str, scene: Any) -> Any:
    """A scene whose needs without an id are named by their place; ids met twice are noted."""
    if not isinstance(scene, dict) or not isinstance(scene.get("needs"), list):
        return scene
    seen: set[str] = set()
    entries = []
    for number, entry in enumerate(scene["needs"]):
        if isinstance(entry, dict):
            entry = {"id": f"{name} {number + 1}"} | entry
            if str(entry["id"]) in seen:
                route = ("scenes", name, "needs", number, "id")
                reading.fault(route, f"{entry['id']!r} is there already", "give each need of a scene its own id")
            seen.add(str(entry["id"]))
        entries.append(entry)
    return scene | {"needs": entries}


def read_needs(path: str | Path) -> Needs:
    """Read a needs file; all its mistakes, in their order, are one InputError."""
    reading = open_file(path, "needs")
    data = dict(reading.data)
    if isinstance(data["needs"], list):
        title = data.pop("title", None) or "needs"
        data |= {"needs": title, "scenes": {"scene": {"needs": data["needs"]}}}
    if isinstance(data.get("scenes"), dict):
        data["scenes"] = {name: _numbered(reading, name, scene) for name, scene in data["scenes"].items()}
    file = reading.sound(reading.record(NeedsFile, data))
    scenes = tuple(entry.scene(name) for name, entry in file.scenes.items())
    return Needs(title=file.needs, scenes=scenes, path=str(path))
