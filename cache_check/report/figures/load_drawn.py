"""What the views of a situation are drawn with: arrows with numbers, dimensions, scale bars, words of the key."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from cache_check import units
from cache_check.model.load import LoadResult
from cache_check.report.figures import canvas
from cache_check.report.figures.load_places import Arrow, Places, handy, newtons_per_unit
from cache_check.report.say import Say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import FigureBase

Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""What must be seen: least and most x, least and most y."""
WIDE = 5.4
SMALL = 12
WHITE = {"facecolor": "white", "edgecolor": "none", "pad": 0.8}
STRAP: Any = {"color": canvas.OCHRE, "linewidth": 1.8, "linestyle": (0, (6, 2.5)), "zorder": 3}


def pane(figure: FigureBase, box: Box) -> Axes:
    """Axes to scale."""
    axes = figure.add_subplot()
    axes.set_axis_off()
    axes.set_aspect("equal", adjustable="box", anchor="W")
    axes.set_xlim(box[0], box[1])
    axes.set_ylim(box[2], box[3])
    return axes


def tall(box: Box) -> float:
    """Inches for a drawing that spans so much each way, the width being the page's."""
    return min(max((WIDE - 0.3) * (box[3] - box[2]) / max(box[1] - box[0], 1e-9), 1.3), 2.8)


def arrow(axes: Axes, tail: Point, tip: Point, gid: str, color: str, size: float) -> None:
    """A shaft from tail to tip, and a head within it that is ``size`` long where the shaft is."""
    far = ((tip[0] - tail[0]) ** 2 + (tip[1] - tail[1]) ** 2) ** 0.5
    axes.plot((tail[0], tip[0]), (tail[1], tip[1]), color=color, linewidth=2.6, zorder=6, gid=f"arrow-{gid}",
              solid_capstyle="butt")  # fmt: skip
    if far <= 0:
        return
    x, y = (tip[0] - tail[0]) / far, (tip[1] - tail[1]) / far
    size = min(size, far)
    back = (tip[0] - size * x, tip[1] - size * y)
    corners = (tip, (back[0] - 0.4 * size * y, back[1] + 0.4 * size * x),
               (back[0] + 0.4 * size * y, back[1] - 0.4 * size * x))  # fmt: skip
    axes.fill([p[0] for p in corners], [p[1] for p in corners], color=color, zorder=7, linewidth=0)


def named(one: Arrow) -> str:
    """A force in the key: its number in brackets, so that it never reads as part of the figure."""
    return f"({one.number}) {one.name}: {one.figure}"


def anchor(axes: Axes, at: Point, *, given: bool) -> None:
    """The far end of a strap: a disk at an anchor that is given, a hollow ring where none is."""
    axes.plot(*at, "o", markersize=7, markeredgecolor=canvas.OCHRE, markerfacecolor=canvas.OCHRE if given else "white",
              markeredgewidth=1.5, zorder=5)  # fmt: skip


def held(result: LoadResult, here: Places) -> list[str]:
    """What the key says of the straps."""
    if result.refused:
        return [f"REFUSED, no tension given: {result.refused}"]
    if not here.straps:
        return ["No straps or chain in this situation."]
    if not here.straps[0].anchored:
        return ["Hollow ring: no anchor given; drawn to the foot."]
    return []


def marks(axes: Axes, at: Sequence[tuple[int, Point]], apart: float) -> None:
    """Numbers in rings at the free ends of arrows; those that would stand on each other share a ring."""
    left = list(at)
    while left:
        number, place = left.pop(0)
        near = [n for n, p in left if abs(p[0] - place[0]) < apart and abs(p[1] - place[1]) < apart]
        left = [(n, p) for n, p in left if n not in near]
        axes.text(*place, ", ".join(str(n) for n in (number, *near)), fontsize=SMALL, weight="bold", ha="center",
                  va="center", zorder=9,
                  bbox={"boxstyle": "round,pad=0.22", "facecolor": "white", "edgecolor": canvas.INK})  # fmt: skip


def beyond(start: Point, end: Point, far: float) -> Point:
    """A place so far past the end of a line; above it where the line has no length."""
    long = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5
    if long <= 0:
        return (end[0], end[1] + far)
    return (end[0] + far * (end[0] - start[0]) / long, end[1] + far * (end[1] - start[1]) / long)


def measure(axes: Axes, start: Point, end: Point, said: str, gid: str, **placed: Any) -> None:
    """A dimension: a thin line with an end mark at each end, and what it says."""
    axes.plot((start[0], end[0]), (start[1], end[1]), color=canvas.GREY, linewidth=0.9, gid=gid, zorder=4,
              marker="|" if start[1] == end[1] else "_", markersize=8)  # fmt: skip
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    apart = (0, -5) if start[1] == end[1] else (-5, 0)
    axes.annotate(said, middle, apart, textcoords="offset points", fontsize=SMALL, zorder=8, bbox=WHITE, **placed)


def scale(axes: Axes, box: Box, here: Places, result: LoadResult, say: Say) -> None:
    """Two bars: what a length is, and what a force is where there is one."""
    span, system = here.span, say.system
    start = (box[1] - 0.95 * span, box[3] - 0.06 * span)
    bar = handy(0.4 * span)
    axes.plot((start[0], start[0] + bar), (start[1], start[1]), color=canvas.INK, linewidth=3, gid="scale-length",
              solid_capstyle="butt")  # fmt: skip
    axes.text(start[0] + bar + 0.05 * span, start[1], f"{bar:g} {say.length_unit}", fontsize=SMALL, va="center",
              bbox=WHITE, zorder=8)  # fmt: skip
    if result.forces is None:
        return
    per_force = newtons_per_unit(result, here)
    y, one = start[1] - 0.15 * span, float(units.parse(f"1 {units.shown_unit('force', system)}", "force", system))
    force = handy(0.4 * span * per_force / one)
    long = force * one / per_force
    axes.plot((start[0], start[0] + long), (y, y), color=canvas.BLUE, linewidth=2.6, gid="scale-force",
              solid_capstyle="butt")  # fmt: skip
    said = f"{force:,g} {units.shown_unit('force', system)} (arrows)"
    axes.text(start[0] + long + 0.05 * span, y, said, fontsize=SMALL, va="center", bbox=WHITE, zorder=8)
