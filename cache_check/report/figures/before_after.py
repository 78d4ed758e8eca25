"""Each scene's struts: wanted, served today, and served with the list."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from cache_check.model.purchase import Purchase
from cache_check.report.figures import canvas
from cache_check.report.page import short

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import FigureBase

WIDE = 5.4
MOST_SCENES, MOST_LISTS = 12, 4
BAR = 0.17
SMALL = 9
LOOKS = (
    {"facecolor": "white", "edgecolor": canvas.INK},
    {"facecolor": "white", "edgecolor": canvas.GREY, "hatch": "////"},
    {"facecolor": canvas.PALE, "edgecolor": canvas.BLUE},
    {"facecolor": "#f0dfc4", "edgecolor": canvas.OCHRE, "hatch": ".."},
    {"facecolor": "white", "edgecolor": canvas.BLUE, "hatch": "\\\\"},
    {"facecolor": canvas.LINE, "edgecolor": canvas.INK},
)
"""Wanted, today, and each list in its turn."""


def high(purchases: Sequence[Purchase]) -> float:
    """How many inches high the drawing is."""
    bars = 2 + min(len(purchases), MOST_LISTS)
    return _group(bars) * min(len(purchases[0].after), MOST_SCENES) + 0.55 + 0.2 * bars


def _group(bars: int) -> float:
    return BAR * bars + 0.28


def draw_on(figure: FigureBase, purchases: Sequence[Purchase], names: Sequence[str]) -> None:
    """The same on a figure or a part of one, within ``look``."""
    lists = purchases[:MOST_LISTS]
    labels = ["wanted", "today", *(short(name, 56) for name in names[:MOST_LISTS])]
    scenes, group = range(min(len(lists[0].after), MOST_SCENES)), _group(len(labels))
    axes = figure.add_subplot()
    for s in scenes:
        before = lists[0].before[s]
        axes.text(0, s * group, short(before.title or before.scene, 58), fontsize=SMALL + 0.5, va="center",
                  weight="bold")  # fmt: skip
        served = [before.wanted, before.served, *(one.after[s].served for one in lists)]
        met = ["met", before.verdict, *(one.after[s].verdict for one in lists)]
        for n, (struts, whole) in enumerate(zip(served, met, strict=True)):
            _bar(axes, s * group + 0.18 + BAR * n, struts, _said(struts, before.wanted, whole), n, labels[n], s == 0)
    _dress(figure, axes, max(lists[0].before[s].wanted for s in scenes), group * len(scenes))


def _said(struts: int, wanted: int, verdict: str) -> str:
    if verdict == "met":
        return str(struts)
    if verdict == "not known":
        return f"{struts} NOT KNOWN"
    return f"{struts} SHORT {wanted - struts}" if struts < wanted else f"{struts}, nothing left over"


def _bar(axes: Axes, y: float, struts: int, said: str, look: int, label: str, first: bool) -> None:
    axes.barh(y, struts, height=BAR * 0.86, linewidth=1.1, label=label if first else None, **LOOKS[look])  # type: ignore[arg-type]
    axes.annotate(said, (struts, y), (4, 0), textcoords="offset points", va="center", fontsize=SMALL,
                  weight="bold" if "SHORT" in said else "normal")  # fmt: skip


def _dress(figure: FigureBase, axes: Axes, most: int, deep: float) -> None:
    axes.set_ylim(deep - 0.12, -0.16)
    axes.set_xlim(0, most * 1.2)
    axes.set_yticks(())
    axes.xaxis.get_major_locator().set_params(integer=True)  # type: ignore[call-arg]
    axes.set_xlabel("struts served", fontsize=SMALL + 1)
    figure.legend(loc="outside upper left", fontsize=SMALL, frameon=False, ncols=2, alignment="left")
