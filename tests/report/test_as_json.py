"""The JSON of each answer: its shape is committed, every key always there, units in SI and unrounded."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

import jsonschema
import pytest
from golden.files import GOLDEN, SCHEMAS, compare

from cache_check import __version__
from cache_check.model.cache import Source
from cache_check.report.as_json import as_json, as_told
from cache_check.report.page import CAUTION
from report.sample_results import BOOK, assembly, build_result, check_result, packing, reach_result, rules_result, tally

ANSWERS = {
    "check": [
        as_json("check", [check_result()], BOOK),
        as_json("check", [check_result(), check_result(tallies=())], BOOK),
    ],
    "reach": [as_json("reach", [reach_result()], BOOK), as_json("reach", [reach_result(at=None)], BOOK)],
    "build": [as_json("build", [build_result()], BOOK), as_json("build", [build_result(legal=True)], BOOK)],
    "rules": [as_json("rules", [rules_result()], BOOK)],
}
EACH = [(command, text) for command, texts in ANSWERS.items() for text in texts]


def schema(command: str) -> dict[str, Any]:
    """The committed schema of a command's answer."""
    found: dict[str, Any] = json.loads((GOLDEN / "schema" / f"{command}.json").read_text(encoding="utf-8"))
    return found


def objects(value: Any) -> Iterator[dict[str, Any]]:
    """Every object inside a JSON value."""
    if isinstance(value, dict):
        yield value
    for one in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from objects(one)


@pytest.mark.parametrize("command", SCHEMAS)
def test_committed_schema_is_current(command: str) -> None:
    """What is committed is what the records say; a changed shape cannot slip through."""
    compare(f"schema/{command}.json", json.dumps(SCHEMAS[command], indent=2) + "\n")


@pytest.mark.parametrize(("command", "text"), EACH)
def test_answer_fits_its_schema(command: str, text: str) -> None:
    """Each answer validates, and would not with a key more or a key less."""
    answer = json.loads(text)
    checker = jsonschema.Draft202012Validator(schema(command))
    checker.validate(answer)

    first = answer["answers"][0]
    assert not checker.is_valid(answer | {"answers": [first | {"surplus": 1}]})
    for key in first:
        assert not checker.is_valid(answer | {"answers": [{k: v for k, v in first.items() if k != key}]}), key


@pytest.mark.parametrize(("command", "text"), EACH)
def test_envelope_is_the_same_for_all(command: str, text: str) -> None:
    """Schema name with its version, tool, caution, inputs, answers."""
    answer = json.loads(text)

    assert list(answer) == ["schema", "tool", "caution", "inputs", "answers"]
    assert answer["schema"] == f"cache-check/{command}/2"
    assert answer["tool"] == {"name": "cache-check", "version": __version__}
    assert answer["caution"] == list(CAUTION)


def test_lengths_and_loads_are_exact_and_in_si() -> None:
    """50 in is 1270 mm, 6,000 lbf is 26689.3292956 N: nothing is rounded in JSON."""
    odd = tally(shortest=25_400_001, longest=1_270_000_000)
    (found,) = json.loads(as_json("check", [check_result(tallies=(odd,))], BOOK))["answers"][0]["tallies"]

    assert (found["shortest_mm"], found["longest_mm"]) == (25.400001, 1270.0)
    assert found["load_n"] == 26689.3292956
    assert found["factor"] == 2.0


def test_unknown_and_not_asked_are_null() -> None:
    """An unknown weight, an uncounted part and a step that was not asked are null, and their keys are there."""
    no_load = tally((7, 7, 6, 4, 3, None, 2), load=None, factor=None, best=packing(3))
    answer = json.loads(as_json("check", [check_result(tallies=(no_load,))], BOOK))["answers"][0]

    assert answer["parts"][0]["on_book"] is None
    rated = answer["tallies"][0]["counts"][5]
    assert rated == {"step": "rated", "count": None}
    assert answer["tallies"][0]["load_n"] is None
    assert answer["tallies"][0]["best"]["assemblies"][0]["assembly"]["mass_kg"] is None
    heavy = replace(reach_result().reach, assemblies=(assembly(mass=Fraction(5, 2)),))
    found = json.loads(as_json("reach", [reach_result(reach=heavy)], BOOK))["answers"][0]["reach"]
    assert found["assemblies"][0]["mass_kg"] == 2.5


def test_figures_of_findings_say_their_unit() -> None:
    """A figure kept in nanometres is shown in millimetres, and its name says so."""
    found = json.loads(ANSWERS["check"][0])["answers"][0]["findings"]

    (short,) = [one for one in found if one["severity"] == "short"]
    assert short["figures"] == [{"name": "have_count", "value": 7}, {"name": "longest_mm", "value": 1270.0}]


@pytest.mark.parametrize(("command", "text"), EACH)
def test_no_key_speaks_of_nanometres(command: str, text: str) -> None:
    """Base units of the inside stay inside."""
    assert command in ANSWERS
    assert not [key for one in objects(json.loads(text)) for key in one if key.endswith("_nm")]


def test_inputs_are_named_once_with_their_digest() -> None:
    """A family file shared by two caches is one input."""
    more = [Source(path="needs.yaml", sha256="cd" * 32)]
    inputs = json.loads(as_json("check", [check_result(), check_result()], BOOK, more))["inputs"]

    assert inputs == [{"path": "a.yaml", "sha256": "ab" * 32}, {"path": "needs.yaml", "sha256": "cd" * 32}]


def test_settings_carry_their_unit() -> None:
    """A limit changed by a setting is in millimetres, and says so."""
    (setting,) = json.loads(ANSWERS["rules"][0])["answers"][0]["settings"]

    assert setting["values"] == [{"name": "max", "value": 812.8, "value_unit": "mm"}]


def test_a_tuple_of_unlike_things_without_keys_is_refused() -> None:
    """Nobody can tell what the members of a bare pair are, so no answer may hold one."""

    @dataclass(frozen=True)
    class Bare:
        pair: tuple[str, int]

    with pytest.raises(TypeError, match="needs Keys"):
        as_told(Bare(("a", 1)), None)


def test_serials_of_findings_are_told() -> None:
    """A finding about one piece says which."""
    (answer,) = json.loads(as_json("check", [check_result()], BOOK))["answers"]

    assert [one["serial"] for one in answer["findings"]] == [one.serial for one in check_result().findings]
