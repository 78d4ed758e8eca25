"""Family files, and what a cache's own types share: joints, charts, and parts; their place gives id and family."""

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any, get_args

from pydantic import Field

from cache_check.errors import did_you_mean, listed
from cache_check.files.mistakes import Route, shown
from cache_check.files.reading import Reading, open_file
from cache_check.files.settings import read_settings
from cache_check.frozen import dataclass
from cache_check.model.cache import Source
from cache_check.model.family import CAPTIVE, Chart, Family, Mate
from cache_check.model.part import Part, Tie
from cache_check.model.record import Name, Record, Text
from cache_check.model.rule import RuleBook, Setting
from cache_check.units import System

PART_MODELS: Mapping[str, Any] = {model.model_fields["kind"].default: model for model in get_args(get_args(Part)[0])}
_NAMED = ((("joint_pin",), CAPTIVE), (("connectors", "*"), CAPTIVE), (("mates", "*", "pin"), CAPTIVE),
          (("charts", "*", "bodies", "*"), ""), (("ready_sets", "*", "parts", "*"), ""))  # fmt: skip
"""Where a file names parts, and the word that stands for none."""
_MOST_GUESSES = 100  # after so many mistakes no more names are guessed: each guess looks through all names


class CatalogueFile(Record):
    """The entries that a family file and a cache file share, as written."""

    title: Text = ""
    units: System
    connectors: dict[Name, Name] | None = None
    mates: tuple[Mate, ...] = ()
    charts: tuple[Chart, ...] = ()
    sheet: Text = ""
    rules: dict[Name, Any] | None = None
    joint_pin: Name | None = None


class Names:
    """The part ids that may be spoken of, by short names too; not ``complete``: an unknown name proves nothing."""

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

    def resolve(self, reading: Reading, route: Route, written: str) -> str:
        """The id that a name or id stands for; what cannot be resolved is noted and returned as written."""
        name = written.strip()
        if not name or name in self.ids:
            return name
        fits = self.by_name.get(name, [])
        if len(fits) == 1:
            return fits[0]
        if fits:
            reading.fault(route, f"{name!r} may be any of {len(fits)} parts", f"write {listed(fits)}")
        elif self.complete:
            close = did_you_mean(name, [*self.by_name, *self.ids]) if len(reading.page.mistakes) < _MOST_GUESSES else ""
            reading.fault(route, f"there is no part {name!r}", close or "name it as its family or the entry types does")
        return name

    def resolve_at(self, reading: Reading, route: Route, data: Any, steps: Sequence[str], word: str = "") -> Any:
        """``data``, which stands at ``route``, with the names below it resolved, but for one ``word``."""
        if not steps:  # each is a key, or "*" for every entry; what is no name or is not there stays as it is
            named = isinstance(data, str | int) and not isinstance(data, bool) and data != word
            return self.resolve(reading, route, str(data)) if named else data
        step, *rest = steps
        if isinstance(data, dict):
            keys = data if step == "*" else {step} & data.keys()
            return data | {key: self.resolve_at(reading, (*route, key), data[key], rest, word) for key in keys}
        if isinstance(data, list) and step == "*":
            return [self.resolve_at(reading, (*route, n), one, rest, word) for n, one in enumerate(data)]
        return data

    def of_keys(self, reading: Reading, route: Route, written: Iterable[str], done: str) -> dict[str, str]:
        """The id that each key stands for; where two stand for one part, which is ``done`` twice, it is noted."""
        first: dict[str, str] = {}
        ids = {name: self.resolve(reading, (*route, name), name) for name in written}
        for name, part in ids.items():
            if first.setdefault(part, name) != name:
                what = f"part {part!r} is {done} already under {first[part]!r}"
                reading.fault((*route, name), what, "keep one entry for it")
        return ids


def resolved(reading: Reading, family: str, names: Names) -> dict[str, Any]:
    """The entries of a file, the parts that they name as ids, and charts with the family that their place supplies."""
    data = dict(reading.data)
    for steps, word in _NAMED:
        data = names.resolve_at(reading, (), data, steps, word)
    if isinstance(data.get("charts"), list):
        data["charts"] = [supplied(reading, ("charts", n), one, family=family) for n, one in enumerate(data["charts"])]
    return data


def supplied(reading: Reading, route: Route, entry: Any, **values: Any) -> Any:
    """An entry with the fields that its place supplies; one written by hand is noted."""
    if not isinstance(entry, dict):
        return entry
    for name in values:
        if name in entry:
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
    """The part types under a key by their written names, mistakes noted; ``others`` may name another ``family``."""
    found: dict[str, Part] = {}
    entries = reading.group(key)
    ids = part_ids(entries, family)
    for name, entry in entries.items():
        route = (key, name)
        checked_name(reading, route, name)
        if not isinstance(entry, dict):
            reading.fault(route, f"{shown(entry)} is not a part type", 'write "kind" and its sizes below it')
            continue
        own = {k: v for k, v in entry.items() if k != "family" or not others}
        whole = supplied(reading, route, own, id=ids[name], family=_family_of(entry, family))
        if (model := _model(reading, route, whole)) is None:
            continue
        if isinstance(whole.get("needs"), dict):
            ids_of = names.of_keys(reading, (*route, "needs"), whole["needs"], "listed")
            whole["needs"] = {part: whole["needs"][key] for key, part in ids_of.items()}
        if (part := reading.record(model, whole, route)) is not None:
            found[name] = part
    return found


def _model(reading: Reading, route: Route, entry: dict[str, Any]) -> Any:
    """The record of an entry's kind; None, with a mistake, where it has none."""
    kinds = f"kind is {listed(PART_MODELS)}"
    if "kind" not in entry:
        reading.fault(route, "missing 'kind'", kinds)
        return None
    kind = entry["kind"] if isinstance(entry["kind"], str) else ""
    if kind not in PART_MODELS:
        close = kind and did_you_mean(kind, PART_MODELS)
        reading.fault((*route, "kind"), f"{shown(entry['kind'])} is not a kind of part", close or kinds)
    return PART_MODELS.get(kind)


def check_shared(
    reading: Reading, file: CatalogueFile, key: str, written: Mapping[str, Part], parts: Mapping[str, Part]
) -> None:
    """Note what does not agree: ``written`` are a file's part types by name under ``key``, ``parts`` all by id."""
    pins: dict[Route, str] = {("joint_pin",): file.joint_pin or CAPTIVE}
    pins |= {("connectors", name): pin for name, pin in (file.connectors or {}).items()}
    pins |= {("mates", n, "pin"): mate.pin for n, mate in enumerate(file.mates)}
    for route, pin in pins.items():
        _check_kind(reading, route, parts.get(pin), "pin", f'name a part of kind pin, or write "{CAPTIVE}"')
    for name, part in written.items():
        for needed in part.hardware if isinstance(part, Tie) else {}:
            route = (key, name, "needs", needed.rpartition("/")[2])
            _check_kind(reading, route, parts.get(needed), "hardware", "name a part of kind hardware")
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
        reading.fault(route, f"{shown(part.name)} is {_an(part.kind)}, not {_an(kind)}", right)


def built_family(id_: str, file: CatalogueFile) -> Family:
    """The family of a file, with a connector of its name; validated already, as again would cost a cold start."""
    own = {} if file.joint_pin is None else {id_: file.joint_pin}
    return Family.model_construct(id=id_, title=file.title, connectors=own | (file.connectors or {}), mates=file.mates,
                                  charts=file.charts, sheet=file.sheet)  # fmt: skip


def _an(kind: str) -> str:
    return f"an {kind}" if kind[0] in "aeiou" else kind if kind == "hardware" else f"a {kind}"


class FamilyFile(CatalogueFile):
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
    family = file_id(reading, "family")
    names = Names(part_ids(reading.group("parts"), family).values())
    data = resolved(reading, family, names)
    parts = read_parts(reading, "parts", family, names)
    settings = read_settings(reading, book, "rules", f"family {family}", family=family)
    if (file := reading.record(FamilyFile, data)) is not None:
        check_shared(reading, file, "parts", parts, {part.id: part for part in parts.values()})
    file = reading.sound(file)
    return FamilyPage(built_family(family, file), tuple(parts.values()), settings, reading.source)
