"""Published friction coefficients: what they would hold, for information."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from cache_check.loads.slip import foot_friction_needed, steep_enough_deg

DATA = Path(__file__).parent / "data"
with (DATA / "friction_coefficients.csv").open(encoding="utf-8") as _file:
    PAIRS = list(csv.DictReader(_file))


@pytest.mark.parametrize(
    "row",
    PAIRS,
    ids=[f"{row['source']} {row['pair']} {row['status']}".replace("memory", "from memory") for row in PAIRS],
)
def test_low_end_asks_for_the_steeper_strut(row: dict[str, str]) -> None:
    """At the angle found for the low end the base needs just that friction; the high end allows a flatter one."""
    low, high = float(row["static_low"]), float(row["static_high"])

    assert foot_friction_needed(steep_enough_deg(low)) == pytest.approx(low)
    assert steep_enough_deg(low) >= steep_enough_deg(high)


def test_metal_on_wood() -> None:
    """OPENSTAX-6.2 (read): at 0.5 an unstrapped base holds by friction only from 63.43 deg up; 60 deg slips."""
    coefficient = next(float(row["static_low"]) for row in PAIRS if row["pair"] == "metal on wood")

    assert steep_enough_deg(coefficient) == pytest.approx(63.43, abs=0.01)
    assert foot_friction_needed(60) > coefficient


def test_kinetic_is_three_quarters_of_static() -> None:
    """CTU-A7-2 (read): each kinetic figure is 0.75 of the static one, so no copying slip stands in the table."""
    rows = [row for row in PAIRS if row["source"] == "CTU-A7-2"]

    assert len(rows) == 12
    assert all(float(row["kinetic_low"]) == pytest.approx(0.75 * float(row["static_low"])) for row in rows)
