"""The schemas accept what the readers accept and refuse what they refuse, and the starter files read."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from desk import SAMPLES, Desk, read_cache, read_needs, read_policy, read_prices

from cache_check.files import text
from cache_check.files.catalogue import read_family
from cache_check.files.pool import read_county
from cache_check.files.reading import KINDS
from cache_check.files.rules import read_rules, starter_text
from cache_check.files.schema import schemas
from cache_check.files.situation import read_situation

SCHEMAS = schemas()
READERS: dict[str, Any] = {
    "county": read_county,
    "cache": read_cache,
    "family": lambda path: read_family(path, read_rules()),
    "needs": read_needs,
    "policy": read_policy,
    "prices": read_prices,
    "situation": read_situation,
}


def errors(kind: str, data: Any) -> list[str]:
    """What the schema of a kind says of data."""
    return [error.message for error in jsonschema.Draft202012Validator(SCHEMAS[kind]).iter_errors(data)]


def test_there_is_a_schema_for_every_kind() -> None:
    """Each kind of file has a schema that is one, of draft 2020-12, and that JSON can carry."""
    assert sorted(SCHEMAS) == sorted(KINDS)
    for schema in SCHEMAS.values():
        jsonschema.Draft202012Validator.check_schema(schema)
        assert schema["$schema"].endswith("2020-12/schema")
        assert json.loads(json.dumps(schema)) == schema


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.yaml")), ids=lambda path: path.stem)
def test_the_samples_fit_their_schemas(path: Path) -> None:
    """Every sample file fits the schema of its kind."""
    data = text.load(path)[0]
    kind = next(kind for kind in KINDS if kind in data)

    assert errors(kind, data) == []


@pytest.mark.parametrize("kind", KINDS)
def test_a_starter_file_reads_and_fits(kind: str, desk: Desk) -> None:
    """A starter file passes reading and its schema as it stands."""
    for name, of in (("my-rig", "cache"), ("needs", "needs"), ("prices", "prices")):
        desk.put(starter_text(of), f"{name}.yaml")
    assert READERS[kind](desk.put(starter_text(kind))) is not None
    assert errors(kind, text.parse(starter_text(kind), kind)[0]) == []


@pytest.mark.parametrize(
    ("kind", "change"),
    [
        ("cache", ("closed: 30", "clsoed: 30")),
        ("cache", ("kind: extension", "kind: extention")),
        ("cache", ("strap: 6", "strap: many")),
        ("cache", ("EXT-1: {max", "EXT-1: {mx")),
        ("cache", ("units: us", "units: metric")),
        ("cache", ("{repair: 1}", "{mended: 1}")),
        ("cache", ("status: in service", "rig: in service")),
        ("county", ("rigs:", "rigz:")),
        ("family", ("joint_pin: pin", "jointpin: pin")),
        ("needs", ("count: 2", "count: 0")),
        ("policy", ("EXT-3: off", "EXT-3: maybe")),
        ("prices", ("pack: 4", "pack: 0")),
    ],
)
def test_what_the_reader_refuses_the_schema_refuses(kind: str, change: tuple[str, str], desk: Desk) -> None:
    """A slip of the pen in a starter file is refused by the reader and underlined by the schema."""
    written = starter_text(kind).replace(*change)
    assert written != starter_text(kind)

    assert desk.lines(written, READERS[kind])
    assert errors(kind, text.parse(written, kind)[0])
