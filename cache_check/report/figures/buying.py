"""The answer of ``buy`` in one drawing: for each cache, what money does step by step, and before and after."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from typing import TYPE_CHECKING, Any

from cache_check.model.purchase import BuyResult
from cache_check.report import basis, of_buy
from cache_check.report.caution import said
from cache_check.report.figures import before_after, canvas, frontier
from cache_check.report.page import plain, short
from cache_check.report.say import listed

if TYPE_CHECKING:
    from matplotlib.figure import Figure, FigureBase

MOST_CACHES = 8
FOOT_LINE, LETTERS = 0.15, 170


def draw(results: Sequence[BuyResult]) -> Figure:
    """A row for each cache, at most ``MOST_CACHES``; caution, steps and the day of the prices stand under them."""
    shown = results[:MOST_CACHES]
    lines = tuple(_foot(results))
    highs = [max(frontier.high(one), before_after.high(one.purchases)) + 0.4 for one in shown]
    with canvas.look():
        figure = canvas.blank(2 * before_after.WIDE, sum(highs) + FOOT_LINE * len(lines) + 0.2)
        rows: Any = figure.subfigures(len(shown), 1, height_ratios=highs, squeeze=False)
        for row, one in zip(rows[:, 0], shown, strict=True):
            row.suptitle(short(f"{one.title}: what to buy", 90), x=0.01, ha="left", weight="bold")
            _row(row, one)
    return canvas.footed(figure, lines)


def _row(row: FigureBase, one: BuyResult) -> None:
    names = [of_buy.whence(one, purchase) for purchase in one.purchases]
    sides: Any = row.subfigures(1, 2)
    left, right = sides
    before_after.draw_on(left, one.purchases, names)
    if frontier.worth(one):
        frontier.draw_on(right, one, names)
    else:
        right.text(0.5, 0.5, "no steps of cost to draw", ha="center", color=canvas.GREY)


def _foot(results: Sequence[BuyResult]) -> list[str]:
    """What the page says for a drawing on it: what each list costs, steps, prices, basis, caution."""
    told = [
        f"{one.title}, {of_buy.whence(one, purchase)}: {of_buy.headline(one, purchase)}."
        for one in results
        for purchase in one.purchases
    ]
    if len(results) > MOST_CACHES:
        told.append(f"{len(results) - MOST_CACHES} more caches are not drawn.")
    told.append(_steps(results[0]))
    quotes = dict.fromkeys(quote for one in results for purchase in one.purchases for quote in purchase.quotes)
    told.append(f"Prices: {'; '.join(map(of_buy.dated, quotes)) or 'none; lists are of the fewest pieces'}.")
    told += [f"{one.title}: {'; '.join(basis.head(one.basis).items)}." for one in results]
    return [line for text in (*told, " ".join(said())) for line in wrap(short(plain(text), 1200), LETTERS)]


def _steps(one: BuyResult) -> str:
    """Which needs are counted on which step."""
    by_step: dict[str, list[str]] = {}
    for ask in one.asks:
        by_step.setdefault(ask.step, []).append(f"{ask.title or ask.scene}: {ask.need}")
    parts = (f"{step}: {listed(needs, 'and')}" for step, needs in by_step.items())
    return f"Struts served are counted on the step that each need asks. {'. '.join(parts)}."
