"""The answers of ``reach``, ``stage``, ``buy`` and ``load`` in one drawing each, with what a page says around them."""

from collections.abc import Iterable, Sequence
from textwrap import wrap
from typing import Any

from cache_check.errors import grouped
from cache_check.model.card import SetsShown
from cache_check.model.load import LoadResult
from cache_check.model.purchase import BuyResult
from cache_check.model.result import Basis, ReachResult
from cache_check.model.staging import StageResult
from cache_check.report import basis, bought, load_builds, of_buy, of_load, shortly
from cache_check.report.figures import buying, canvas, load_views, reach_chart, sets_to_scale
from cache_check.report.page import plain, said, short
from cache_check.report.say import Say, listed

MOST_CACHES, MOST_SETS = 6, 12
MOST_BOUGHT = 8  # caches of ``buy`` that are drawn
LINE = 0.16  # inches: a line under a drawing; those of ``buy`` and ``load`` stand a little closer
STAGED = "Each set is a strut on the step assembled at once; whether it is restrained or rated is not drawn."


def reach(result: ReachResult, load: str | None = None) -> canvas.Figure:
    """The reach chart under its title; ``load`` (as asked) is what the step rated is for."""
    say = Say.of(result)
    bars = reach_chart.rows(result.reach, say)
    told = [f"Each bar is {bars.each}; bars are not to be had at once."] if bars.rows else []
    steps = ", ".join(one.step for one in result.profiles)
    told.append(f"Struts are counted on the steps {steps}." + (f" Rated for {short(load, 40)}." if load else ""))
    lines = _rests(told, [(result.title, result.basis)], canvas.WIDE)
    high = reach_chart.high(result.reach, result.profiles, say)
    with canvas.blank(canvas.WIDE, 0.35 + high + LINE * len(lines), lines) as figure:
        figure.suptitle(short(shortly.title("reach", result), 60), x=0.01, ha="left", weight="bold")
        inner: Any = figure.subfigures(1, 1)
        reach_chart.draw_on(inner, result.reach, result.profiles, say)
    return figure


def stage(results: Sequence[StageResult], shown: Sequence[SetsShown]) -> canvas.Figure:
    """The sets of each cache part by part, a row for each cache, all to one scale."""
    both = list(zip(results, shown, strict=True))[:MOST_CACHES]
    scale = max(sets_to_scale.longest(one.sets[:MOST_SETS]) for _, one in both)
    told = [STAGED, sets_to_scale.KEY, *_left_out(len(results) - MOST_CACHES, "caches")]
    told += _left_out(sum(max(0, len(one.sets) - MOST_SETS) for _, one in both), "sets")
    lines = _rests(told, [(one.title, one.basis) for one, _ in both], canvas.WIDE)
    drawn = [(one.sets[:MOST_SETS], one.pieces, Say.of(of)) for of, one in both]
    highs = [0.4 + sets_to_scale.high(*one) for one in drawn]
    with canvas.blank(canvas.WIDE, sum(highs) + LINE * len(lines), lines) as figure:
        titles = [shortly.title("stage", one) for one, _ in both]
        for row, one in zip(_rows(figure, highs, titles), drawn, strict=True):
            sets_to_scale.draw_on(row, *one, scale)
    return figure


def buy(results: Sequence[BuyResult]) -> canvas.Figure:
    """For each cache a row: before and after, and what money does step by step."""
    shown = results[:MOST_BOUGHT]
    lines = _wrapped((*_bought(results), " ".join(said())), 170)
    highs = [max(buying.steps_high(one), buying.bars_high(one.purchases)) + 0.4 for one in shown]
    with canvas.blank(2 * canvas.WIDE, sum(highs) + 0.15 * len(lines) + 0.2, lines) as figure:
        for row, one in zip(_rows(figure, highs, [shortly.title("buy", one) for one in shown]), shown, strict=True):
            names = [bought.whence(one, purchase) for purchase in one.purchases]
            sides: Any = row.subfigures(1, 2)
            left, right = sides
            buying.bars_on(left, one.purchases, names)
            if buying.worth(one):
                buying.steps_on(right, one, names)
            else:
                right.text(0.5, 0.5, "no steps of cost to draw", ha="center", color=canvas.GREY)
    return figure


def load(result: LoadResult) -> canvas.Figure:
    """The views from the side and from above, with the verdict over them and under them what their numbers mean."""
    say = Say.of(result)
    told = f"This drawing rests on: {'; '.join(short(item, 120) for item in basis.head(result.basis).items)}."
    drawn = "; ".join(line.rstrip(".") for line in load_views.key(result, say))
    shown = (f"{drawn}.", of_load.lead(result), *of_load.do(result, say))
    if result.forces is None:
        (way,) = load_builds.largest(result, say)
        passes = way if isinstance(way, str) else f"{way.lead} {'; '.join(way.items)}"
        shown = (*shown, f"The other way round: {short(passes, 600)}.")
    lines = _wrapped((*shown, told, " ".join(said(of_load.counted(result)))), 178)
    views = (load_views.SIDE, load_views.PLAN)
    high = max(load_views.high(view, result, say) for view in views)
    with canvas.blank(11.0, high + 0.75 + 0.155 * (len(lines) + 1), lines) as figure:
        sides: Any = figure.subfigures(1, 2)
        for side, view in zip(sides, views, strict=True):
            load_views.draw_on(side, view, result, say)
        title = [short(shortly.title("load", result), 100), *_wrapped([of_load.in_short(result)], 104)]
        figure.suptitle("\n".join(title), fontsize=11, ha="left", x=0.01, weight="bold")
    return figure


def _rows(figure: canvas.Figure, highs: Sequence[float], titles: Sequence[str]) -> list[canvas.FigureBase]:
    rows: Any = figure.subfigures(len(highs), 1, height_ratios=highs, squeeze=False)
    for row, title in zip(rows[:, 0], titles, strict=True):
        row.suptitle(short(title, 90), x=0.01, ha="left", weight="bold")
    return list(rows[:, 0])


def _left_out(number: int, what: str) -> list[str]:
    return [f"{number} more {what} are not drawn."] if number > 0 else []


def _wrapped(texts: Iterable[str], letters: int) -> tuple[str, ...]:
    return tuple(line for text in texts for line in wrap(plain(text), letters))


def _rests(told: Sequence[str], bases: Sequence[tuple[str, Basis]], wide: float) -> tuple[str, ...]:
    texts = [*told]
    for title, one in bases:
        lists = (("ignored", one.ignored), ("unknown", one.unknown))
        notes = [f"{lead}: {', '.join(items) or 'none'}" for lead, items in lists]
        texts.append(f"{title}: {'; '.join((*basis.head(one).items, *notes))}.")
    return _wrapped((short(text, 1200) for text in (*texts, " ".join(said()))), int(wide * 15.5))  # letters per inch


def _bought(results: Sequence[BuyResult]) -> list[str]:
    told = [f"{one.title}, {text}." for one in results for _, text in of_buy.answers(one)]
    by_step = grouped((ask.step, f"{ask.title or ask.scene}: {ask.need}") for ask in results[0].asks)
    steps = ". ".join(f"{step}: {listed(needs, 'and')}" for step, needs in by_step.items())
    quotes = dict.fromkeys(quote for one in results for purchase in one.purchases for quote in purchase.quotes)
    told += _left_out(len(results) - MOST_BOUGHT, "caches")
    told.append(f"Struts served are counted on the step that each need asks. {steps}.")
    told.append(f"Prices: {'; '.join(map(bought.dated, quotes)) or 'none; lists are of the fewest pieces'}.")
    told += [f"{one.title}: {'; '.join(basis.head(one.basis).items)}." for one in results]
    return [short(text, 1200) for text in told]
