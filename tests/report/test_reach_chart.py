"""The reach chart: what its bars, stretches, ticks and hatches stand for."""

from __future__ import annotations

import re
from datetime import date
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import pytest
from builders import rescue_41
from golden.files import SAMPLES, compare

import cache_check as api
from cache_check.files.cache import read_cache
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache
from cache_check.model.result import ReachResult
from cache_check.report.figures import canvas, reach_chart
from cache_check.report.say import Say

if TYPE_CHECKING:
    from matplotlib.axes import Axes

IN = 25_400_000
ON = api.WhatIf(on=date(2026, 4, 1))
SPAN = tuple[float, float]


def reached(cache: Cache) -> tuple[ReachResult, Say]:
    """What a cache reaches, and how it is said."""
    result = api.reach(cache, read_rules(), suppose=ON)
    return result, Say(result.basis.units, result.names)


def drawn(cache: Cache) -> tuple[ReachResult, Axes, Axes]:
    """The two panels of a cache's chart."""
    result, say = reached(cache)
    bars, depth = reach_chart.draw(result.reach, result.profiles, say).axes
    return result, bars, depth


def bars_of(axes: Axes, hatched: bool = False) -> list[list[SPAN]]:
    """The spans of each bar from top to bottom, in the shown unit."""
    found = []
    for group in axes.collections:
        corners = [np.asarray(path.vertices) for path in group.get_paths()]
        wide = [(float(one[:, 0].min()), float(one[:, 0].max())) for one in corners]
        if wide and bool(getattr(group, "hatch", None) or group.get_hatch()) == hatched and len(corners[0]) > 2:
            found.append([(round(low, 6), round(high, 6)) for low, high in wide])
    return found


def texts(axes: Axes) -> list[str]:
    """What is written in a panel."""
    return [one.get_text() for one in axes.texts]


def at(depth: Axes, step: int, length: float) -> float:
    """How high the outline of a step stands over a length that is no breakpoint."""
    edge = depth.patches[step].get_xy()  # type: ignore[attr-defined]
    crossing = [a[1] for a, b in pairwise(edge) if a[0] < length < b[0] and a[1] == b[1]]
    return max(crossing, default=0)


def test_a_bar_for_each_assembly_while_they_are_few() -> None:
    """Without extensions Rescue 41 has 12 assemblies: 12 bars, each from closed to open, then one of them all."""
    result, bars, _ = drawn(rescue_41(extension_10=0, extension_22=0))

    expected = [[(one.closed / IN, one.open / IN)] for one in result.reach.assemblies]
    assert bars_of(bars)[:12] == sorted(expected)
    assert bars_of(bars)[12] == [(29.5, 44.5), (46.0, 71.5)]
    assert "flat-fitting + short-body + point-head" in texts(bars)


def test_many_assemblies_are_drawn_by_body_and_pieces() -> None:
    """60 assemblies of Rescue 41 make 10 bars by body and extensions, which say so, and lose no length."""
    result, say = reached(rescue_41())
    rows = reach_chart.rows(result.reach, say)

    assert len(rows.rows) == 10
    assert rows.each == "one body with the pieces beside it, with any base and head"
    assert sum(row.count for row in rows.rows) == result.reach.count == 60
    # Short body 26.5 to 39 with extension 10; fittings add 1.5 + 1.5 at least, 3 + 2.5 at most.
    assert next(row.spans for row in rows.rows if row.label == "short-body + extension-10") == (
        (int(39.5 * IN), int(54.5 * IN)),
    )
    _, bars, _ = drawn(rescue_41())
    assert "short-body + extension-10 (6 assemblies)" in texts(bars)


def test_blind_spots_are_hatched_and_named() -> None:
    """Without extensions nothing covers over 44.5 to under 46 in: hatched in both panels, and said in words."""
    _, bars, depth = drawn(rescue_41(extension_10=0, extension_22=0))

    assert bars_of(bars, hatched=True) == [[(44.5, 46.0)]]
    assert [one.get_hatch() for one in depth.patches].count("xxxx") == 1
    assert "Blind over 44.5 to under 46.0 in" in texts(bars)
    assert "Blind spots: none" in texts(drawn(rescue_41())[1])


def test_depth_is_the_profile() -> None:
    """Over each stretch the outline stands as high as the count: at 50 in 7 buildable, 6 at once, 3 held."""
    result, _, depth = drawn(rescue_41())

    assert [at(depth, n, 50.0) for n in range(3)] == [7, 6, 3]
    for n, profile in enumerate(result.profiles):
        for stretch in profile.stretches:
            if stretch.low < stretch.high:
                assert at(depth, n, (stretch.low + stretch.high) / 2 / IN) == stretch.count


def test_holes_are_ticks() -> None:
    """A body that locks at holes has a tick for each of its 13 settings and no bar; the depth spikes, never fills."""
    result, say = reached(read_cache(SAMPLES / "truck-9.yaml", read_rules()))
    bars, depth = reach_chart.draw(result.reach, result.profiles, say).axes

    ticks = [
        group
        for group in bars.collections
        if group.get_paths() and np.asarray(group.get_paths()[0].vertices).shape == (2, 2)
    ]
    assert [len(group.get_paths()) for group in ticks] == [13, 13, 20]
    assert bars_of(bars) == []
    assert "Plate base + Body 34 to 58 in + Cross head (13 settings)" in texts(bars)
    assert "Blind between settings: 19 spots, the widest 51 mm" in texts(bars)
    assert at(depth, 1, 1060.0) == 0
    labels = [text.get_text() for text in bars.figure.legends[0].get_texts()]
    assert "restrained: none" in labels


@pytest.mark.parametrize("empty", ["long_body", "hinged_base"])
def test_nothing_reached_is_said(empty: str) -> None:
    """A cache that builds nothing has a chart that says so, and is not an error."""
    counts = {"short_body": 0, "flat_fitting": 0, empty: 0}
    if empty == "hinged_base":
        counts["long_body"] = 3
    _, bars, _ = drawn(rescue_41(**counts))

    assert "No legal assembly can be built: no reach." in texts(bars)
    assert [tick.get_text() for tick in bars.get_xticklabels()] == []


def test_chart_is_as_kept() -> None:
    """The SVG of Rescue 41 is what is kept, to a tenth of a point; its text is text."""
    result, say = reached(read_cache(SAMPLES / "rescue-41.yaml", read_rules()))
    written = canvas.written(reach_chart.draw(result.reach, result.profiles, say), "svg").decode()

    assert "Short body + Extension 10 in (6 assemblies)" in written
    compare("figure-reach-rescue-41.svg", settled(written))


@pytest.mark.parametrize("kind", ["svg", "png", "pdf"])
def test_equal_charts_are_equal_files(kind: canvas.Kind) -> None:
    """Two charts of one cache are the same bytes in each kind of file."""
    result, say = reached(rescue_41())
    one, two = (canvas.written(reach_chart.draw(result.reach, result.profiles, say), kind) for _ in range(2))

    assert one == two


def settled(svg: str) -> str:
    """An SVG without what a patch release of the library may change: ids, and digits past a tenth of a point."""
    svg = re.sub(r"-?\d+\.\d+", lambda number: f"{float(number[0]):.1f}".replace("-0.0", "0.0"), svg)
    svg = re.sub(r'(id="|#)([a-z]+)[0-9a-f]{6,}', r"\1\2ID", svg)
    return re.sub(r"<metadata>.*?</metadata>", "", svg, flags=re.DOTALL)
