"""Needs files: the struts that each scene wants at once."""

from pathlib import Path
from typing import Any, Self

from pydantic import Field, field_validator, model_validator

from cache_check.files.catalogue import supplied
from cache_check.files.reading import Reading, open_file
from cache_check.model.need import Need, Needs, Scene, disagreement, reaching, stated
from cache_check.model.quantities import Length, ShortLength
from cache_check.model.record import Name, Record
from cache_check.units import System

_UNSAID: Any = None
_ONE_OF_THEM = "write either one length, or a range as from and to"


class WrittenNeed(Need):
    """A need as written: one ``length``, a range as ``from`` and ``to``, or ``height`` and ``angle`` of the strut."""

    length: Length = Field(default=_UNSAID)
    shortest: ShortLength = Field(default=_UNSAID, alias="from")
    longest: Length = Field(default=_UNSAID, alias="to")

    @field_validator("*", mode="before")
    @classmethod
    def _not_blank(cls, value: Any) -> Any:
        if value is None:
            raise ValueError("is blank; write it, or take the line out where none is asked")
        return value

    @model_validator(mode="after")
    def _goes_together(self) -> Self:
        given = stated(self)
        wrong = disagreement(given, restrained=self.restrained)
        if not wrong and self.vertical is None:
            wrong = _no_length(self, given & {"length", "shortest", "longest"})
        if wrong:
            raise ValueError(wrong)
        ends = (self.shortest, self.longest) if self.length is None else (self.length, self.length)
        if self.height is not None and self.angle is not None:
            ends = (reaching(self.height, self.angle),) * 2
        self.__dict__.update(shortest=ends[0], longest=ends[1], length=None)
        return self


def _no_length(need: WrittenNeed, given: set[str]) -> str:
    if "length" in given and len(given) > 1:
        return f"'length' stands beside 'from' or 'to'; {_ONE_OF_THEM}"
    if "length" not in given and len(given) < 2:
        return f"the length is missing or half a range; {_ONE_OF_THEM}"
    return "'to' is shorter than 'from'; swap them" if len(given) == 2 and need.longest < need.shortest else ""


class WrittenScene(Scene):
    """A scene as written, under its name."""

    needs: tuple[WrittenNeed, ...] = Field(min_length=1)


class NeedsFile(Record):
    """A needs file as written: scenes by name, or the needs of a single scene as a list."""

    needs: Name
    units: System
    scenes: dict[Name, WrittenScene] = Field(min_length=1)


def _numbered(reading: Reading, name: str, written: Any) -> Any:
    """A scene whose needs without an id are named by their place; ids met twice are noted."""
    scene = supplied(reading, ("scenes", name), written, id=name)
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
        data |= {"needs": data.pop("title", None) or "needs", "scenes": {"scene": {"needs": data["needs"]}}}
    if isinstance(data.get("scenes"), dict):
        data["scenes"] = {name: _numbered(reading, name, scene) for name, scene in data["scenes"].items()}
    file = reading.sound(reading.record(NeedsFile, data))
    return Needs.model_construct(title=file.needs, scenes=tuple(file.scenes.values()), path=str(path))
