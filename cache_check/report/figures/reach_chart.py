"""The reach chart: a bar for each assembly or group of them, and under it how many at once, on one axis of lengths."""

from collections.abc import Callable, Sequence
from typing import Any

from cache_check import units
from cache_check.errors import grouped
from cache_check.frozen import dataclass
from cache_check.model.assembly import Assembly, Span, merged
from cache_check.model.counting import Step
from cache_check.model.result import Profile, Reach, Stretch
from cache_check.report.figures import canvas
from cache_check.report.page import short
from cache_check.report.say import MANY_SPANS, Say

MOST_ROWS = 20  # bars that one printed side holds at a size that can be read
ROW, DEPTH, EDGES = 0.33, 1.6, 0.9
SMALL = 9
_BLIND: dict[str, Any] = {"facecolor": "white", "edgecolor": canvas.LINE, "hatch": "xxxx", "linewidth": 0}
_WHITE = {"facecolor": "white", "edgecolor": "none", "pad": 0.8}
_STEPS: dict[Step, dict[str, Any]] = {  # each lies within the one before it, so it is drawn over it
    "buildable": {"facecolor": "white", "edgecolor": canvas.GREY, "linestyle": (0, (4, 2))},
    "assembled at once": {"facecolor": canvas.PALE, "edgecolor": canvas.BLUE},
    "restrained": {"facecolor": "#f0dfc4", "edgecolor": canvas.OCHRE, "hatch": "////"},
    "rated": {"facecolor": "white", "edgecolor": canvas.INK, "hatch": "xxx"},
}


@dataclass(frozen=True)
class Row:
    """A bar: its label, the lengths that any of its assemblies can be set to, and how many assemblies those are."""

    label: str
    spans: tuple[Span, ...]
    count: int


@dataclass(frozen=True)
class Rows:
    """The bars, what each of them is in words, and how many more were left out."""

    rows: tuple[Row, ...]
    each: str
    left_out: int = 0


def rows(reach: Reach, say: Say) -> Rows:
    """A bar for each assembly; where those are too many, for each body with what stands between; then for each body."""
    ways: dict[str, Callable[[Assembly], tuple[str, ...]]] = {
        "one assembly": lambda one: one.parts,
        "one body with the pieces beside it, with any base and head":
            lambda one: (one.body, *sorted(one.below + one.above)),
        "one strut body, with anything that joins it": lambda one: (one.body,),
    }  # fmt: skip
    for each, by in ways.items():
        groups = grouped((by(one), one) for one in reach.assemblies)
        spans = {parts: merged(span for one in group for span in one.spans) for parts, group in groups.items()}
        bars = [Row(say.stack(parts), spans[parts], len(group)) for parts, group in groups.items()]
        bars.sort(key=lambda row: (row.spans[0][0], row.spans[-1][1], row.label))
        made = Rows(tuple(bars[:MOST_ROWS]), each, max(0, len(bars) - MOST_ROWS))
        if not made.left_out:
            break
    return made


def high(reach: Reach, profiles: Sequence[Profile], say: Say) -> float:
    """How many inches high the chart is, ``canvas.WIDE`` wide."""
    return _bars_high(rows(reach, say), reach) + DEPTH + EDGES + 0.22 * (len(profiles) + 1)


def draw(reach: Reach, profiles: Sequence[Profile], say: Say) -> canvas.Figure:
    """The chart as a figure of its own."""
    return canvas.alone(canvas.WIDE, high(reach, profiles, say), draw_on, reach, profiles, say)


def draw_on(figure: canvas.FigureBase, reach: Reach, profiles: Sequence[Profile], say: Say) -> None:
    """The chart.  Lengths that nothing covers are hatched; a body that locks at holes has a tick for each setting."""
    bars = rows(reach, say)
    panels: Any = figure.subplots(2, 1, sharex=True, height_ratios=(_bars_high(bars, reach), DEPTH))
    above, below = panels
    _bars(above, bars, reach, say)
    _depth(below, profiles, say)
    first, last = (reach.union[0][0], reach.union[-1][1]) if reach.union else (0, 0)
    room = (last - first) * 0.11 or per_unit(say)
    below.set_xlim((first - room) / per_unit(say), (last + room) / per_unit(say))
    if not reach.union:
        below.set_xticks(())
    below.set_xlabel(f"length of the strut, {say.length_unit}")
    for low, high in reach.blind_spots if _few_spots(reach) else ():
        below.axvspan(low / per_unit(say), high / per_unit(say), zorder=0, **_BLIND)
    _legend(figure, profiles, bool(reach.blind_spots))


def _bars_high(bars: Rows, reach: Reach) -> float:
    return ROW * (len(bars.rows) + 1.2 + 0.7 * (len(reach.blind_spots) if _few_spots(reach) else 1))


def per_unit(say: Say) -> int:
    """Nanometres in a shown unit of length."""
    return units.length_nm(f"1 {say.length_unit}")


def _few_spots(reach: Reach) -> bool:
    return 0 < len(reach.blind_spots) <= MANY_SPANS


def _bars(axes: canvas.Axes, bars: Rows, reach: Reach, say: Say) -> None:
    for place, row in enumerate(bars.rows):
        many = f" ({row.count:,} assemblies)" if row.count > 1 else ""
        many += f" ({len(row.spans)} settings)" if len(row.spans) > 1 else ""
        axes.text(0, place + 0.22, short(row.label, 62 - len(many)) + many, transform=axes.get_yaxis_transform(),
                  fontsize=SMALL, va="center", zorder=4, bbox=_WHITE)  # fmt: skip
        _bar(axes, row.spans, place + 0.66, say, facecolor=canvas.PALE, edgecolor=canvas.BLUE)
    under = float(len(bars.rows))
    for said in _said(bars, reach, say):
        axes.text(0, under + 0.3, said, transform=axes.get_yaxis_transform(), fontsize=SMALL, va="center",
                  weight="bold", zorder=4, bbox=_WHITE)  # fmt: skip
        under += 0.7 if said.startswith("Blind") else 1.1
    _bar(axes, reach.union, len(bars.rows) + 0.78, say, facecolor=canvas.BLUE, edgecolor=canvas.INK)
    blind = [(low / per_unit(say), (high - low) / per_unit(say)) for low, high in reach.blind_spots]
    axes.broken_barh(blind, (len(bars.rows) + 0.65, 0.26), **_BLIND)
    axes.set_ylim(under + 0.1, -0.1)
    axes.set_yticks(())
    axes.spines["left"].set_visible(False)
    axes.tick_params(axis="x", labelbottom=True, labelsize=SMALL)


def _said(bars: Rows, reach: Reach, say: Say) -> tuple[str, ...]:
    if not reach.count:
        return ("No legal assembly can be built: no reach.",)
    whole = f"all {reach.count:,} assemblies, one at a time" if reach.count > 1 else "the only assembly"
    whole += "" if bars.rows else ", too many to be drawn one by one"
    whole += f", {bars.left_out} bars left out" if bars.left_out else ""
    if _few_spots(reach):
        return (whole, *(f"Blind {say.blind(spot)}" for spot in reach.blind_spots))
    if not reach.blind_spots:
        return (whole, "Blind spots: none")
    widest = max(high - low for low, high in reach.blind_spots)
    return (whole, f"Blind between settings: {len(reach.blind_spots)} spots, the widest {say.length(widest, 'up')}")


def _bar(axes: canvas.Axes, spans: Sequence[Span], place: float, say: Say, **look: Any) -> None:
    one = per_unit(say)
    bars = [(low / one, (high - low) / one) for low, high in spans if low < high]
    axes.broken_barh(bars, (place - 0.13, 0.26), linewidth=1, zorder=3, **look)
    ticks = [low / one for low, high in spans if low == high]
    axes.vlines(ticks, place - 0.15, place + 0.15, color=look["edgecolor"], linewidth=1.6, zorder=3)
    if not spans:
        return
    low, high = say.bare_length(spans[0][0], "up"), say.bare_length(spans[-1][1], "down")
    for at, said, side, off in ((spans[0][0], low, "right", -4), (spans[-1][1], high, "left", 4)):
        axes.annotate(said, (at / one, place), (off, 0), textcoords="offset points", ha=side, va="center",
                      fontsize=SMALL, zorder=4)  # fmt: skip


def _depth(axes: canvas.Axes, profiles: Sequence[Profile], say: Say) -> None:
    for one in profiles:
        x, y = _outline([stretch for stretch in one.stretches if stretch.count], say)
        axes.fill(x, y, linewidth=1.3, **_STEPS[one.step])
    axes.set_ylim(0, max([1, *(stretch.count for one in profiles for stretch in one.stretches)]) + 0.6)
    axes.yaxis.get_major_locator().set_params(integer=True, nbins=10)  # type: ignore[call-arg]
    axes.grid(axis="y", color=canvas.LINE, linewidth=0.4)
    axes.set_axisbelow(True)
    axes.xaxis.set_major_formatter(lambda value, _: f"{value:,.6g}")
    axes.tick_params(labelsize=SMALL)
    axes.set_ylabel("struts", fontsize=SMALL + 1)


def _outline(stretches: Sequence[Stretch], say: Say) -> tuple[list[float], list[int]]:
    """The outline of a profile: down to zero wherever a length is not reached; a single setting is a spike."""
    corners: list[tuple[int, int]] = []
    for one in stretches:
        if not corners or corners[-1][0] != one.low:
            corners += [*((nm, 0) for nm, _ in corners[-1:]), (one.low, 0)]
        corners += [(one.low, one.count), (one.high, one.count)]
    corners += [(nm, 0) for nm, _ in corners[-1:]]
    return [nm / per_unit(say) for nm, _ in corners], [count for _, count in corners]


def _legend(figure: canvas.FigureBase, profiles: Sequence[Profile], blind: bool) -> None:
    from matplotlib.patches import Patch

    marks = []
    for one in profiles:
        how = "each by itself" if one.step == "buildable" else "at once"
        said = f"{one.step}, {how}" + ("" if one.proven else "; not proven, there may be more")
        marks.append(Patch(linewidth=1.3, label=said if any(s.count for s in one.stretches) else f"{one.step}: none",
                           **_STEPS[one.step]))  # fmt: skip
    if blind:
        marks.append(Patch(label="blind: no assembly", **_BLIND))
    figure.legend(handles=marks, loc="outside upper left", fontsize=SMALL, frameon=False, handlelength=2.6,
                  title="Above: which lengths. Below: how many struts, by length", title_fontsize=SMALL + 1,
                  alignment="left", ncols=2)  # fmt: skip
