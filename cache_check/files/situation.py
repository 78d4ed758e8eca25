"""Situation files, and situations given as options: the same words, read by the same record."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from cache_check.errors import InputError, Mistake
from cache_check.files.mistakes import in_words, together
from cache_check.files.reading import open_file
from cache_check.model.record import Name
from cache_check.model.situation import ALONE, GONE, Situation, disagreements
from cache_check.units import System


class SituationFile(Situation):
    """A situation file as written."""

    situation: Name
    units: System


def read_situation(path: str | Path, given: Mapping[str, Any] | None = None, units: System = "us") -> Situation:
    """A situation file, options (bare: in ``units``) in place of its entries; its mistakes, else theirs: InputError."""
    reading = open_file(path, "situation")
    for name in [name for name in reading.data if name in GONE]:
        reading.fault((name,), f"{name!r} is no longer a word here", f"write {GONE[name]}")
    data = {"title": str(reading.data["situation"])} | {k: v for k, v in reading.data.items() if k not in GONE}
    file = reading.sound(reading.record(SituationFile, data))
    if given:
        return situation_of(given, units, _set(file))
    for entry, what, right in disagreements(file):
        reading.fault((entry,) if entry else (), what, right)
    return Situation.model_construct(**_set(reading.sound(file)))


def _set(file: Situation) -> dict[str, Any]:
    return {name: getattr(file, name) for name in file.model_fields_set if name in Situation.model_fields}


def situation_of(given: Mapping[str, Any], units: System, of_file: Mapping[str, Any] | None = None) -> Situation:
    """A situation from options, bare ones in ``units``, and what a file says beside them; one InputError of all."""
    of_file = of_file or {}
    must = {"contact_height": "1 m"} if "contact_height" in of_file else {}  # which the file says, if no option does
    try:
        options = Situation.model_validate(must | dict(given), context={"units": units})
    except ValidationError as error:
        raise InputError(dict.fromkeys(map(_said, together(error.errors(include_url=False))))) from None
    taken = {name: value for name, value in _set(options).items() if name in given}
    gone = {name for names in ALONE if {*taken, *options.unknown} & {*names} for name in names}
    kept = {name: value for name, value in of_file.items() if name not in gone | {"unknown"}}
    unknown = [name for name in of_file.get("unknown", ()) if name not in gone and name not in taken]
    taken["unknown"] = tuple(dict.fromkeys([*unknown, *options.unknown]))
    for name in taken["unknown"]:
        kept.pop(name, None)
    one = Situation.model_validate(kept | taken)
    if wrong := [_mistake(entry, what, right) for entry, what, right in disagreements(one)]:
        raise InputError(wrong)
    return one


def _said(error: Any) -> Mistake:
    if error["type"] == "missing":
        names = error["ctx"]["names"]
        return _mistake("", f"missing {', '.join('--' + name.replace('_', '-') for name in names)}", "add it")
    what, right = in_words(error, Situation)
    return _mistake(str(error["loc"][0]) if error["loc"] else "", what, right)


def _mistake(entry: str, what: str, right: str) -> Mistake:
    return Mistake("command line", what, right, route=f"--{entry.replace('_', '-')}" if entry else "")
