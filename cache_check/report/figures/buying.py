"""What to buy: each scene's struts today and with the lists, and what money does from step to step."""

from collections.abc import Sequence
from typing import Any

from cache_check.frozen import dataclass
from cache_check.model.purchase import BuyResult, FrontierPoint, Purchase
from cache_check.report.bought import moved
from cache_check.report.figures import canvas
from cache_check.report.page import short

MOST_SCENES, MOST_LISTS = 12, 5
TITLE, STROKE, STRUTS = 0.27, 0.12, 2.0  # inches: over the strokes of a scene, each stroke, and the struts under them
SMALL = 9
DASHES: tuple[Any, ...] = ("-", (0, (4, 1.5)), (0, (1.2, 1.2)), (0, (7, 1.5, 1.2, 1.5)), (0, (2.5, 3)))
COLOURS = (canvas.BLUE, canvas.OCHRE, canvas.INK, canvas.GREY, canvas.BLUE)
TODAY, WHOLE, MOST = "today", "every scene met", "the most that any list does"
_SHAPES = {TODAY: ("o", "white"), WHOLE: ("s", canvas.INK), MOST: ("D", "white")}
BAR, GAP, MOST_BARS = 0.17, 0.28, 4
LOOKS = (  # wanted, today, and each list in its turn
    {"facecolor": "white", "edgecolor": canvas.INK},
    {"facecolor": "white", "edgecolor": canvas.GREY, "hatch": "////"},
    {"facecolor": canvas.PALE, "edgecolor": canvas.BLUE},
    {"facecolor": "#f0dfc4", "edgecolor": canvas.OCHRE, "hatch": ".."},
    {"facecolor": "white", "edgecolor": canvas.BLUE, "hatch": "\\\\"},
    {"facecolor": canvas.LINE, "edgecolor": canvas.INK},
)


@dataclass(frozen=True)
class Steps:
    """The steps of one list: what each costs (or its pieces) and serves; ``gap``: those after the first are not all."""

    name: str
    points: tuple[FrontierPoint, ...]
    at: tuple[float, ...]
    whole: bool
    gap: bool


def worth(result: BuyResult) -> bool:
    """Whether there is a step to draw; where moving costs nothing there is none between today and everything."""
    return any(point.cost for one in result.purchases for point in one.frontier)


def unit(result: BuyResult) -> str:
    """What the steps are measured in."""
    if result.currency:
        return f"cost, {short(result.currency, 12)}"
    return "cost" if moved(result) and worth(result) else "pieces"


def steps_high(result: BuyResult) -> float:
    """How many inches high the drawing is."""
    return _lanes_high(result) + STRUTS + 0.3 + 0.21 * (min(len(result.purchases), MOST_LISTS) + 2)


def _lanes_high(result: BuyResult) -> float:
    return (TITLE + STROKE * min(len(result.purchases), MOST_LISTS)) * min(len(result.purchases[0].after), MOST_SCENES)


def steps_on(figure: canvas.FigureBase, result: BuyResult, names: Sequence[str]) -> None:
    """A lane for each scene, and the struts served under them; each list has its dash, and its name in the legend."""
    scenes = [(s.scene, s.title or s.scene) for s in result.purchases[0].after][:MOST_SCENES]
    above, below = figure.subplots(2, 1, sharex=True, height_ratios=(_lanes_high(result), STRUTS - 0.4))
    steps = [steps_of(result, *both) for both in zip(result.purchases, names, strict=True)][:MOST_LISTS]
    right = max([one.at[-1] for one in steps if one.at] or [1]) * 1.06 or 1.0
    _lanes(above, scenes, steps, right)
    _struts(below, steps, right)
    _dress(figure, below, result, steps, right)


def steps_of(result: BuyResult, one: Purchase, name: str) -> Steps:
    """The steps of one list."""
    money = unit(result) != "pieces"
    at = tuple(p.cost / 100 if money else float(sum(n for _, _, n in p.pieces)) for p in one.frontier)
    top = one.frontier[-1] if one.frontier else None
    return Steps(name, one.frontier, at, top is not None and len(top.met) == len(one.after), not one.frontier_whole)


def _lanes(axes: canvas.Axes, scenes: Sequence[tuple[str, str]], steps: Sequence[Steps], right: float) -> None:
    """For each scene a lane, in it a stroke for each list over the costs at which the scene is met whole."""
    lane = TITLE + STROKE * len(steps)
    for number, (scene, title) in enumerate(scenes):
        top = lane * number
        axes.axhline(top, color=canvas.LINE, linewidth=0.5)
        axes.text(0, top + 0.11, short(title, 58), fontsize=SMALL, va="center", clip_on=False)
        for q, one in enumerate(steps):
            y = top + 0.2 + STROKE * (q + 0.5)
            for low, high in met(one, scene, right):
                axes.plot((low, high), (y, y), linestyle=DASHES[q], color=COLOURS[q], linewidth=3.6,
                          solid_capstyle="butt", dash_capstyle="butt")  # fmt: skip
                axes.plot((low,), (y,), marker="|", color=COLOURS[q], markersize=8, markeredgewidth=2)
        if not any(met(one, scene, right) for one in steps):
            axes.text(right, top + 0.11, "never met", fontsize=SMALL, ha="right", va="center", color=canvas.GREY)
    axes.set_ylim(lane * len(scenes), 0)
    axes.set_yticks(())
    axes.spines["left"].set_visible(False)
    axes.tick_params(axis="x", bottom=False, labelbottom=False)


def met(one: Steps, scene: str, right: float) -> list[tuple[float, float]]:
    """The spans of cost over which a scene is met whole, those that touch as one."""
    spans: list[tuple[float, float]] = []
    for n, (point, low, high) in enumerate(zip(one.points, one.at, (*one.at[1:], right), strict=False)):
        if scene in point.met and not (one.gap and n == 0):
            spans.append((spans.pop()[0] if spans and spans[-1][1] == low else low, high))
    return spans


def _struts(axes: canvas.Axes, steps: Sequence[Steps], right: float) -> None:
    for q, one in enumerate(steps):
        first, struts = int(one.gap), [point.struts for point in one.points]
        if len(struts) > first:
            axes.step((*one.at[first:], right), (*struts[first:], struts[-1]), where="post", linestyle=DASHES[q],
                      color=COLOURS[q], linewidth=max(1.4, 3.2 - 0.8 * q))  # fmt: skip
        if one.gap and len(one.at) > 1:
            axes.axvspan(one.at[0], one.at[1], hatch="//", facecolor="none", edgecolor=canvas.LINE, linewidth=0)
            axes.text((one.at[0] + one.at[1]) / 2, max(struts) * 0.5, "steps\nnot shown", fontsize=SMALL, ha="center",
                      bbox={"facecolor": "white", "edgecolor": "none", "pad": 1})  # fmt: skip
        for says, n in ((TODAY, 0), (WHOLE if one.whole else MOST, len(one.at) - 1)):
            if n >= 0 and (says == TODAY or n):
                shape, face = _SHAPES[says]
                axes.plot((one.at[n],), (struts[n],), shape, markerfacecolor=face, markeredgecolor=canvas.INK,
                          markersize=8, markeredgewidth=1.6, zorder=4, clip_on=False)  # fmt: skip


def _dress(figure: canvas.FigureBase, axes: canvas.Axes, result: BuyResult, steps: list[Steps], right: float) -> None:
    from matplotlib.lines import Line2D

    wanted = sum(scene.wanted for scene in result.purchases[0].after)
    axes.axhline(wanted, color=canvas.INK, linewidth=0.9, linestyle=(0, (1, 2.5)))
    axes.annotate(f"all {wanted} wanted", (0, wanted), (2, 2), textcoords="offset points", fontsize=SMALL)
    axes.set_ylim(0, wanted * 1.17)
    axes.set_xlim(0, right)
    axes.yaxis.get_major_locator().set_params(integer=True)  # type: ignore[call-arg]
    axes.xaxis.set_major_formatter(lambda value, _: f"{value:,.{0 if value == int(value) else 2}f}")
    axes.xaxis.get_major_locator().set_params(nbins=6, integer=unit(result) == "pieces")  # type: ignore[call-arg]
    axes.set_xlabel(unit(result))
    axes.set_ylabel("struts served", fontsize=SMALL + 1)
    lines = [Line2D((), (), linestyle=DASHES[q], color=COLOURS[q], linewidth=2.6, label=short(one.name, 56))
             for q, one in enumerate(steps)]  # fmt: skip
    figure.legend(handles=lines, loc="outside upper left", fontsize=SMALL, frameon=False, handlelength=3.6,
                  title="Above: a scene is met whole where its stroke runs. Below: all struts.",
                  title_fontsize=SMALL, alignment="left")  # fmt: skip
    used = dict.fromkeys([TODAY, *(WHOLE if one.whole else MOST for one in steps if len(one.at) > 1)])
    marks = [Line2D((), (), linestyle="", marker=_SHAPES[says][0], markerfacecolor=_SHAPES[says][1],
                    markeredgecolor=canvas.INK, label=says) for says in used]  # fmt: skip
    axes.legend(handles=marks, loc="lower right", fontsize=SMALL, frameon=True, framealpha=1, edgecolor="none",
                handletextpad=0.2, ncols=len(marks), borderpad=0.2)  # fmt: skip


def bars_high(purchases: Sequence[Purchase]) -> float:
    """How many inches high the drawing is."""
    bars = 2 + min(len(purchases), MOST_BARS)
    return (BAR * bars + GAP) * min(len(purchases[0].after), MOST_SCENES) + 0.55 + 0.2 * bars


def bars_on(figure: canvas.FigureBase, purchases: Sequence[Purchase], names: Sequence[str]) -> None:
    """Bars under the title of each scene: wanted, today, with each list; what is short of what is wanted says so."""
    lists = purchases[:MOST_BARS]
    labels = ["wanted", "today", *(short(name, 56) for name in names[:MOST_BARS])]
    scenes, group = range(min(len(lists[0].after), MOST_SCENES)), BAR * len(labels) + GAP
    axes = figure.add_subplot()
    for s in scenes:
        before = lists[0].before[s]
        axes.text(0, s * group, short(before.title or before.scene, 58), fontsize=SMALL + 0.5, va="center",
                  weight="bold")  # fmt: skip
        served = [before.wanted, before.served, *(one.after[s].served for one in lists)]
        met = ["met", before.verdict, *(one.after[s].verdict for one in lists)]
        for n, (struts, verdict) in enumerate(zip(served, met, strict=True)):
            lacks = f", {before.wanted - struts} SHORT" if struts < before.wanted else ", nothing left over"
            said = {"met": "", "not known": " NOT KNOWN"}.get(verdict, lacks)
            label, y = labels[n] if s == 0 else None, s * group + 0.18 + BAR * n
            axes.barh(y, struts, height=BAR * 0.86, linewidth=1.1, label=label, **LOOKS[n])  # type: ignore[arg-type]
            axes.annotate(f"{struts}{said}", (struts, y), (4, 0), textcoords="offset points", va="center",
                          fontsize=SMALL, weight="bold" if "SHORT" in said else "normal")  # fmt: skip
    axes.set_ylim(group * len(scenes) - 0.12, -0.16)
    axes.set_xlim(0, max(lists[0].before[s].wanted for s in scenes) * 1.2)
    axes.set_yticks(())
    axes.xaxis.get_major_locator().set_params(integer=True)  # type: ignore[call-arg]
    axes.set_xlabel("struts served", fontsize=SMALL + 1)
    figure.legend(loc="outside upper left", fontsize=SMALL, frameon=False, ncols=2, alignment="left")
