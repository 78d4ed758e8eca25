"""What family files and a cache's own types have in common: parts by name, joints, charts.

The place of an entry supplies its id and family; names of other parts are resolved to ids.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, get_args

from cache_check.files.place import Route
from cache_check.files.reading import Reading
from cache_check.files.words import SUPPLIED, did_you_mean, listed, shown
from cache_check.model.family import CAPTIVE, Chart, Family, Mate
from cache_check.model.part import LINEAR, Part, Tie
from cache_check.model.record import Name, Record, Text
from cache_check.units import System

PART_MODELS: Mapping[str, Any] = {model.model_fields["kind"].default: model for model in get_args(get_args(Part)[0])}
"""The record of each kind of part."""

_MOST_GUESSES = 100
"""After so many mistakes no more names are guessed: each guess looks through all names."""


class CatalogueFile(Record):
    """The entries that a family file and a cache file share, as written."""

    title: Text = ""
    units: System
    connectors: dict[Name, Name] | None = None
    mates: tuple[Mate, ...] = ()
    charts: tuple[Chart, ...] = ()
    sheet: Text = ""
    rules: dict[Name, Any] | None = None


class Names:
    """The part ids that may be spoken of, and the short names that tell them apart.

    ``complete`` False says that a file of parts could not be read, so that an unknown name proves nothing.
    """

    def __init__(self, ids: Iterable[str] = (), *, complete: bool = True) -> None:
        self.complete = complete
        self.ids: dict[str, None] = {}
        self.by_name: dict[str, list[str]] = {}
        self.add(ids)

    def add(self, ids: Iterable[str]) -> None:
        """Make further part ids known."""
        for one in ids:
            if one not in self.ids:
                self.ids[one] = None
                self.by_name.setdefault(one.rpartition("/")[2], []).append(one)

    def resolve(self, reading: Reading, route: Route, written: Any) -> str:
        """The id that a name or id stands for; what cannot be resolved is noted and returned as written."""
        if not isinstance(written, str):
            written = str(written) if isinstance(written, int) and not isinstance(written, bool) else ""
        name: str = written.strip()
        if not name or name in self.ids:
            return name
        fits = self.by_name.get(name, [])
        if len(fits) == 1:
            return fits[0]
        if fits:
            reading.fault(route, f"{name!r} may be any of {len(fits)} parts", f"write {listed(fits)}")
        elif self.complete:
            few = len(reading.page.mistakes) < _MOST_GUESSES
            right = (
                did_you_mean(name, [*self.by_name, *self.ids]) if few else ""
            ) or "name it as its family or the entry types does"
            reading.fault(route, f"there is no part {name!r}", right)
        return name

    def resolve_keys(self, reading: Reading, route: Route, written: dict[str, Any]) -> dict[str, Any]:
        """``written`` with its keys resolved to ids; two keys for one part are noted."""
        resolved: dict[str, Any] = {}
        for name, one in written.items():
            part = self.resolve(reading, (*route, name), name)
            if part in resolved:
                reading.fault((*route, name), f"part {part!r} is listed already", "keep one entry for it")
            resolved[part] = one
        return resolved

    def resolve_list(self, reading: Reading, route: Route, written: Any) -> Any:
        """A list of names resolved to ids; anything else as it is."""
        if not isinstance(written, list):
            return written
        return [
            self.resolve(reading, (*route, n), one) if isinstance(one, str | int) else one
            for n, one in enumerate(written)
        ]


def supplied(reading: Reading, route: Route, entry: Any, **values: Any) -> Any:
    """An entry with the fields that its place supplies; one written by hand is noted."""
    if not isinstance(entry, dict):
        return entry
    for name in values:
        if name in entry and name in SUPPLIED:
            reading.fault((*route, name), f"{name!r} is not a field here", "its place in the file says it")
    return entry | values


def checked_name(reading: Reading, route: Route, name: Any) -> None:
    """Note a name that holds the stroke which divides family from part."""
    if isinstance(name, str) and "/" in name:
        reading.fault(route, f"{name!r} has a stroke, which divides family from part", "write it without /")


def file_id(reading: Reading, key: str) -> str:
    """The id that the file gives itself; a stand-in where it is no good, which validation says."""
    written = reading.data[key]
    checked_name(reading, (key,), written)
    text = str(written).strip() if isinstance(written, str | int) else ""
    return text if 0 < len(text) <= 150 else "?"


def part_ids(entries: Mapping[str, Any], family: str) -> dict[str, str]:
    """The id of each written part type, by its key; an entry may name a family of its own."""
    return {name: f"{_family_of(entry, family)}/{name.strip()}" for name, entry in entries.items()}


def _family_of(entry: Any, family: str) -> str:
    own = entry.get("family") if isinstance(entry, dict) else None
    return own.strip() if isinstance(own, str) else family


def read_parts(reading: Reading, key: str, family: str, names: Names, *, others: bool = False) -> dict[str, Part]:
    """The part types under a key, by the name they are written under; what is wrong is noted.

    ``others`` True lets an entry name another family than ``family``.
    """
    found: dict[str, Part] = {}
    entries = reading.group(key)
    ids = part_ids(entries, family)
    for name, entry in entries.items():
        route = (key, name)
        checked_name(reading, route, name)
        whose = _family_of(entry, family)
        if others and isinstance(entry, dict):
            entry = {k: v for k, v in entry.items() if k != "family"}
        part = _part(reading, route, entry, {"id": ids[name], "family": whose}, names)
        if part is not None:
            found[name] = part
    return found


def _part(reading: Reading, route: Route, entry: Any, place: dict[str, str], names: Names) -> Part | None:
    if not isinstance(entry, dict):
        reading.fault(route, f"{shown(entry)} is not a part type", 'write "kind" and its sizes below it')
        return None
    entry = supplied(reading, route, entry, **place)
    kinds = f"kind is {listed(PART_MODELS)}"
    if "kind" not in entry:
        reading.fault(route, "missing 'kind'", kinds)
        return None
    kind = entry["kind"]
    if not isinstance(kind, str) or kind not in PART_MODELS:
        close = did_you_mean(kind, PART_MODELS) if isinstance(kind, str) else ""
        reading.fault((*route, "kind"), f"{shown(kind)} is not a kind of part", close or kinds)
        return None
    if isinstance(entry.get("needs"), dict):
        entry["needs"] = names.resolve_keys(reading, (*route, "needs"), entry["needs"])
    return reading.record(PART_MODELS[kind], entry, route)


def shared_entries(reading: Reading, family: str, names: Names) -> dict[str, Any]:
    """Charts, mates and connectors with names resolved, ready to validate."""
    data = reading.data
    out: dict[str, Any] = {}
    if isinstance(data.get("charts"), list):
        out["charts"] = [_chart(reading, ("charts", n), one, family, names) for n, one in enumerate(data["charts"])]
    if isinstance(data.get("mates"), list):
        out["mates"] = [
            one | {"pin": pin_id(reading, ("mates", n, "pin"), one["pin"], names)}
            if isinstance(one, dict) and "pin" in one
            else one
            for n, one in enumerate(data["mates"])
        ]
    if isinstance(data.get("connectors"), dict):
        out["connectors"] = {
            name: pin_id(reading, ("connectors", name), one, names) for name, one in data["connectors"].items()
        }
    return out


def _chart(reading: Reading, route: Route, entry: Any, family: str, names: Names) -> Any:
    entry = supplied(reading, route, entry, family=family)
    if isinstance(entry, dict) and "bodies" in entry:
        entry["bodies"] = names.resolve_list(reading, (*route, "bodies"), entry["bodies"])
    return entry


def pin_id(reading: Reading, route: Route, written: Any, names: Names) -> Any:
    """The id of a pin, or "captive"."""
    if written is None or written == CAPTIVE or isinstance(written, dict | list):
        return written
    return names.resolve(reading, route, written)


def check_shared(
    reading: Reading, file: CatalogueFile, joint_pin: str | None, key: str, written: Mapping[str, Part],
    parts: Mapping[str, Part],
) -> None:  # fmt: skip
    """Note what does not agree in the entries that a family file and a cache share.

    ``joint_pin`` is the pin of its own connector, ``written`` are its own part types under ``key``, by the name they
    stand under, and ``parts`` all that it may speak of, by id.
    """
    pins: dict[Route, str] = {("joint_pin",): joint_pin or CAPTIVE}
    pins |= {("connectors", name): pin for name, pin in (file.connectors or {}).items()}
    pins |= {("mates", n, "pin"): mate.pin for n, mate in enumerate(file.mates)}
    for route, pin in pins.items():
        _check_kind(reading, route, parts.get(pin), "pin", f'name a part of kind pin, or write "{CAPTIVE}"')
    for name, part in written.items():
        for needed in part.hardware if isinstance(part, Tie) else {}:
            short = needed.rpartition("/")[2]
            _check_kind(
                reading, (key, name, "needs", short), parts.get(needed), "hardware", "name a part of kind hardware"
            )
    seen = set()
    for number, chart in enumerate(file.charts):
        if chart.id in seen:
            reading.fault(("charts", number, "id"), f"chart {chart.id!r} is there already", "give it its own id")
        seen.add(chart.id)
        for n, body in enumerate(chart.bodies):
            _check_kind(reading, ("charts", number, "bodies", n), parts.get(body), "body", "a chart is of strut bodies")


def _check_kind(reading: Reading, route: Route, part: Part | None, kind: str, right: str) -> None:
    """Note a part that is named where one of another kind belongs; None is no part, which was told already."""
    if part is not None and part.kind != kind:
        what = f"{shown(part.name)} is {_an(part.kind)}, not {_an(kind)}"
        reading.fault(route, what, right)


def connectors_of(part: Part) -> dict[str, str]:
    """The connector names of a linear part, by the field that holds the end."""
    if part.kind not in LINEAR:
        return {}
    ends = {name: getattr(part, name, None) for name in ("lower", "upper", "end")}
    return {name: end.name for name, end in ends.items() if end is not None}


def built_family(id_: str, file: CatalogueFile, joint_pin: str | None) -> Family:
    """The family record of a file; its own connector has the family's name.

    All of it has been validated as ``CatalogueFile``, so it is not validated again (that would cost a cold start).
    """
    own = {id_: joint_pin} if joint_pin is not None else {}
    return Family.model_construct(
        id=id_,
        title=file.title,
        connectors=own | (file.connectors or {}),
        mates=file.mates,
        charts=file.charts,
        sheet=file.sheet,
    )


def _an(kind: str) -> str:
    return f"an {kind}" if kind[0] in "aeiou" else kind if kind == "hardware" else f"a {kind}"
