"""The steps of one need or length as steps: what stood on each by the book, and what is left of it today."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from cache_check.model.audit import Compared
from cache_check.model.result import STEPS, Tally
from cache_check.report.figures import canvas

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDE, HIGH = 3.6, 2.5
"""Inches: two beside each other on a printed page, one on a phone, at the size they are drawn."""
SMALL = 8.5


def draw(one: Compared) -> Figure:
    """A step for each step: hatched what the book had, filled what is there today, a dashed line at what is wanted.

    A step that was not asked has no step and says so.
    """
    with canvas.look():
        figure = canvas.blank(WIDE, HIGH)
        axes = figure.add_subplot()
        _steps(axes, _counts(one.book), "by the book", facecolor="white", hatch="///", edgecolor=canvas.GREY)
        _steps(axes, _counts(one.today), "today", facecolor=canvas.PALE, edgecolor=canvas.BLUE)
        for place, (book, today) in enumerate(zip(_counts(one.book), _counts(one.today), strict=True)):
            said = _said(book, today)
            axes.annotate(said, (place + 0.5, max(book or 0, today or 0)), (0, 2), textcoords="offset points",
                          ha="center", fontsize=8 if len(said) > 3 else SMALL + 1,
                          weight="bold" if book != today else "normal",
                          bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.6})  # fmt: skip
        if one.today.wanted is not None:
            axes.axhline(one.today.wanted, color=canvas.INK, linestyle=(0, (5, 3)), linewidth=1.4, label="wanted",
                         zorder=2.5)  # fmt: skip
        _dress(axes, one)
    return figure


def _counts(tally: Tally) -> list[int | None]:
    return [tally.count(step) for step in STEPS]


def _said(book: int | None, today: int | None) -> str:
    if today is None and book is None:
        return "not\nasked"
    words = ["not asked" if count is None else str(count) for count in (book, today)]
    return words[0] if book == today else f"{words[0]}→{words[1]}"


def _steps(axes: Axes, counts: Sequence[int | None], label: str, **look: Any) -> None:
    places = [place + 0.5 for place, count in enumerate(counts) if count is not None]
    heights = [count for count in counts if count is not None]
    axes.bar(places, heights, width=1.0, linewidth=1.1, label=label, **look)


def _dress(axes: Axes, one: Compared) -> None:
    top = max([*(count or 0 for count in _counts(one.book) + _counts(one.today)), one.today.wanted or 0, 1])
    axes.set_ylim(0, top * 1.22)
    axes.set_xlim(0, len(STEPS))
    axes.set_xticks([place + 0.5 for place in range(len(STEPS))], STEPS, rotation=32, ha="right", fontsize=SMALL,
                    rotation_mode="anchor")  # fmt: skip
    axes.tick_params(axis="y", labelsize=SMALL)
    axes.locator_params(axis="y", integer=True)
    axes.set_ylabel("struts", fontsize=SMALL)
    axes.figure.legend(loc="outside upper left", ncols=3, fontsize=SMALL, frameon=False, handlelength=1.6)
