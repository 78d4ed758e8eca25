"""The whole answer of ``load`` on one drawing: side, plan, the chain, and the short cuts of the trade."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from cache_check.model.load import LoadResult
from cache_check.report import basis, load_builds, of_load
from cache_check.report.caution import said
from cache_check.report.figures import canvas, load_chain, load_plan, load_side, load_thumb
from cache_check.report.load_say import LoadSay
from cache_check.report.page import Paragraph, Points, plain, short

if TYPE_CHECKING:
    from matplotlib.figure import Figure

WIDE = 11.0
LETTERS = 178
FOOT_LINE = 0.155


def draw(result: LoadResult) -> Figure:
    """All drawings of an answer, with the verdict over them, and under them what they rest on and the caution."""
    say = LoadSay(result.basis.units, result.names)
    foot = _foot(result, say)
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


def _foot(result: LoadResult, say: LoadSay) -> tuple[str, ...]:
    """What passes where the load is not known; rigs, day, rules, factor and units; the caution; as lines that fit."""
    told = [_passes(result, say)] if result.forces is None else []
    head = basis.head(result.basis)
    told.append(f"This drawing rests on: {'; '.join(short(item, 120) for item in head.items)}.")
    told.append(" ".join(said(of_load.counted(result))))
    return tuple(line for one in told for line in textwrap.wrap(plain(one), LETTERS))


def _passes(result: LoadResult, say: LoadSay) -> str:
    """The other way round, as the page says it."""
    told = [
        f"{one.lead} {'; '.join(one.items)}" if isinstance(one, Points) else one.text
        for one in load_builds.largest(result, say).blocks
        if isinstance(one, Points | Paragraph)
    ]
    return f"The other way round: {short(' '.join(told), 600)}."
