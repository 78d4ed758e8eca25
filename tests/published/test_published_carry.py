"""Weights people may carry against OCCERG-46 and HSE-L23 (status: read)."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from cache_check.loads.carry import team_limit

DATA = Path(__file__).parent / "data"


def _values() -> dict[tuple[str, str], Fraction]:
    with (DATA / "manual_handling.csv").open(encoding="utf-8") as file:
        return {(row["item"], row["unit"]): Fraction(row["value"]) for row in csv.DictReader(file)}


@pytest.mark.parametrize(("unit", "two"), [("lb", Fraction(68)), ("kg", Fraction(92, 3))])
def test_team_of_two(unit: str, two: Fraction) -> None:
    """OCCERG-46 with HSE-L23: 51 lb (23 kg) for one gives 68 lb (30.7 kg) for two."""
    values = _values()
    one = values["NIOSH revised lifting equation load constant", unit]
    share = values["two-person team share of summed individual capability", "ratio"]

    assert team_limit(one, 1) == one
    assert team_limit(one, 2) == two
    assert float(team_limit(one, 2)) == pytest.approx(float(2 * one * share), abs=0.01)


def test_team_of_three() -> None:
    """HSE-L23: three people carry half of their sum; of four it is unlikely, so four are refused."""
    values = _values()
    share = values["three-person team share of summed individual capability", "ratio"]

    assert team_limit(51, 3) == 3 * 51 * share
    with pytest.raises(ValueError, match="persons is 4; it must be 1, 2 or 3"):
        team_limit(51, int(values["team size above which success is unlikely", "persons"]))
