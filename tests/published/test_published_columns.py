"""Euler's column against VT-STRENGTH-15, Examples 15.1 to 15.3 and fig. 15.9 (status: read)."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from cache_check.loads.column import critical_stress, euler_load

DATA = Path(__file__).parent / "data"


def _rows(name: str) -> list[dict[str, str]]:
    with (DATA / f"{name}.csv").open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


EXAMPLES = _rows("euler_worked_examples")


def _half_digit(text: str) -> float:
    return 0.5 * 10.0 ** -len(text.partition(".")[2])


@pytest.mark.parametrize("row", EXAMPLES, ids=[f"{row['source']} {row['example']}" for row in EXAMPLES])
def test_euler_example(row: dict[str, str]) -> None:
    """The buckling load and stress agree to the last printed digit."""
    load = euler_load(float(row["E_ksi"]), float(row["I_in4"]), 12 * float(row["length_ft"]), float(row["K"]))

    assert load == pytest.approx(float(row["Pcr_kip_published"]), abs=_half_digit(row["Pcr_kip_published"]))
    if row["sigma_cr_ksi_published"]:
        stress = critical_stress(load, float(row["area_in2"]))
        assert stress == pytest.approx(
            float(row["sigma_cr_ksi_published"]), abs=_half_digit(row["sigma_cr_ksi_published"])
        )


def test_effective_length_factors() -> None:
    """VT-STRENGTH-15: fixing the ends divides the load by K squared, as the four published factors say."""
    pinned = euler_load(29000, 16.7, 96)
    times = {
        row["end_condition"]: euler_load(29000, 16.7, 96, float(row["K_theory"])) / pinned
        for row in _rows("effective_length_factors")
    }

    assert times == pytest.approx({"pinned-pinned": 1, "fixed-fixed": 4, "pinned-fixed": 1 / 0.49, "fixed-free": 0.25})
