"""Lengths and runs through ``load`` against published figures (status: read, unless the name says otherwise)."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from builders import loaded, tidy

import cache_check as api
from cache_check.files.rules import read_rules
from cache_check.units import NM_PER_INCH
from published.tables import Row, rows, title


def stood(**fields: Any) -> tuple[float, float]:
    """Length of a strut and run of its base that ``load`` gives, in."""
    found = loaded(tidy(), vertical=100, **fields).geometry
    return found.length / NM_PER_INCH, found.offset / NM_PER_INCH


def test_diagonal_shore() -> None:
    """NAV14057-8-12: 4 ft up and 6 ft 9 in out is the published diagonal, to the resolution of its square."""
    values = {row["item"]: float(row["value"]) for row in rows("shore_length_worked_example")}
    length, _ = stood(contact_height=values["vertical leg A"], base_offset=values["horizontal leg B"])

    assert length == pytest.approx(values["exact diagonal"], abs=5e-5)
    assert length == pytest.approx(
        values["measured diagonal full size"], abs=values["rule resolution at full size (1/16 in on square)"]
    )


def test_a_shore_is_cut_for_what_goes_under_it() -> None:
    """NAV14057-8-12: 1/2 in of wedges under a shore of 94 in, and both fill the measured diagonal, to the nanometre."""
    values = {row["item"]: Fraction(row["value"]) for row in rows("shore_length_worked_example")}
    shore, wedges = values["final shore length"], values["wedge allowance deducted"]
    whole = int(values["measured diagonal full size"] * NM_PER_INCH)
    body = {"closed": 90, "open": float(shore), "pull_apart": None}
    cut = tidy(
        parts={"body": body, "base": {"adds": float(wedges)}, "head": {"adds": 0}}, counts={"ext-6": 0, "ext-12": 0}
    )

    longest = [api.reach(cut, read_rules(), at=at).at for at in (whole, whole + 1)]
    assert [one and one.count("buildable") for one in longest] == [2, 0]


GEOMETRY, RUNS = rows("raker_geometry"), rows("raker_run")


@pytest.mark.parametrize("row", GEOMETRY, ids=map(title, GEOMETRY))
def test_raker_length(row: Row) -> None:
    """RAKER45-SLIDES and RAKER60-SLIDES: the exact length is at or under the published round-up, and near it."""
    feet, angle = float(row["insertion_height_ft"]), float(row["angle_from_ground_deg"])
    length, _ = stood(contact_height=12 * feet, angle=angle)
    published = float(row["raker_length_in_published"])

    assert published - 0.15 * feet <= length <= published
    assert published == float(row["rule_in_per_ft"]) * feet
    assert length == pytest.approx(float(row["exact_length_in"]), abs=5e-4)
    assert length / feet == pytest.approx(float(row["exact_in_per_ft"]), abs=5e-5)


@pytest.mark.parametrize("row", RUNS, ids=map(title, RUNS))
def test_raker_run(row: Row) -> None:
    """RAKER45-SLIDES and RAKER60-SLIDES: the run for each foot of height is at or under the published figure."""
    _, run = stood(contact_height=12, angle=float(row["angle_from_ground_deg"]))

    assert run == pytest.approx(float(row["exact_run_in_per_ft"]), abs=5e-5)
    assert run <= float(row["run_in_per_ft_height_published"]) + 1e-9
