"""The trade's short cuts beside the statics: a pair of bars for each, the more severe marked."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from cache_check.model.load import Comparison, LoadResult
from cache_check.report.figures import canvas
from cache_check.report.page import short
from cache_check.report.say import Say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure, FigureBase

WIDE = 5.4
SMALL = 12
BAR, HEAD = 0.3, 0.3


def severe(one: Comparison) -> Fraction:
    """The more severe of a pair, which is the one that is checked; practice where statics says nothing."""
    return max(one.practice, one.statics or Fraction(0))


def draw(result: LoadResult, say: Say) -> Figure:
    """The pairs by themselves."""
    return canvas.alone(WIDE, high(result), draw_on, result, say)


def high(result: LoadResult) -> float:
    """How many inches high the drawing is."""
    return (2 * BAR + HEAD + 0.08) * len(result.comparisons) + 0.25


def draw_on(figure: FigureBase, result: LoadResult, say: Say) -> None:
    """The pairs on a figure or a part of one, within ``look``; there must be one."""
    axes = figure.add_subplot()
    axes.set_axis_off()
    most = float(max(severe(one) for one in result.comparisons)) or 1.0
    axes.set_xlim(0, most * 2.6)
    axes.set_ylim((2 * BAR + HEAD + 0.08) * len(result.comparisons), 0)
    for n, one in enumerate(result.comparisons):
        _pair(axes, one, n * (2 * BAR + HEAD + 0.08), say)


def _pair(axes: Axes, one: Comparison, y: float, say: Say) -> None:
    axes.text(0, y + HEAD / 2, short(one.what, 48), fontsize=SMALL, weight="bold", va="center")
    for n, (name, force) in enumerate((("practice", one.practice), ("statics", one.statics))):
        top = y + HEAD + n * BAR
        if force is None:
            axes.text(0, top + BAR / 2, f"{name}: NOT KNOWN, lacks a figure", fontsize=SMALL, va="center")
            continue
        marked = force == severe(one)
        axes.broken_barh([(0, float(force))], (top + 0.03, BAR - 0.06), facecolor=canvas.PALE if marked else "white",
                         edgecolor=canvas.INK, hatch="////" if marked else None, gid=f"bar-{name}")  # fmt: skip
        said = f"{name} {say.up(force)}" + (", CHECKED" if marked else "")
        axes.text(
            float(force) + 0.03 * axes.get_xlim()[1],
            top + BAR / 2,
            said,
            fontsize=SMALL,
            va="center",
            weight="bold" if marked else "normal",
        )
