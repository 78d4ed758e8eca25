"""Lengths and runs through ``load`` against published figures (status: read, unless the name says otherwise)."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

import pytest
from builders import loaded, tidy

from cache_check.units import NM_PER_INCH

DATA = Path(__file__).parent / "data"


def _rows(name: str) -> list[dict[str, str]]:
    with (DATA / f"{name}.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def stood(**fields: Any) -> tuple[float, float]:
    """Length of a strut and run of its base that ``load`` gives, in."""
    found = loaded(tidy(), vertical=100, **fields).geometry
    return found.length / NM_PER_INCH, found.offset / NM_PER_INCH


def test_diagonal_shore() -> None:
    """NAV14057-8-12: 4 ft up and 6 ft 9 in out is the published diagonal, to the resolution of its square."""
    values = {row["item"]: float(row["value"]) for row in _rows("shore_length_worked_example")}
    length, _ = stood(contact_height=values["vertical leg A"], base_offset=values["horizontal leg B"])

    assert length == pytest.approx(values["exact diagonal"], abs=5e-5)
    assert length == pytest.approx(
        values["measured diagonal full size"], abs=values["rule resolution at full size (1/16 in on square)"]
    )


@pytest.mark.parametrize("row", _rows("raker_geometry"), ids=lambda row: f"{row['source']} {row['status']}")
def test_raker_length(row: dict[str, str]) -> None:
    """RAKER45-SLIDES and RAKER60-SLIDES: the exact length is at or under the published round-up, and near it."""
    feet, angle = float(row["insertion_height_ft"]), float(row["angle_from_ground_deg"])
    length, _ = stood(contact_height=12 * feet, angle=angle)
    published = float(row["raker_length_in_published"])

    assert published - 0.15 * feet <= length <= published
    assert length / feet == pytest.approx(float(row["exact_in_per_ft"]), abs=5e-5)


@pytest.mark.parametrize("row", _rows("raker_run"), ids=lambda row: f"{row['source']} {row['status']}")
def test_raker_run(row: dict[str, str]) -> None:
    """RAKER45-SLIDES and RAKER60-SLIDES: the run for each foot of height is at or under the published figure."""
    _, run = stood(contact_height=12, angle=float(row["angle_from_ground_deg"]))

    assert run == pytest.approx(float(row["exact_run_in_per_ft"]), abs=5e-5)
    assert run <= float(row["run_in_per_ft_height_published"]) + 1e-9
