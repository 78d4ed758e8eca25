"""The whole answer of ``load`` on one drawing: side, plan, the chain, and the short cuts of the trade."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from cache_check.model.load import LoadResult
from cache_check.report import basis, of_load
from cache_check.report.caution import said
from cache_check.report.figures import canvas, load_chain, load_plan, load_side, load_thumb
from cache_check.report.load_say import LoadSay
from cache_check.report.page import plain, short

if TYPE_CHECKING:
    from matplotlib.figure import Figure

WIDE = 11.0
LETTERS = 178
FOOT_LINE = 0.155


def draw(result: LoadResult) -> Figure:
    """All drawings of an answer, with the verdict over them, and under them what they rest on and the caution."""
    say, foot = LoadSay(result.basis.units, result.names), _foot(result)
    above = max(load_side.high(result, say), load_plan.high(result, say))
    below = max(load_chain.high(result), load_thumb.high(result) if result.comparisons else 0.0)
    with canvas.look():
        figure = canvas.blank(WIDE, above + below + 0.75 + FOOT_LINE * (len(foot) + 1))
        grid = figure.add_gridspec(2, 2, height_ratios=(above, below))
        load_side.draw_on(figure.add_subfigure(grid[0, 0]), result, say)
        load_plan.draw_on(figure.add_subfigure(grid[0, 1]), result, say)
        load_chain.draw_on(figure.add_subfigure(grid[1, 0]), result, say)
        if result.comparisons:
            load_thumb.draw_on(figure.add_subfigure(grid[1, 1]), result, say)
        title = short(f"{result.title}: {result.situation.title or 'what a strut carries here'}", 100)
        verdict = "\n".join(textwrap.wrap(plain(of_load.in_short(result)), 104))
        figure.suptitle(f"{title}\n{verdict}", fontsize=11, ha="left", x=0.01, weight="bold")
    return canvas.footed(figure, foot)


def _foot(result: LoadResult) -> tuple[str, ...]:
    """Rigs, day, rules, factor and units, then the caution, as lines that fit."""
    head = basis.head(result.basis)
    rests = f"This drawing rests on: {'; '.join(short(item, 120) for item in head.items)}."
    return tuple(
        line for one in (rests, " ".join(said(of_load.counted(result)))) for line in textwrap.wrap(plain(one), LETTERS)
    )
