"""The heaviest car by contact height: by hand, and what ``load`` says of that car."""

from __future__ import annotations

import math
from datetime import date
from typing import Any

import pytest
from builders import change, loaded, rescue_41

from cache_check.files.rules import read_rules
from cache_check.model.report import Heaviest
from cache_check.planning.loading.at_hand import heaviest
from cache_check.planning.packing.muster import Muster
from cache_check.units import NEWTON_PER_LBF, NM_PER_INCH


def found(**counts: int) -> Heaviest:
    """Of Rescue 41 with some of its counts changed."""
    return heaviest(Muster(rescue_41(**counts), read_rules(), date(2026, 4, 1)))


def test_straps_at_the_widest_hold_it_by_hand() -> None:
    """Two straps of 3,333 lbf less 50 of pre-tension at 45 deg hold 4,643 out, so 9,286 along each of two at 60 deg.

    Leaning, 1.25 W h / 2 = F h cos 60, and two carry F: W = 9,286 / 0.625.  At rest half of the weight rights it and
    1.25 times half of it pushes, so W (0.625 - 0.5) = F cos 60.
    """
    row = next(row for row in found(strap=12).rows if row[0] == 50 * NM_PER_INCH)
    each = (3333 - 50) * 2 * math.cos(math.radians(45)) / math.cos(math.radians(60))

    at_rest, leaning = (float((one or 0) / NEWTON_PER_LBF) for one in row[2:])
    assert leaning == pytest.approx(each / 0.625)
    assert at_rest == pytest.approx(each * 2 * 0.5 / 0.125)


@pytest.mark.parametrize("lies", ["weight_inside", "weight_outside"])
def test_load_holds_that_car_and_none_that_is_heavier(lies: str) -> None:
    """At some heights of the table, with as many struts: met at the weight, and fewer rated at a hundredth more."""
    cache, told = rescue_41(strap=6), found(strap=6)
    some = [row for row in told.rows if row[3]][::3]
    assert len(some) > 1
    for height, _, at_rest, leaning in some:
        weight = at_rest if lies == "weight_inside" else leaning
        place: dict[str, Any] = {lies: f"{height / NM_PER_INCH / 2} in", "edges_apart": f"{height / NM_PER_INCH} in"}
        for times, holds in ((1, True), (1.01, False)):
            found_ = loaded(
                cache, change("PRE-1", on=False), vehicle="car",
                contact_height=f"{height / NM_PER_INCH} in", angle=60, on_this_side=told.struts,
                weight=f"{float(weight or 0) * times / 1000 * 0.999999} kN", dynamic_allowance=None,
                pretension=None, **place,
            )  # fmt: skip
            assert ((found_.tally.count("rated") or 0) >= told.struts) == holds


def test_none_where_too_few_stand_at_once() -> None:
    """Five straps hold two struts, and policy asks for three."""
    assert {row[2:] for row in found(strap=5).rows} == {(None, None)}
