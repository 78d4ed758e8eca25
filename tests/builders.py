"""Small named instances that a person can hold in the head, built straight from the model."""

from __future__ import annotations

from typing import Any

from cache_check.model.cache import Cache, Stock
from cache_check.model.family import Catalogue, Chart, Family
from cache_check.model.part import Body, Extension, Fitting, Part, Pin, Strap
from cache_check.model.rule import Setting

US = {"units": "us"}


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
        make(Fitting, "hinged-base", adds=3.0, mass=5.5, serves=["base"], points=2),
        make(Fitting, "edge-head", adds=2.0, mass=2.5, serves=["head"]),
        make(Fitting, "point-head", adds=2.5, mass=2.0, serves=["head"]),
        make(Fitting, "flat-fitting", adds=1.5, mass=2.0, serves=["base", "head"]),
        make(Pin, "joint-pin", mass=0.3),
        make(Strap, "strap", wll=3333, mass=3.0),
    )
    rows = [
        (48, [24000, 22000, 20000]), (60, [20000, 18000, 16000]), (72, [16000, 14500, 12800]),
        (84, [None, 12000, 10500]), (96, [None, 10000, 8600]), (108, [None, None, 7000]),
    ]  # fmt: skip
    chart = Chart.model_validate(
        {
            "id": "P-chart", "family": "P", "states": "failure load",
            "rows": [{"length": length, "loads": [x for x in loads]} for length, loads in rows],
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
        stock=tuple(Stock(part=f"P/{name}", rig="rescue-41", count=n) for name, n in counts.items()),
        settings=(Setting(rule="EXT-2", values={"max": 32 * 25_400_000}, by="family P", family="P"),),
        rigs=("rescue-41",),
    )
