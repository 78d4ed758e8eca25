"""The chain from load to ground, link by link: how many times what it must take each is rated for."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from cache_check import units
from cache_check.model.load import Carrier, LinkCheck, LoadResult
from cache_check.report.figures import canvas
from cache_check.report.figures.load_drawn import WHITE
from cache_check.report.page import short
from cache_check.report.say import Say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure, FigureBase

WIDE = 5.4
ROW = 0.7
SMALL = 12
MOST = 5
"""Bars longer than so many times what is demanded are cut, and say so."""
GOVERNS: Any = {"facecolor": canvas.PALE, "edgecolor": canvas.INK, "hatch": "////", "linewidth": 1.4}
HOLDS: Any = {"facecolor": canvas.PALE, "edgecolor": canvas.BLUE, "linewidth": 1}
FAILS: Any = {"facecolor": "white", "edgecolor": canvas.INK, "hatch": "xxxx", "linewidth": 1.4}


def shown(result: LoadResult) -> Carrier | None:
    """The assembly whose chain is drawn: the first."""
    return next(iter(result.carriers), None)


def loaded(one: Carrier) -> list[LinkCheck]:
    """The links that take a force."""
    return [link for link in one.links if link.loaded]


def draw(result: LoadResult, say: Say) -> Figure:
    """The chain by itself."""
    return canvas.alone(WIDE, high(result), draw_on, result, say)


def high(result: LoadResult) -> float:
    """How many inches high the drawing is."""
    one = shown(result)
    return 0.7 if one is None else ROW * len(loaded(one)) + 1.0


def draw_on(figure: FigureBase, result: LoadResult, say: Say) -> None:
    """The chain on a figure or a part of one, within ``look``."""
    axes, one = figure.add_subplot(), shown(result)
    if one is None:
        axes.set_axis_off()
        axes.text(0, 0.5, "No assembly is left for this situation: no chain is drawn.", fontsize=SMALL)
        return
    known = result.forces is not None
    most = _most([_ratio(link, say, known=known) for link in loaded(one)], known=known)
    axes.set_xlim(0, float(most) * 1.02)
    axes.set_ylim(len(loaded(one)) * ROW, -0.05)
    for n, link in enumerate(loaded(one)):
        _link(axes, link, n * ROW, say, governs=link is one.governing, most=most, known=known)
    if known:
        axes.axvline(1, color=canvas.INK, linewidth=1.8, linestyle=(0, (5, 2)), gid="demand", zorder=3)
    _dress(axes, one, say, known)


def _ratio(link: LinkCheck, say: Say, *, known: bool) -> Fraction | None:
    """How long a bar is: rated over demand, or in shown units the share that it takes where no load is known."""
    ratio = link.ratio
    if known or ratio is None:
        return ratio
    return units.in_shown_unit(ratio, "force", say.system, "down")


def _most(ratios: Sequence[Fraction | None], *, known: bool) -> Fraction:
    """The longest bar: so many times the demand, or shown units where no load is known."""
    long = max([one for one in ratios if one is not None], default=Fraction(1))
    return min(max(long, Fraction(2)), Fraction(MOST)) if known else max(long, Fraction(1))


def _link(axes: Axes, link: LinkCheck, y: float, say: Say, *, governs: bool, most: Fraction, known: bool) -> None:
    weight = "bold" if governs else "normal"
    for down, said in ((0.12, f"{'GOVERNS: ' if governs else ''}{short(link.link, 40)}"), (0.33, _said(link, say))):
        axes.text(0.02, y + down, said, fontsize=SMALL, va="center", weight=weight, zorder=4, bbox=WHITE,
                  transform=axes.get_yaxis_transform())  # fmt: skip
    if governs:
        axes.plot(0, y + 0.56, ">", markersize=11, color=canvas.INK, clip_on=False, zorder=5, gid="governs",
                  transform=axes.get_yaxis_transform())  # fmt: skip
    ratio = _ratio(link, say, known=known)
    if ratio is None:
        axes.text(0.03, y + 0.56, "?" if link.rated is None else "not loaded", fontsize=SMALL, weight="bold",
                  va="center", transform=axes.get_yaxis_transform())  # fmt: skip
        return
    long = min(ratio, most)
    failing = link.state == "does not hold" if known else not ratio
    axes.broken_barh([(0, float(long))], (y + 0.46, 0.2), zorder=2, gid=f"bar-{link.of.replace(' ', '-')}",
                     **(FAILS if failing else GOVERNS if governs else HOLDS))  # fmt: skip
    if ratio > most:
        x = float(most)
        for back in (0.06, 0.1):
            axes.plot((x * (1 - back - 0.012), x * (1 - back + 0.012)), (y + 0.69, y + 0.43), color="white",
                      linewidth=3, zorder=3)  # fmt: skip


def _said(link: LinkCheck, say: Say) -> str:
    """What a link is rated for and what it must take; a rating that nobody knows is said to be unknown."""
    if link.rated is None:
        missing = "UNRATED" if link.of == "chart" else "UNKNOWN"
        return missing + ("" if link.demand is None else f"; must take {say.up(link.demand)}")
    if link.demand is None:
        share = "" if link.largest is None else f", so a share up to {say.down(link.largest)}"
        return f"rated {say.down(link.rated)}{share}"
    verdict = "; DOES NOT HOLD" if link.state == "does not hold" else ""
    return f"rated {say.down(link.rated)}, must take {say.up(link.demand)}{verdict}"


def _dress(axes: Axes, one: Carrier, say: Say, known: bool) -> None:
    from matplotlib.ticker import MaxNLocator

    axes.set_yticks(())
    axes.tick_params(axis="x", labelsize=SMALL)
    axes.set_title(short(say.stack(one.assembly.parts), 50), fontsize=SMALL, loc="left", weight="bold")
    if known:
        axes.set_xlabel("times what it must take; dashed: just enough",
                        fontsize=SMALL)  # fmt: skip
        axes.xaxis.set_major_formatter(lambda value, _: f"{value:g} x")
        axes.set_xticks(range(int(axes.get_xlim()[1]) + 1))
        return
    axes.set_xlabel(f"share of the load that it takes, {say.force_unit}; load not known",
                    fontsize=SMALL)  # fmt: skip
    axes.xaxis.set_major_locator(MaxNLocator(4))
    axes.xaxis.set_major_formatter(lambda value, _: f"{value:,.6g}")
