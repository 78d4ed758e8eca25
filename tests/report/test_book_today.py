"""The steps of an audit, as they are drawn."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import numpy as np
import pytest
from audit_builders import audited_cache, counted
from builders import needs_of
from matplotlib.container import BarContainer

import cache_check as api
from cache_check.files.rules import read_rules
from cache_check.model.audit import Compared
from cache_check.model.result import STEPS
from cache_check.report.figures.book_today import draw

if TYPE_CHECKING:
    from matplotlib.figure import Figure


@pytest.fixture
def compared() -> Compared:
    """A rig with one base short, asked for two struts at 50 in, with no load."""
    cache = audited_cache()
    needs = needs_of([{"at": 50, "count": 2}])
    count = counted(cache, {"base": {"found": 1, "usable": 1}})
    suppose = api.WhatIf(on=date(2026, 4, 1))
    (one,) = api.audit(cache, read_rules(), count, needs=needs, suppose=suppose).compared
    return one


def bars(figure: Figure) -> dict[str, list[tuple[int, float]]]:
    """The step and height of each bar, by what it is labelled."""
    (axes,) = figure.axes
    return {
        str(group.get_label()): [(int(bar.get_x()), bar.get_height()) for bar in group.patches]
        for group in axes.containers
        if isinstance(group, BarContainer)
    }


def test_steps_are_the_counts(compared: Compared) -> None:
    """Each asked step is a bar as high as its count, by the book and today; a step not asked has none, and says so."""
    figure = draw(compared)

    for label, tally in (("by the book", compared.book), ("today", compared.today)):
        asked = [(place, tally.count(step)) for place, step in enumerate(STEPS)]
        assert bars(figure)[label] == [(place, count) for place, count in asked if count is not None]
    assert compared.book.count("assembled at once") != compared.today.count("assembled at once")
    assert "not\nasked" in [text.get_text() for text in figure.axes[0].texts]


def test_book_and_today_differ_without_colour(compared: Compared) -> None:
    """The book's steps are hatched and today's are not; what is wanted is a dashed line at its number."""
    axes = draw(compared).axes[0]
    hatched = {str(group.get_label()): group.patches[0].get_hatch() for group in axes.containers
               if isinstance(group, BarContainer)}  # fmt: skip

    assert hatched["by the book"]
    assert not hatched["today"]
    (line,) = axes.lines
    assert np.asarray(line.get_ydata()).tolist() == [2, 2]
    assert line.get_linestyle() == "--"
