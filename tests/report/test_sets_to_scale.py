"""Ready sets to scale: lengths, numbers from the ground up, pins at joints, and what must not be used."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import pytest
from builders import rescue_41
from golden.files import SAMPLES

from cache_check.api.base import WhatIf
from cache_check.api.report import ReportTerms, pages
from cache_check.files.cache import read_cache
from cache_check.files.rules import read_rules
from cache_check.model.cache import Cache, ReadySet
from cache_check.model.card import CardResult
from cache_check.report.figures import sets_to_scale
from cache_check.report.say import Say

if TYPE_CHECKING:
    from matplotlib.axes import Axes

ON = WhatIf(on=date(2026, 4, 1))
SET = ("P/hinged-base", "P/long-body", "P/extension-10", "P/edge-head")


def card_of(cache: Cache) -> tuple[CardResult, Say]:
    """The crew page's facts of one cache, and how they are said."""
    (card,) = pages([cache], read_rules(), terms=ReportTerms(kinds=("crew",)), suppose=ON).crews
    return card, Say(card.basis.units, card.names)


def with_set(*parts: str, **counts: int) -> Cache:
    """Rescue 41 with one ready set."""
    return rescue_41(**counts).changed(ready_sets=(ReadySet(id="A", rig="rescue-41", parts=parts),))


def drawn(cache: Cache) -> Axes:
    """The drawing of all sets of a cache."""
    card, say = card_of(cache)
    (axes,) = sets_to_scale.draw(card.sets, card.pieces, say).axes
    return axes


def spans(axes: Axes) -> list[tuple[float, float]]:
    """Where the drawn parts begin and end, in the order drawn: the closed strut, then the open one."""
    corners = [np.asarray(path.vertices) for group in axes.collections for path in group.get_paths()]
    return [(round(float(one[:, 0].min()), 6), round(float(one[:, 0].max()), 6)) for one in corners]


def numbers(axes: Axes) -> list[str]:
    """The numbers over the parts, left to right within each strut."""
    return [one.get_text() for one in axes.texts if one.get_text().isdigit()]


def test_parts_stand_end_to_end_to_scale() -> None:
    """Base 3, body 43 to 66, extension 10, head 2: closed they end at 58 in, open at 81, no gap and no overlap."""
    axes = drawn(with_set(*SET))

    closed = [(0.0, 3.0), (3.0, 46.0), (46.0, 56.0), (56.0, 58.0)]
    opened = [(0.0, 3.0), (3.0, 46.0), (46.0, 69.0), (69.0, 79.0), (79.0, 81.0)]
    assert spans(axes) == closed + opened
    said = [one.get_text() for one in axes.texts]
    assert "58.0 closed" in said
    assert "81.0 open" in said
    assert "A: 58.0 to 81.0 in" in said


def test_numbers_go_from_the_ground_up() -> None:
    """Parts are numbered 1 to 4 from the ground, in both drawings, and named by number; no number hides another."""
    axes = drawn(with_set(*SET))

    assert numbers(axes) == ["1", "2", "3", "4"] * 2
    assert "1 hinged-base · 2 long-body · 3 extension-10 · 4 edge-head" in [one.get_text() for one in axes.texts]
    places = [one.get_position()[0] for one in axes.texts if one.get_text().isdigit()][:4]
    assert all(b - a > 0.03 * axes.get_xlim()[1] for a, b in pairwise(places))


@pytest.mark.parametrize(
    ("middles", "places"), [([5, 6, 7], [3, 5, 7]), ([1, 10, 20], [1, 10, 20]), ([1, 1.5, 20], [1, 3, 20])]
)
def test_numbers_are_spread(middles: list[float], places: list[float]) -> None:
    """Numbers stand at the middles of their parts where these are 2 apart, else 2 apart and none past the last."""
    assert sets_to_scale._spread(middles, 2) == places


def test_loose_pins_are_rings_at_their_joints() -> None:
    """Each of the three joints with a loose pin has a ring, closed and open; captive pins have none."""
    rings = [line.get_xdata() for line in drawn(with_set(*SET)).lines if line.get_marker() == "o"]
    assert [list(np.round(np.asarray(one), 6)) for one in rings] == [[3, 46, 56], [3, 69, 79]]

    truck = read_cache(SAMPLES / "truck-9.yaml", read_rules())
    truck = truck.changed(
        ready_sets=(ReadySet(id="A", rig="truck-9", parts=("Q/plate-base", "Q/body-34", "Q/cross-head")),)
    )
    assert all(len(np.asarray(line.get_xdata())) == 0 for line in drawn(truck).lines if line.get_marker() == "o")


def test_what_must_not_be_used_is_not_drawn() -> None:
    """A set with three extensions is no legal strut, one without a body is not there, one is tagged: words only."""
    illegal = drawn(with_set("P/hinged-base", *["P/extension-10"] * 3, "P/long-body", "P/edge-head"))
    gone = drawn(with_set(*SET, long_body=0))

    card, say = card_of(with_set(*SET))
    (unfit,) = (replace(one, unfit=("it names a piece at repair",)) for one in card.sets)
    (tagged,) = sets_to_scale.draw((unfit,), card.pieces, say).axes

    for axes in (illegal, gone, tagged):
        assert axes.texts[0].get_text() == "A: DO NOT USE"
        assert spans(axes) == []
        assert numbers(axes) == []


def test_sets_apart_are_to_one_scale() -> None:
    """Two sets drawn in figures of their own at one scale have axes alike, however wide the names."""
    card, say = card_of(read_cache(SAMPLES / "rescue-41.yaml", read_rules()))
    scale = sets_to_scale.longest(card.sets)
    wide = Say("us", tuple((part, "W" * 40) for part, _ in card.names))
    figures = [sets_to_scale.draw((one,), card.pieces, said, scale)
               for one, said in zip(card.sets, (say, wide), strict=True)]  # fmt: skip
    for one in figures:
        one.draw_without_rendering()

    (first, second) = (one.axes[0] for one in figures)
    assert first.get_xlim() == second.get_xlim()
    assert first.get_position().width == pytest.approx(second.get_position().width)


def test_proposed_sets_say_so() -> None:
    """Where the book lists no set, what ``stage`` proposes is drawn as proposed."""
    cache = rescue_41().changed(ready_sets=())
    assert all("(proposed)" in one.get_text() for one in drawn(cache).texts if " to " in one.get_text())
