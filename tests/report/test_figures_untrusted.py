"""Names of anyone's making in the drawings of a crew page."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING
from xml.etree import ElementTree as Tree

import pytest
from builders import rescue_41

from cache_check.api.base import WhatIf
from cache_check.api.report import ReportTerms, pages
from cache_check.files.rules import read_rules
from cache_check.model.card import CardResult
from cache_check.report.figures import canvas, joint_graph, reach_chart, sets_to_scale
from cache_check.report.say import Say

if TYPE_CHECKING:
    from matplotlib.figure import Figure

MARKUP = "</text><script>hit()</script><img src=x onerror=hit()>"
MATH = r"$\frac{a}{0}$ \undefined {{7*7}} %s"
RIGHT_TO_LEFT = "\u05e9\u05dc\u05d5\u05dd\u202e gnorw"
EMOJI = "\U0001f692\U0001f9f0"
LONG = "x" * 10_000
NAMES = {MARKUP: "</text>", MATH: r"$\frac", RIGHT_TO_LEFT: "\u05e9\u05dc", EMOJI: "\U0001f692", LONG: "xxx…",
         "a\tb\x07": "a b<U+0007>"}  # fmt: skip
"""Names, and what of each is surely seen."""
DRAWINGS: dict[str, Callable[[CardResult, Say], Figure]] = {
    "reach": lambda card, say: reach_chart.draw(card.reach, card.profiles, say),
    "sets": lambda card, say: sets_to_scale.draw(card.sets, card.pieces, say),
    "joints": lambda card, say: joint_graph.draw(card.joins, say),
}


@pytest.fixture(scope="module")
def card() -> CardResult:
    """The crew page's facts of Rescue 41, its sets proposed."""
    cache = rescue_41().changed(ready_sets=())
    suppose = WhatIf(on=date(2026, 4, 1))
    (one,) = pages([cache], read_rules(), terms=ReportTerms(kinds=("crew",)), suppose=suppose).crews
    return one


@pytest.mark.parametrize("drawing", DRAWINGS)
def test_names_stay_text_in_every_kind_of_file(card: CardResult, drawing: str) -> None:
    """Markup, formulas, right-to-left, emoji, control characters and 10,000 letters add no element and stay short."""
    names, make, text = list(NAMES), DRAWINGS[drawing], ""
    plain = _tags(canvas.written(make(card, Say("us", tuple((part, "n") for part, _ in card.names))), "svg"))
    for first in (0, 2, 4):  # so that each name is one that is drawn
        say = Say("us", tuple((part, names[(first + n) % len(names)]) for n, (part, _) in enumerate(card.names)))
        figure = make(card, say)
        svg = canvas.written(figure, "svg")

        assert _tags(svg) <= plain
        assert "\u202e" not in svg.decode()
        assert "x" * 200 not in svg.decode()
        text += "".join(Tree.fromstring(svg).itertext())  # noqa: S314 - our own drawing
    assert [shown for shown in NAMES.values() if shown not in text] == []
    assert canvas.written(figure, "png").startswith(b"\x89PNG")
    assert canvas.written(figure, "pdf").startswith(b"%PDF")


def _tags(svg: bytes) -> set[str]:
    return {one.tag for one in Tree.fromstring(svg).iter()}  # noqa: S314 - our own drawing
