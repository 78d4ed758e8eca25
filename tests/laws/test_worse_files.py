"""Worse in, never better out, leaf by leaf of the files that people write: what is left blank makes nothing better."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Iterator
from copy import deepcopy
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import yaml
from cli.running import SAMPLES

import cache_check as api
from cache_check.errors import AskError, InputError
from cache_check.model.counting import STEPS
from laws.strategies import THOROUGH

ON = api.WhatIf(on=date(2026, 11, 25))
RANK = {"not met": 0, "not known": 1, "met": 2}
FILES: dict[str, str] = {"rescue-41.yaml": "cache", "family-p.yaml": "family", "car-on-side.yaml": "situation"}
SAID_BY_POLICY = ("dynamic_allowance", "pretension")
"""What policy says where a situation does not: told as assumed, and milder than one that says worse."""
ANOTHER_QUESTION = ("on_this_side", "anchors", "contact_x")
"""How many are planned, and where the strut and its straps stand."""
EVERY = 1 if THOROUGH else 12
Data = dict[str, Any]
Route = tuple[str | int, ...]


def written() -> dict[str, Data]:
    """The sample files as plain data."""
    return {name: yaml.safe_load((SAMPLES / name).read_text()) for name in FILES}


def leaves(node: Any, route: Route = ()) -> Iterator[Route]:
    """The way to every entry of some data, whole entries too."""
    if route:
        yield route
    inside = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, value in inside:
        yield from leaves(value, (*route, key))


def without(data: Data, route: Route) -> Data:
    """The same data with one entry left out."""
    left = deepcopy(data)
    at: Any = left
    for key in route[:-1]:
        at = at[key]
    del at[route[-1]]
    return left


def found(folder: Path, files: dict[str, Data]) -> dict[str, int]:
    """The rank of each verdict, and the counts; nothing of files that are refused."""
    for name, data in files.items():
        (folder / name).write_text(yaml.safe_dump(data, sort_keys=False))
    try:
        cache = api.read_cache(folder / "rescue-41.yaml")
        load = api.load(cache, api.read_rules(), api.read_situation(folder / "car-on-side.yaml"), suppose=ON)
        check = api.check(
            cache, api.read_rules(), needs=api.read_needs(SAMPLES / "needs.yaml"), suppose=ON, whole=False
        )
    except (AskError, InputError):
        return {}
    facts = {"load": RANK[load.verdict], "load, rated": load.tally.count("rated") or 0}
    facts |= {f"scene {one.scene}": RANK[one.verdict] for one in check.scenes}
    facts |= {f"{one.label}, {step}": one.count(step) or 0 for one in check.tallies for step in STEPS}
    return facts


TRIED = [
    (name, route)
    for name, data in written().items()
    for route in [*leaves(data)][:: 1 if FILES[name] == "situation" else EVERY]
    if route[-1] not in SAID_BY_POLICY + ANOTHER_QUESTION
]


def better(changed: Data, of: Iterable[str]) -> list[tuple[object, ...]]:
    """What gets better when some entry of some files is left out of the sample, so changed."""
    files = written()
    files["car-on-side.yaml"] |= changed
    found_better: list[tuple[object, ...]] = []
    with tempfile.TemporaryDirectory() as made:
        before = found(Path(made), files)
        assert (before["load"] == RANK["met"]) == (not changed), changed
        for name, route in (one for one in TRIED if FILES[one[0]] in of):
            after = found(Path(made), files | {name: without(files[name], route)})
            for what, now in after.items():
                if now > before.get(what, 0) and ("," in what or now == RANK["met"]):
                    found_better.append((name, route, what, before.get(what), now))
    return found_better


@pytest.mark.parametrize("changed", [{}, {"weight": 17_000}], ids=["held", "too heavy"])
def test_what_is_left_blank_makes_nothing_better(changed: Data) -> None:
    """Of a car that is held and of one that is not: no verdict becomes a yes, and no count rises."""
    assert better(changed, FILES.values()) == []


@pytest.mark.parametrize("changed", [
    {"soil": "300 psf"}, {"contact": "wall"}, {"far_anchors": "100 lbf"}, {"on_the_other_side": 0},
])  # fmt: skip
def test_a_fact_that_makes_a_no_makes_no_yes_by_being_left_out(changed: Data) -> None:
    """Soft ground, a contact no head is made for, weak far anchors, too few for a car: unsaid they are not known."""
    assert better(changed, ["situation"]) == []
