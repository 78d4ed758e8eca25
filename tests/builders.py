"""Small named instances that a person can hold in the head, built straight from the model."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from pydantic import TypeAdapter

import cache_check as api
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache, Compartment, ReadySet, Stock
from cache_check.model.family import Catalogue, Chart, Family
from cache_check.model.load import LoadResult
from cache_check.model.need import Need, Needs, Scene
from cache_check.model.part import Body, Extension, Fitting, Part, Pin, Strap
from cache_check.model.result import CheckResult
from cache_check.model.rule import Setting, Severity
from cache_check.model.situation import Situation

US = {"units": "us"}
MARKED = ({"wll": 5000}, {"wll": 5000})
"""Two attachment points, each with its limit."""
SOUND_LOT: dict[str, Any] = {"inspected": date(2026, 1, 10), "label": "legible", "made": date(2024, 1, 1)}
"""What a line says of pieces in which nothing is wrong."""
STATED = {"inspected": "2026-01-10", "label": "legible", "made": "2024-01-01"}
"""What the file of a cache says once of pieces in which nothing is wrong."""
SOUND_PIECE: dict[str, Any] = {"inspected": date(2026, 1, 10), "label": "legible", "acquired": date(2024, 1, 1)}
"""What a piece with a serial says in which nothing is wrong."""


def family_p() -> tuple[Family, tuple[Part, ...]]:
    """Family P of the demonstration county, with its chart of failure loads."""

    def make(kind: type[Any], name: str, **fields: Any) -> Part:
        part: Part = kind.model_validate({"id": f"P/{name}", "family": "P", **fields}, context=US)
        return part

    parts = (
        make(Body, "short-body", closed=26.5, open=39.0, mass=13.0, lock="collar", pull_apart=43.0),
        make(Body, "long-body", closed=43.0, open=66.0, mass=22.5, lock="collar", pull_apart=70.0),
        make(Extension, "extension-10", length=10.0, mass=4.5),
        make(Extension, "extension-22", length=22.0, mass=8.5),
        make(
            Fitting,
            "hinged-base",
            adds=3.0,
            mass=5.5,
            serves=["base"],
            points=MARKED,
            footprint={"length": 7, "width": 7},
        ),
        make(Fitting, "edge-head", adds=2.0, mass=2.5, serves=["head"], contacts=["edge"]),
        make(Fitting, "point-head", adds=2.5, mass=2.0, serves=["head"], contacts=["hole"]),
        make(Fitting, "flat-fitting", adds=1.5, mass=2.0, serves=["base", "head"], contacts=["flat"]),
        make(Pin, "joint-pin", mass=0.3),
        make(Strap, "strap", wll=3333, mass=3.0, length="20 ft"),
    )
    rows: list[tuple[int, list[int | None]]] = [
        (48, [24000, 22000, 20000]), (60, [20000, 18000, 16000]), (72, [16000, 14500, 12800]),
        (84, [None, 12000, 10500]), (96, [None, 10000, 8600]), (108, [None, None, 7000]),
    ]  # fmt: skip
    chart = Chart.model_validate(
        {
            "id": "P-chart", "family": "P", "states": "failure load",
            "rows": [{"length": length, "loads": loads} for length, loads in rows],
        },
        context=US,
    )  # fmt: skip
    return Family(id="P", connectors={"P": "P/joint-pin"}, charts=(chart,)), parts


def rescue_41(**changed: int) -> Cache:
    """Rescue 41 as the demonstration county lists it; keyword arguments change counts (dashes as underscores)."""
    family, parts = family_p()
    counts = {
        "short-body": 4, "long-body": 3, "extension-10": 4, "extension-22": 3, "hinged-base": 5, "edge-head": 4,
        "point-head": 3, "flat-fitting": 2, "joint-pin": 16, "strap": 7,
    } | {name.replace("_", "-"): n for name, n in changed.items()}  # fmt: skip
    return Cache(
        id="rescue-41",
        title="Rescue 41",
        units="us",
        catalogue=Catalogue(families=(family,), parts=parts),
        stock=tuple(Stock(part=f"P/{name}", rig="rescue-41", count=n, **SOUND_LOT) for name, n in counts.items()),
        settings=(Setting(rule="EXT-2", values={"max": 32 * 25_400_000}, by="family P", family="P"),),
        rigs=("rescue-41",),
    )


_PART: TypeAdapter[Part] = TypeAdapter(Part)
_TIDY: dict[str, dict[str, Any]] = {
    "body": {"kind": "body", "closed": 30, "open": 50, "pull_apart": 55, "lock": "collar", "mass": 15},
    "ext-6": {"kind": "extension", "length": 6, "mass": 3},
    "ext-12": {"kind": "extension", "length": 12, "mass": 5},
    "base": {
        "kind": "fitting",
        "adds": 3,
        "serves": "base",
        "points": MARKED,
        "mass": 6,
        "footprint": {"length": 7, "width": 7},
    },
    "head": {"kind": "fitting", "adds": 2, "serves": "head", "mass": 2, "contacts": ["edge", "flat"]},
    "pin": {"kind": "pin", "mass": "0.25"},
    "strap": {"kind": "strap", "wll": 3333, "mass": 3, "length": "20 ft"},
}
_TIDY_COUNTS = {"body": 2, "ext-6": 1, "ext-12": 1, "base": 2, "head": 2, "pin": 8, "strap": 4}
_TIDY_CHART: dict[str, Any] = {
    "id": "T-chart", "family": "T", "states": "rated load", "factor": 2, "edition": "T-1", "dated": "2026-01-15",
    "rows": [{"length": 55, "loads": [8000, 7600, 7200]}, {"length": 75, "loads": [5000, 4700, 4400]}],
}  # fmt: skip
NOT_LISTED = -1
"""A count for ``tidy`` that leaves the part out of the cache, though not out of the catalogue."""


def tidy(
    *,
    parts: Mapping[str, Mapping[str, Any]] | None = None,
    counts: Mapping[str, int | None] | None = None,
    chart: Mapping[str, Any] | None = None,
    items: Mapping[str, Sequence[Mapping[str, Any]]] | None = None,
    out: Mapping[str, Mapping[Any, int]] | None = None,
    ready_sets: tuple[ReadySet, ...] = (),
    compartments: Sequence[Mapping[str, Any]] = (),
    joints: str = "T/pin",
) -> Cache:
    """A small cache of family T in which nothing is wrong: two struts of 35 to 73 in, restrained and rated.

    ``parts`` changes fields of its parts by name, or adds parts (of another family where they say so);
    ``counts``, ``items`` and ``out`` change the stock, ``chart`` fields of the chart, which
    ``chart={"rows": []}`` removes.  ``joints`` is the pin of family T.
    """
    specs = {name: dict(fields) for name, fields in _TIDY.items()}
    for name, fields in (parts or {}).items():
        specs[name] = specs.get(name, {}) | dict(fields)
    made: list[Part] = []
    for name, fields in specs.items():
        family = fields.get("family", "T")
        made.append(_PART.validate_python({"id": f"{family}/{name}", "family": "T"} | fields, context=US))
    ids = {part.name: part.id for part in made}
    stated: dict[str, int | None] = {**_TIDY_COUNTS, **(counts or {})}
    pieces = items or {}
    stock = [
        Stock.model_validate(
            {
                "part": ids[name], "rig": "tidy", "count": count, "where": "drawer 1", "out": (out or {}).get(name, {}),
                **SOUND_LOT,
                "items": [{"part": ids[name], "rig": "tidy"} | SOUND_PIECE | dict(one) for one in pieces.get(name, [])],
            }
        )
        for name, count in stated.items()
        if count != NOT_LISTED
    ]  # fmt: skip
    written = _TIDY_CHART | dict(chart or {})
    charts = (Chart.model_validate(written, context=US),) if written["rows"] else ()
    families = [Family(id="T", connectors={"T": joints}, charts=charts)]
    families += [Family(id=family) for family in dict.fromkeys(p.family for p in made) if family != "T"]
    return Cache(
        id="tidy", title="Tidy", units="us", catalogue=Catalogue(families=tuple(families), parts=tuple(made)),
        stock=tuple(stock), ready_sets=ready_sets, rigs=("tidy",), book_date=date(2026, 2, 1),
        compartments=tuple(Compartment.model_validate({"rig": "tidy"} | dict(one), context=US) for one in compartments),
    )  # fmt: skip


def moved(cache: Cache, rig: str) -> Cache:
    """Pieces alike on another rig, their serials ending in its name."""
    stock = tuple(
        line.changed(rig=rig, items=tuple(item.changed(rig=rig, serial=f"{item.serial} {rig}") for item in line.items))
        for line in cache.stock
    )
    sets = tuple(
        ready.changed(rig=rig, serials=tuple(f"{serial} {rig}" for serial in ready.serials))
        for ready in cache.ready_sets
    )
    return cache.changed(id=rig, title=rig.title(), rigs=(rig,), stock=stock, ready_sets=sets)


def ready_set(name: str, *parts: str, serials: tuple[str, ...] = ()) -> ReadySet:
    """A ready set of ``tidy``'s rig, parts named ground to load."""
    return ReadySet(id=name, rig="tidy", parts=tuple(f"T/{part}" for part in parts), where="tray", serials=serials)


def needs_of(*scenes: list[dict[str, Any]]) -> Needs:
    """Scenes of needs in inches and lbf; each need is its fields, ``at`` standing for one length."""
    made = []
    for n, fields in enumerate(scenes, 1):
        needs = []
        for m, need in enumerate(fields, 1):
            at = {"shortest": need["at"], "longest": need["at"]} if "at" in need else {}
            plain = {key: value for key, value in need.items() if key != "at"}
            needs.append(Need.model_validate({"id": f"need {m}", "count": 1} | at | plain, context=US))
        made.append(Scene(id=f"drill {n}", needs=tuple(needs)))
    return Needs(scenes=tuple(made))


def checked(cache: Cache, *settings: Setting, needs: Needs | None = None, on: date = date(2026, 4, 1)) -> CheckResult:
    """What the program says of a cache on 1 April 2026, settings on top of its rules."""
    return api.check(cache, read_rules(), needs=needs, suppose=api.WhatIf(on=on, settings=settings))


def situation(**fields: Any) -> Situation:
    """A situation in inches, pounds, lbf and psf, its entries as a file would have them."""
    return Situation.model_validate(fields, context=US)


_SURE: dict[str, Any] = {
    "contact": "edge", "soil": 50_000, "sure": True, "why": "sound rock", "dynamic_allowance": "1",
    "far_anchors": "structure", "anchor_distance": 60, "pretension": 0,
}  # fmt: skip


def sure(**fields: Any) -> Situation:
    """A situation in which nothing is left unknown but what ``fields`` leave so; a field of None is left out."""
    of_ties = ("far_anchors", "anchor_distance", "pretension")
    filled = {name: value for name, value in _SURE.items() if fields.get("ties") != "none" or name not in of_ties}
    if "anchors" in fields:
        filled.pop("anchor_distance", None)
    return situation(**{name: value for name, value in (filled | fields).items() if value is not None})


def loaded(cache: Cache, *settings: Setting, on: date = date(2026, 4, 1), **fields: Any) -> LoadResult:
    """What the program says of a situation on 1 April 2026, settings on top; ``sure`` but for ``fields``.

    Where no class of vehicle is stated it is asked of struts by themselves, so that no floor of their number holds.
    """
    if fields.get("vehicle") is None and not any(one.rule == "NUM-1" for one in settings):
        settings += (change("NUM-1", on=False),)
    return api.load(cache, read_rules(), sure(**fields), suppose=api.WhatIf(on=on, settings=settings))


def change(rule: str, *, on: bool | None = None, severity: Severity | None = None, **values: Any) -> Setting:
    """A setting that holds everywhere, values in base units."""
    return Setting(rule=rule, on=on, severity=severity, values=values, by="a test")
