"""Figures in doubt: to the last unit of a bound, by the bounds of the part's own family, and nothing else taken out."""

from __future__ import annotations

from typing import Any

import pytest
from builders import rescue_41
from laws import books

from cache_check.loads.capacity import doubted
from cache_check.loads.likely import believed, trusted
from cache_check.model.family import Catalogue, Chart, Family
from cache_check.model.part import Chain, Fitting, Footprint, Holes, Strength
from cache_check.model.rule import Setting
from cache_check.model.situation import Situation
from cache_check.units import NEWTON_PER_LBF

INCH = 25_400_000
LBF = NEWTON_PER_LBF


def _catalogue() -> Catalogue:
    catalogue = rescue_41().catalogue
    changes: dict[str, dict[str, Any]] = {
        "P/short-body": {"lock": "holes", "holes": Holes(pitch=5 * INCH), "pull_apart": 45 * INCH},
        "P/point-head": {"strength": Strength(failure_load=30_000 * LBF)},
        "P/hinged-base": {"footprint": Footprint(length=9 * INCH, width=10 * INCH)},
    }
    return catalogue.changed(parts=tuple(part.model_copy(update=changes.get(part.id, {})) for part in catalogue.parts))


@pytest.mark.parametrize(
    ("figure", "bound", "least", "past"),
    [
        ("strength", "strength_most", 30_000 * LBF, -1), ("strength", "wll_least", 30_000 * LBF, 1),
        ("holes", "pitch_least", 5 * INCH, 1), ("holes", "pitch_most", 5 * INCH, -1),
        ("footprint", "footprint_most", 10 * INCH, -1), ("wll", "wll_most", 3333 * LBF, -1),
    ],
)  # fmt: skip
def test_a_bound_of_the_parts_own_family(figure: str, bound: str, least: Any, past: int) -> None:
    """At its family's bound a figure is believed, a unit past it is not; another family's bound is nothing to it."""
    catalogue = _catalogue()

    def out(family: str, value: Any) -> set[str]:
        left, found = trusted(catalogue, books.book([books.setting("SIZ-1", family=family, **{bound: value})]))
        assert bool(found) == (left != catalogue)
        base, was = left.by_id["P/hinged-base"], catalogue.by_id["P/hinged-base"]
        assert isinstance(base, Fitting)
        assert isinstance(was, Fitting)
        doubted = any(one.figure == "points" and one.part == base.id for one in found)
        assert [point.wll for point in base.points] == [None if doubted else point.wll for point in was.points]
        return {one.figure for one in found if one.figure != "points"}

    assert out("P", least) <= ({"wll"} if bound == "wll_least" else set())
    assert figure in out("P", least + past)
    assert out("Q", least + past) == set()


@pytest.mark.parametrize(
    ("changes", "doubts", "sized"),
    [
        ({"wll": 3 * 7100 * LBF}, [], True), ({"wll": 3 * 7100 * LBF + 1}, ["wll"], False),
        ({"wll": None, "mass": 1000}, ["mass"], True),
    ],
)  # fmt: skip
def test_a_mark_of_three_times_what_is_usual_for_its_size(
    changes: dict[str, Any], doubts: list[str], sized: bool
) -> None:
    """A grade 80 chain of 3/8 in has 7,100 lbf in the published table; a mark in doubt leaves no size to go by."""
    chain = Chain(id="P/chain", family="P", grade=80, size="3/8 in").changed(**changes)
    left, found = trusted(_catalogue().changed(parts=(*_catalogue().parts, chain)), books.book())

    assert [one.figure for one in found] == doubts
    got = left.by_id["P/chain"]
    assert isinstance(got, Chain)
    assert (got.size is not None, got.wll) == (sized, None if doubts else changes["wll"])


@pytest.mark.parametrize(
    ("rows", "flaws"),
    [
        ([(48, 300)], []), ([(48, 299)], [("smaller than any likely load", 0)]),
        ([(48, 100_000)], []), ([(48, 100_001)], [("larger than any likely load", 0)]),
    ],
)  # fmt: skip
def test_a_chart_to_the_last_pound(rows: list[tuple[int, int]], flaws: list[tuple[str, int]]) -> None:
    """Loads from 300 to 100,000 lbf are likely; the least and the most of them too."""
    assert _doubts([_chart("A", rows)]) == flaws


@pytest.mark.parametrize(
    ("others", "flaws"),
    [
        # Five times is not far, more is, either way; half of the others is no reason, the first row of most is.
        ([[(48, 4000), (60, 3500)]], []), ([[(48, 3999), (60, 3500)]], [0]), ([[(48, 100_000), (60, 85_000)]], []),
        ([[(48, 20_000), (60, 3000)], [(48, 3000), (60, 2500)]], [0]),
        ([[(48, 3000), (60, 2500)], [(48, 20_000), (60, 17_000)]], []),
        # Up to the last of the other's rows.
        ([[(30, 20_000), (50, 17_000), (70, 2000)]], [1]),
    ],
)  # fmt: skip
def test_a_chart_far_from_the_others_of_its_family(others: list[list[tuple[int, int]]], flaws: list[int]) -> None:
    """Of a chart of 20,000 lbf at 48 in and 17,000 at 60 in."""
    mine = _chart("A", [(48, 20_000), (60, 17_000)])

    found = _doubts([mine, *(_chart(f"B{i}", rows) for i, rows in enumerate(others))])

    assert [row for kind, row in found if kind == "far from the other charts of its family"] == flaws


@pytest.mark.parametrize(("more", "flaws"), [(6000, []), (5999, [(0, 0, 3 * 5999 * LBF)])])
def test_a_cell_far_over_the_next_of_its_row(more: int, flaws: list[tuple[int, int, int]]) -> None:
    """Of 18,000 lbf without an extension: a third of it with one is likely, a pound less is a figure too few."""
    charts = [_chart("A", [(48, 18_000)], more)]
    catalogue = rescue_41().catalogue.changed(families=(Family(id="P", charts=tuple(charts)),))

    found = [(flaw.row, flaw.extensions, flaw.most) for _, flaw in doubted(charts[0], catalogue, books.book())]

    assert found == flaws


@pytest.mark.parametrize(("past", "doubts"), [(0, 0), (1, 2)])
def test_a_point_of_twice_what_a_strap_may_be_marked(past: int, doubts: int) -> None:
    """Points are marked up to that: two straps hang on one."""
    base = _catalogue().by_id["P/hinged-base"]
    assert isinstance(base, Fitting)
    points = tuple(point.changed(wll=2 * 25_000 * LBF + past) for point in base.points)
    left, found = trusted(_catalogue().changed(parts=(base.changed(points=points),)), books.book())

    assert [one.figure for one in found] == ["points"] * doubts
    assert isinstance(fitting := left.by_id[base.id], Fitting)
    assert {point.wll for point in fitting.points} == ({None} if doubts else {points[0].wll})


def test_a_part_in_doubt_keeps_the_strength_that_is_not() -> None:
    """A head of no likely mass still has its strength."""
    head = next(part for part in _catalogue().parts if part.strength is not None)
    left, found = trusted(_catalogue().changed(parts=(head.changed(mass=1000),)), books.book())

    assert [one.figure for one in found] == ["mass"]
    assert left.by_id[head.id].strength == head.strength


@pytest.mark.parametrize(("factor", "family", "doubts"), [(6, "", 0), (7, "", 1), (7, "P", 0), (7, "Q", 1)])
def test_a_rated_charts_factor(factor: int, family: str, doubts: int) -> None:
    """Six to one is likely, seven is not unless the chart's own family says so."""
    own = [books.setting("CAP-6", family=family, factor=8)] if family else []
    chart = _chart("A", [(48, 20_000)]).model_copy(update={"states": "rated load", "factor": factor})

    assert len(_doubts([chart], *own)) == doubts


def test_a_row_in_another_unit_is_in_doubt() -> None:
    """1,500 mm typed as inches rates every length up to 125 ft: a row may reach 300 in, met exactly."""
    (fits, beyond) = ([(60, 24000), (length, 20000)] for length in (300, 301))

    assert _doubts([_chart("a", fits)]) == []
    assert _doubts([_chart("a", beyond)]) == [("longer than any likely strut", 1)]


def _chart(name: str, rows: list[tuple[int, int]], more: int | None = None) -> Chart:
    given = {
        "id": name, "family": "P", "states": "failure load",
        "rows": [{"length": length, "loads": [load, more]} for length, load in rows],
    }  # fmt: skip
    return Chart.model_validate(given, context={"units": "us"})


def _doubts(charts: list[Chart], *settings: Setting) -> list[tuple[str, int]]:
    catalogue = rescue_41().catalogue.changed(families=(Family(id="P", charts=tuple(charts)),))
    return [(flaw.kind, flaw.row) for _, flaw in doubted(charts[0], catalogue, books.book(settings))]


@pytest.mark.parametrize("title", ["", "the van"])
def test_an_unlikely_weight_is_not_known(title: str) -> None:
    """A weight of a tenth is taken out, listed as unknown, and told under the situation's name."""
    given = {"title": title, "contact_height": 42, "angle": 60, "weight": "200001 lbf", "soil": "12000 psf"}
    one = Situation.model_validate(given, context={"units": "us"})

    left, found = believed(one, books.book())

    assert (left.weight, left.soil, left.unknown) == (None, one.soil, ("weight",))
    assert [(doubt.part, doubt.figure) for doubt in found] == [(title or "this situation", "weight")]
