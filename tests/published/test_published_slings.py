"""Leg loads by angle against OSHA, Guidance on Safe Sling Use, Tables 1 and 2 (status: read)."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from cache_check.loads.demand import axial_from_vertical, vertical_from_axial
from cache_check.loads.geometry import angle_of_length_deg

DATA = Path(__file__).parent / "data"
TOLERANCE_LB = 60.0
LEGS = {"two_leg": 2, "three_four_leg": 3}


def _cells() -> list[tuple[str, float, int, float, float]]:
    cells = []
    with (DATA / "sling_chain_rated_load_by_angle.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            single = float(row["single_leg_90deg_lb"])
            for name, legs in LEGS.items():
                for angle in (60, 45, 30):
                    cell = row[f"{name}_{angle}deg_lb"]
                    if cell:
                        label = f"{row['source']} grade {row['grade']} {row['size_mm']} mm {name} {angle} deg"
                        cells.append((label, single, legs, float(angle), float(cell)))
    return cells


CELLS = _cells()


def test_all_cells_of_both_tables_are_checked() -> None:
    """Sixteen sizes with six angled cells each, less the four cut off in the copy, are compared."""
    assert len(CELLS) == 16 * 6 - 4


@pytest.mark.parametrize(("label", "single", "legs", "angle", "cell"), CELLS, ids=[cell[0] for cell in CELLS])
def test_sling_cell(label: str, single: float, legs: int, angle: float, cell: float) -> None:
    """The vertical share of legs at an angle agrees with every printed cell within its rounding."""
    assert legs * vertical_from_axial(single, angle) == pytest.approx(cell, abs=TOLERANCE_LB), label


@pytest.mark.parametrize("angle", [15.0, 30.0, 45.0, 60.0, 80.0])
def test_height_over_leg_length_is_the_same_rule(angle: float) -> None:
    """Two legs by height over leg length (Navy 14251 at fig. 6-17, read) carry what they carry by angle."""
    leg = 120.0
    height = vertical_from_axial(leg, angle)
    by_lengths = 5000 * (height / leg) * 2

    assert 2 * vertical_from_axial(5000, angle_of_length_deg(leg, height)) == pytest.approx(by_lengths)
    assert axial_from_vertical(by_lengths / 2, angle) == pytest.approx(5000)
