"""Pitfalls of charts, loads, units and rounding, each by its number."""

from __future__ import annotations

import math
from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from builders import checked, needs_of, tidy

from cache_check.errors import NotReadError
from cache_check.files.rules import read_rules
from cache_check.loads.capacity import Capacity
from cache_check.loads.chart import DesignFactor
from cache_check.loads.demand import axial_from_vertical, thrust_from_vertical, two_strut_shares
from cache_check.loads.geometry import height_above_seat, strut_length
from cache_check.model.assembly import Assembly
from cache_check.model.cache import Cache
from cache_check.planning.packing.muster import Muster
from cache_check.units import NEWTON_PER_LBF, force_n, length_nm, mass_kg, show, weight_n

ROWS = [{"length": 55, "loads": [8000, 7600, 7200]}, {"length": 75, "loads": [None, 4700, 4400]}]


def rated(inches: float | str, extensions: int, factor: int = 2, cache: Cache | None = None) -> Fraction | None:
    """The rated load, lbf, of a build of the tidy cache with so many extensions, set to a length."""
    cache = cache or tidy(chart={"rows": ROWS})
    at, capacity = length_nm(inches, "us"), Capacity(cache.catalogue, read_rules())
    load = capacity.rated(build(cache, extensions), at, at, DesignFactor(Fraction(factor), said=True))
    return None if load is None else load / NEWTON_PER_LBF


def build(cache: Cache, extensions: int) -> Assembly:
    """The first build with so many extensions."""
    muster = Muster(cache, read_rules(), date(2026, 4, 1))
    return next(one for one in muster.joined.assemblies() if one.extensions == extensions)


def test_pitfall_06_capacity_is_read_at_the_length_used() -> None:
    """One build, one extension: 7,600 lbf at 50 in, 4,700 at 60; neither its closed nor its open length governs."""
    assert rated(50, 1) == 7600
    assert rated(60, 1) == 4700


def test_pitfall_07_the_chart_is_read_by_extensions_too() -> None:
    """At one length more extensions carry less."""
    assert [rated(50, extensions) for extensions in (0, 1, 2)] == [8000, 7600, 7200]


def test_pitfall_08_no_straight_line_between_two_rows() -> None:
    """Just past 55 in the 75 in row governs at once."""
    assert rated(55, 1) == 7600
    assert rated("55 1/64 in", 1) == 4700


def test_pitfall_09_nothing_is_rated_past_the_last_row() -> None:
    """Past the last row there is no figure, not a smaller one."""
    assert rated(75, 2) == 4400
    assert rated("75 1/64 in", 2) is None
    assert rated("1905.000001 mm", 2) is None


def test_pitfall_10_a_blank_cell_is_unrated() -> None:
    """A blank cell is neither 0 nor infinite: rated None, and no strut is counted for any load, however small."""
    needs = needs_of([{"at": 56, "load": 1}])
    result = checked(
        tidy(chart={"rows": ROWS}, parts={"body": {"open": 51}}, counts={"ext-6": 0, "ext-12": 0}), needs=needs
    )

    assert rated(56, 0) is None
    assert result.tallies[0].count("restrained") == 2
    assert result.tallies[0].count("rated") == 0


@pytest.mark.parametrize("wrong", ["1,500", "1,5 kN", "5 ton", "2 tons", "1.5 mt", "3 stone"])
def test_pitfall_14_a_quantity_that_reads_two_ways_is_refused(wrong: str) -> None:
    """A comma may be thousands or a decimal, a ton long, short or metric: neither is guessed."""
    with pytest.raises(NotReadError):
        force_n(wrong, "us")
    with pytest.raises(NotReadError):
        mass_kg(wrong, "us")


def test_pitfall_14_inches_and_millimetres_force_and_mass_are_kept_apart() -> None:
    """62 in is 1574.8 mm exactly; 1,000 lb of mass weighs 1,000 lbf exactly, and is no 1,000 kg."""
    assert length_nm("62 in") == length_nm("1574.8 mm") == length_nm(62, "us")
    assert weight_n(mass_kg("1000 lb")) == force_n("1000 lbf")
    assert mass_kg(1000, "si") > 2 * mass_kg(1000, "us")
    assert force_n(5, "si") == force_n("5 kN") != force_n(5, "us")


def test_pitfall_24_height_is_not_strut_length() -> None:
    """48 in up and 36 in out is a strut of 60 in."""
    assert strut_length(48, 36) == 60


def test_pitfall_26_ground_that_drops_makes_the_strut_longer() -> None:
    """6 in of drop at the base turns 42 in of height into 48, and the strut from 55.3 in into 60."""
    assert height_above_seat(42, 6) == 48
    assert strut_length(height_above_seat(42, 6), 36) > strut_length(height_above_seat(42), 36)


def test_pitfall_27_a_vertical_demand_is_not_the_force_along_the_strut() -> None:
    """1,000 lbf up through a strut at 45 deg is 1,414 lbf along it and 1,000 out at its base."""
    assert axial_from_vertical(1000, 45) == pytest.approx(1000 * math.sqrt(2))
    assert thrust_from_vertical(1000, 45) == pytest.approx(1000)


def test_pitfall_28_a_chart_at_two_to_one_is_not_divided_by_two_again() -> None:
    """A chart that states rated loads at 2:1 stays as printed at 2:1; a failure load is divided once."""
    failure = tidy(chart={"states": "failure load", "factor": None, "rows": ROWS})

    assert rated(50, 0, 2) == 8000
    assert rated(50, 0, 4) == 4000
    assert rated(50, 0, 2, failure) == 4000


def test_pitfall_28_straps_are_not_re_rated_by_the_design_factor() -> None:
    """The working load limit of web holds a factor already: at 4:1 as many struts are restrained as at 2:1."""
    counts = [
        checked(tidy(), needs=needs_of([{"at": 50, "load": 3000, "factor": factor}])).tallies[0].count("rated")
        for factor in (1, 2, 4)
    ]

    assert counts == [2, 2, 2]


def test_pitfall_30_struts_do_not_share_equally() -> None:
    """A load nearer one strut loads it more."""
    assert two_strut_shares(900, 0, 9, 3) == pytest.approx((600, 300))


def test_pitfall_34_limits_are_met_exactly_or_not_at_all() -> None:
    """73 in is reached and 73 in and a nanometre is not; 914.4 mm of extension is 36 in and not over it."""
    exact: dict[str, dict[str, Any]] = {"ext-6": {"length": "609.6 mm"}}
    over: dict[str, dict[str, Any]] = {"ext-6": {"length": "609.600001 mm"}}

    assert rated("75.000", 2) == 4400
    assert checked(tidy()).reach.union[-1][1] == length_nm("73 in")
    assert max(one.extensions for one in checked(tidy(parts=exact)).reach.assemblies) == 2
    assert max(one.extensions for one in checked(tidy(parts=over)).reach.assemblies) == 1


def test_pitfall_46_rounding_goes_the_safe_way() -> None:
    """Closed up, open down, capacity down, demand up, in either unit system."""
    closed, opened = length_nm("35 1/64 in"), length_nm("54 63/64 in")

    assert show(closed, "length", "us", "up") == "35.1 in"
    assert show(opened, "length", "us", "down") == "54.9 in"
    assert show(opened, "length", "si", "down") == "1,396 mm"
    assert show(force_n("3999.9 lbf"), "force", "us", "down") == "3,999 lbf"
    assert show(force_n("4000.1 lbf"), "force", "us", "up") == "4,001 lbf"


def test_pitfall_46_findings_round_the_safe_way_too() -> None:
    """Packing of 1 1/64 in is said to be 1.1 in, and what may be packed is not rounded up."""
    holes = {"body": {"lock": "holes", "holes": {"pitch": 2}}}
    cache = tidy(parts=holes, counts={"ext-6": 0, "ext-12": 0})
    findings = checked(cache, needs=needs_of([{"at": "42 1/64 in"}])).findings
    [one] = [finding for finding in findings if finding.rule == "IDX-1"]

    assert "the lower one needs 1.1 in of packing" in one.effect
