"""Scenes for pooled stores: many needs of mixed kinds, wanting more than the stock stands up."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any

import yaml
from builders import SOUND_LOT, STATED

from cache_check.model.cache import Cache, Stock
from cache_check.model.need import Need, Scene
from cache_check.model.part import Adapter, Body, Extension, Fitting, Part, Strap
from cache_check.units import NEWTON_PER_LBF
from laws.generators import INCH, Instance


def store_of(instance: Instance) -> Cache:
    """The pieces of an instance as the store of one rig."""
    stock = tuple(Stock(part=part, rig="store", count=count, **SOUND_LOT) for part, count in instance.counts.items())
    return Cache(id="store", title="Store", units="us", catalogue=instance.catalogue, stock=stock, rigs=("store",))


def scene_of(seed: int, needs: int, struts: int, reach: tuple[int, int] = (40, 110)) -> Scene:
    """So many needs that want about so many struts: lengths or ranges (in), held or not, a third with a load."""
    draw = Random(f"scene {seed} {needs} {struts}")
    made = []
    for n in range(needs):
        length = draw.randint(2 * reach[0], 2 * reach[1]) * INCH // 2
        more = draw.choice([0, 0, 2, 4, 6]) * INCH
        loaded = draw.random() < 1 / 3
        made.append(
            Need(
                id=f"need {n}", count=max(1, round(struts / needs * draw.uniform(0.4, 1.6))),
                shortest=length, longest=length + more,
                load=draw.randint(1, 6) * 1000 * NEWTON_PER_LBF if loaded else None,
                factor=draw.choice([None, Fraction(2), Fraction(4)]) if loaded else None,
                restrained=draw.random() < 0.6,
            )
        )  # fmt: skip
    return Scene(id="scene", needs=tuple(made))


def written(instance: Instance, folder: Path) -> Path:
    """An instance as files in a folder: a sheet for each family and the cache that counts its pieces."""
    catalogue = instance.catalogue
    for family in catalogue.families:
        parts = {part.id.split("/")[1]: _type(part) for part in catalogue.parts if part.family == family.id}
        charts = [
            {
                "id": chart.id.split("/")[1], "states": chart.states,
                "rows": [{"length": _inches(row.length), "loads": [_pounds(load) for load in row.loads]}
                         for row in chart.rows],
            }
            for chart in family.charts
        ]  # fmt: skip
        rules = {"EXT-1": instance.book.value("EXT-1", "max"), "EXT-2": _inches(instance.book.value("EXT-2", "max"))}
        sheet = {
            "family": family.id, "units": "us", "joint_pin": "pin", "parts": parts, "charts": charts,
            "rules": {rule: {"max": value, "why": "the generator"} for rule, value in rules.items()},
        }  # fmt: skip
        _dump(folder / f"{family.id}.yaml", sheet)
    cache = {
        "cache": "store", "title": "Store", "units": "us", **STATED,
        "families": [f"{family.id}.yaml" for family in catalogue.families],
        "parts": {part: {"count": number} for part, number in instance.counts.items()},
    }  # fmt: skip
    return _dump(folder / "store.yaml", cache)


def needs_written(scene: Scene, folder: Path) -> Path:
    """A scene as a needs file."""
    needs = [
        {
            "id": need.id, "count": need.count, "from": _inches(need.shortest), "to": _inches(need.longest),
            "restrained": need.restrained,
        }
        | ({} if need.load is None else {"load": _pounds(need.load)})
        | ({} if need.factor is None else {"factor": int(need.factor)})
        for need in scene.needs
    ]  # fmt: skip
    return _dump(folder / "needs.yaml", {"needs": "drill", "units": "us", "scenes": {scene.id: {"needs": needs}}})


def _dump(path: Path, record: dict[str, Any]) -> Path:
    path.write_text(yaml.safe_dump(record, sort_keys=False), encoding="utf-8")
    return path


def _inches(length: int) -> float:
    return length / INCH


def _pounds(load: Fraction | None) -> int | None:
    return None if load is None else int(load / NEWTON_PER_LBF)


def _type(part: Part) -> dict[str, Any]:
    """A part as a sheet lists it."""
    fields: dict[str, Any] = {"kind": part.kind, "mass": 1}
    if isinstance(part, Body):
        fields |= {"closed": _inches(part.closed), "open": _inches(part.open), "lock": part.lock}
        if part.holes is not None:
            fields["holes"] = {"pitch": _inches(part.holes.pitch), "fine": _inches(part.holes.fine)}
    elif isinstance(part, Fitting):
        fields |= {"adds": _inches(part.adds), "serves": sorted(part.serves), "points": len(part.points)}
    elif isinstance(part, Extension | Adapter):
        fields["length"] = _inches(part.length)
    elif isinstance(part, Strap):
        fields["wll"] = 3333
    if isinstance(part, Adapter):
        ends = {"lower": part.lower.connector, "upper": part.upper.connector}
        fields |= ends | {"either_way_up": part.either_way_up}
    elif isinstance(part, Body):
        fields["either_way_up"] = part.either_way_up
    return fields
