"""Published shore ratings as charts: never between rows, never past the end, no faster than Euler."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from builders import change, checked, loaded, needs_of, tidy

from cache_check.model.rule import Setting
from cache_check.units import NEWTON_PER_LBF
from published.tables import Row, rows, title

SHORES = rows("telescoping_steel_shore_rating")


@pytest.mark.parametrize("row", SHORES, ids=[title(row, "model") for row in SHORES])
def test_telescoping_shore(row: Row) -> None:
    """NAV-DC32, through ``check``: closed and extended; between them the extended load, and past them none."""
    closed, extended = 12 * int(row["length_min_ft"]), 12 * int(row["length_max_ft"])
    near, far = int(row["load_near_closed_lb"]), int(row["load_fully_extended_lb"])
    chart = {"rows": [{"length": closed, "loads": [near]}, {"length": extended, "loads": [far]}]}
    body = {"closed": closed - 6, "open": extended + 6, "pull_apart": None}
    shore = tidy(parts={"body": body, "base": {"adds": 0}, "head": {"adds": 0}}, chart=chart)

    def rated(length: float, load: int) -> int | None:
        needs = needs_of([{"at": length, "load": load, "restrained": False}])
        return checked(shore, needs=needs).tallies[0].count("rated")

    for length, load in ((closed, near), (closed + 1 / 64, far), (extended, far)):
        assert (rated(length, load), rated(length, load + 1)) == (2, 0)
    assert rated(extended + 1 / 64, 1) == 0
    turned = tidy(chart={"rows": [{"length": closed, "loads": [far]}, {"length": extended, "loads": [near]}]})
    assert any("rises with length" in one.what for one in checked(turned).findings if one.rule == "CAP-2")


@pytest.mark.parametrize(("factor", "load"), [(None, 5400), (4, 5400), (2, 10_800), (8, 2700)])
def test_a_rated_load_at_another_factor(factor: int | None, load: int) -> None:
    """5,400 lbf at 4:1 is 10,800 at 2:1 where 2:1 is asked, and 5,400 where nothing is (common practice, no source)."""
    chart = {"factor": 4, "rows": [{"length": 75, "loads": [5400, 5400, 5400]}]}
    asked: dict[str, Any] = {} if factor is None else {"factor": factor}
    result = loaded(tidy(chart=chart), contact_height=40, angle=60, vertical=100, **asked)

    assert {one.rated for one in result.carriers} == {load * NEWTON_PER_LBF}


def _loads(shore: str, timber: str, status: str) -> dict[str, int]:
    return {
        row["condition"]: int(row["design_load_lb"])
        for row in rows("timber_shore_design_loads")
        if (row["shore"], row["timber"], row["status"]) == (shore, timber, status)
    }


def flaws(*of: tuple[float, float]) -> list[str]:
    """What ``check`` finds wrong with a chart of some rows of length (in) and load (lbf)."""
    chart = {"rows": [{"length": length, "loads": [load]} for length, load in of]}
    return [one.what for one in checked(tidy(chart=chart)).findings if one.rule == "CAP-2"]


def test_double_t_falls_as_a_column_may() -> None:
    """DBLT-SLIDES (read): 16,000 lb to 8 ft and 10,000 lb to 11 ft is a sane chart."""
    loads = _loads("double T", "4x4", "read")

    assert flaws((96, loads["posts under 8 ft"]), (132, loads["posts 8 to 11 ft"])) == []
    assert flaws((96, loads["posts 8 to 11 ft"]), (132, loads["posts under 8 ft"]))


@pytest.mark.parametrize("timber", ["4x4", "6x6"], ids=["FEMA-SOG 4x4 from memory", "FEMA-SOG 6x6 from memory"])
def test_single_posts_fall_about_as_euler(timber: str) -> None:
    """FEMA-SOG (from memory): single posts fall with length, at most 3 % faster than Euler, by rounding."""
    loads = _loads("single post", timber, "memory")
    chart = [(12 * int(condition.split()[0]), load) for condition, load in loads.items()]

    assert len(chart) >= 2
    for shorter, longer in pairwise(chart):
        assert shorter[1] > longer[1]
        assert flaws(shorter, (longer[0], longer[1] * 100 / 97)) == []


def _shoring(rule: str) -> Fraction:
    return next(Fraction(row["value"]) for row in rows("shoring_rules") if row["rule"] == rule)


def test_a_shorter_timber_gains_less_than_euler() -> None:
    """TM55-1905-223 (read): 4x4 at 5 ft carries 1.5 times that at 10 ft, which Euler allows (up to 4)."""
    gain = _shoring("4x4 shore at 5 ft against 10 ft: load gain")

    assert flaws((60, 10_000 * float(gain)), (120, 10_000)) == []
    assert flaws((60, 10_000 * 4.1), (120, 10_000))


LACED = [row for row in rows("timber_shore_design_loads") if row["shore"].startswith("plywood laced post")]


@pytest.mark.parametrize("row", LACED, ids=[f"{title(row, 'timber')}, its posts from memory" for row in LACED])
def test_four_posts_share_what_a_laced_post_takes(row: Row) -> None:
    """LACED-SLIDES (read): four posts of FEMA-SOG's (from memory) take it by equal share, and for a pound more five."""
    post = max(_loads("single post", row["timber"], "memory").values())
    load = int(row["design_load_lb"])
    at: dict[str, Any] = {"contact_height": 40, "angle": 90, "one_end_pivots": True, "strut_limit": post}

    wanted = [loaded(tidy(), weight=2 * one, **at).wanted for one in (load, load + 1)]
    assert [one and one.by_load for one in wanted] == [4, 5]


def test_lateral_shares() -> None:
    """FEMA-RS-0698 (read): 2 % of the vertical sideways, 10 % where aftershocks are expected."""
    shares = [float(row["value"]) for row in rows("shoring_rules") if row["source"] == "FEMA-RS-0698"]

    def held(share: float, *settings: Setting) -> float:
        """What a strut that stands all but upright is held against, of each pound on it."""
        found = loaded(tidy(), *settings, contact_height=40, angle=89, vertical=1000).forces
        assert found is not None
        return float(found.thrust_checked / NEWTON_PER_LBF) / 1000

    assert held(0) == pytest.approx(shares[0])
    assert [held(share, change("LAT-1", share=Fraction(str(share)))) for share in shares] == pytest.approx(shares)


def failing_at(load: int, factor: int | None) -> Fraction:
    """What ``load`` rates a strut for (lbf) that fails at a load, at a factor or at that of policy."""
    chart = {"states": "failure load", "factor": None, "rows": [{"length": 75, "loads": [load]}]}
    result = loaded(tidy(chart=chart), contact_height=40, angle=60, vertical=100, factor=factor)
    (rated,) = {one.rated for one in result.carriers if one.rated is not None}
    return rated / NEWTON_PER_LBF


def test_shores_that_failed_at_three_times_their_load() -> None:
    """HAMMOND-FE (read): laced posts failed at 3 times their load at least, which leaves it at 3:1, exactly."""
    times = int(_shoring("laced post and raker pair tests: failure over recommended design load at least"))
    load = int(LACED[0]["design_load_lb"])

    assert failing_at(load * times, times) == load


def test_policy_asks_no_less_than_emergency_shores_have_from_memory() -> None:
    """FEMA-SOG (from memory): 2:1, which CAP-1 asks where nobody says another factor, exactly."""
    assert failing_at(30_000, None) * _shoring("emergency wood shoring design factor") == 30_000
