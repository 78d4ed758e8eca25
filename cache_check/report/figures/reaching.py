"""The answer of ``reach`` in one drawing: the reach chart, with what a page says around it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from cache_check.model.result import ReachResult
from cache_check.report.figures import canvas, foot, reach_chart
from cache_check.report.page import short
from cache_check.report.say import Say

if TYPE_CHECKING:
    from matplotlib.figure import Figure

TITLE = 0.35


def draw(result: ReachResult, load: str | None = None) -> Figure:
    """The chart under its title; ``load`` (as asked) is what the step rated is for."""
    say = Say(result.basis.units, result.names)
    lines = foot.lines(_told(result, load, say), [(result.title, result.basis)], reach_chart.WIDE)
    high = reach_chart.high(result.reach, result.profiles, say)
    with canvas.look():
        figure = canvas.blank(reach_chart.WIDE, TITLE + high + foot.LINE * len(lines))
        figure.suptitle(short(f"{result.title}: what it reaches", 60), x=0.01, ha="left", weight="bold")
        inner: Any = figure.subfigures(1, 1)
        reach_chart.draw_on(inner, result.reach, result.profiles, say)
    return canvas.footed(figure, lines)


def _told(result: ReachResult, load: str | None, say: Say) -> list[str]:
    bars = reach_chart.rows(result.reach, say)
    told = [f"Each bar is {bars.each}; bars are not to be had at once."] if bars.rows else []
    steps = ", ".join(one.step for one in result.profiles)
    told.append(f"Struts are counted on the steps {steps}." + (f" Rated for {short(load, 40)}." if load else ""))
    return told
