"""A situation from the side, to scale: ground, vehicle, strut and straps, with the forces on one strut."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from cache_check.model.load import LoadResult
from cache_check.report.figures import canvas, load_drawn
from cache_check.report.figures.load_drawn import SMALL, STRAP, WHITE, WIDE, Box
from cache_check.report.figures.load_places import Arrow, Place, Places, arrows, places
from cache_check.report.say import Say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure, FigureBase


def draw(result: LoadResult, say: Say, *, keyed: bool = True) -> Figure:
    """The side view by itself; not ``keyed`` where the key stands beside it."""
    return canvas.alone(WIDE, high(result, say, keyed=keyed), draw_on, result, say, keyed=keyed)


def high(result: LoadResult, say: Say, *, keyed: bool = True) -> float:
    """How many inches high the drawing is."""
    here = places(result, say)
    forces = arrows(result, say, here)
    return load_drawn.high(_box(here, forces), key(result, here, forces) if keyed else ())


def draw_on(figure: FigureBase, result: LoadResult, say: Say, *, keyed: bool = True) -> None:
    """The side view on a figure or a part of one, within ``look``."""
    here = places(result, say)
    forces = arrows(result, say, here)
    box = _box(here, forces)
    axes = load_drawn.panes(figure, key(result, here, forces) if keyed else (), box)
    _ground(axes, result, say, here, box)
    _vehicle(axes, result, here)
    _strut(axes, result, say, here)
    for one in here.straps:
        axes.plot((here.seat[0], one.end[0]), (here.seat[1], one.end[1]), gid=f"run-{one.number}", **STRAP)
        load_drawn.anchor(axes, _seen(one.end), given=one.anchored)
    _forces(axes, forces, here)
    _dimensions(axes, result, say, here)
    load_drawn.scale(axes, box, here, result, say)


def key(result: LoadResult, here: Places, forces: tuple[Arrow, ...]) -> list[str]:
    """The lines under the drawing: every force with its name and figure, and what is not drawn."""
    lines = [load_drawn.named(one) for one in forces]
    if not forces:
        lines.append(f"{load_drawn.BOLD}NOT KNOWN: the load. No force is drawn.")
    lines += load_drawn.held(result, here)
    if any(one.gid.startswith("strap") for one in forces):
        lines.append("Straps' arrows are as seen in this view.")
    lines.append(
        "Hatched: the vehicle's edge. Triangle: its pivot." if here.pivot else
        "Hatched: the vehicle's edge; its shape is not known."
    )  # fmt: skip
    return lines


def _seen(place: Place) -> tuple[float, float]:
    return place[0], place[1]


def _box(here: Places, forces: tuple[Arrow, ...]) -> Box:
    every = [here.contact, here.seat, (0.0, 0.0, 0.0), *(one.end for one in here.straps)]
    every += [place for one in forces for place in (one.tail, one.tip)]
    x, y = [one[0] for one in every], [one[1] for one in every]
    span = here.span
    right = max(max(x) + 0.6 * span, (here.contact[0] + here.seat[0]) / 2 + 0.8 * span)
    return min(x) - 0.58 * span, right, min(y) - 0.28 * span, max(y) + 0.3 * span


def _ground(axes: Axes, result: LoadResult, say: Say, here: Places, box: Box) -> None:
    """The ground at the vehicle, and at the base as much lower or higher as it lies."""
    step = (max(here.contact[0], 0.0) + here.seat[0]) / 2
    x = [box[0], step, step, box[1]]
    y = [0.0, 0.0, here.seat[1], here.seat[1]]
    axes.plot(x, y, color=canvas.INK, linewidth=2, gid="ground", zorder=2)
    under = [one - 0.035 * here.span for one in y]
    axes.fill_between(x, y, under, facecolor="white", edgecolor=canvas.LINE, hatch="////", linewidth=0, zorder=1)
    drop = result.situation.ground_drop
    if drop:
        way = "lower" if drop > 0 else "higher"
        axes.text(here.seat[0] + 0.13 * here.span, here.seat[1] - 0.06 * here.span,
                  f"ground {say.length(abs(drop), 'nearest')}\n{way} here", fontsize=SMALL, ha="left", va="top",
                  bbox=WHITE, zorder=8, linespacing=1.1)  # fmt: skip


def _vehicle(axes: Axes, result: LoadResult, here: Places) -> None:
    """The edge at the contact, leaning as the face given, or from the pivot where one is stated; hatched inside."""
    contact, deep = here.contact, 0.09 * here.span
    if here.pivot is not None:
        start = _seen(here.pivot)
    else:
        face = math.radians(float(result.situation.face or 0))
        start = (contact[0] - 0.3 * here.span * math.sin(face), contact[1] - 0.3 * here.span * math.cos(face))
        start = (start[0], max(start[1], 0.0))
    end = load_drawn.beyond(start, _seen(contact), 0.12 * here.span)
    long = math.dist(start, end) or 1.0
    inward = (-(end[1] - start[1]) / long * deep, (end[0] - start[0]) / long * deep)
    corners = (start, end, (end[0] + inward[0], end[1] + inward[1]), (start[0] + inward[0], start[1] + inward[1]))
    axes.fill([p[0] for p in corners], [p[1] for p in corners], facecolor="white", edgecolor=canvas.LINE,
              hatch="\\\\\\\\", linewidth=0, zorder=1)  # fmt: skip
    axes.plot((start[0], end[0]), (start[1], end[1]), color=canvas.INK, linewidth=2.2, gid="vehicle", zorder=3)
    if here.pivot is not None:
        axes.plot(*_seen(here.pivot), "^", markersize=11, color=canvas.INK, gid="pivot", zorder=7)


def _strut(axes: Axes, result: LoadResult, say: Say, here: Places) -> None:
    """The strut from seat to contact, its length and its angle."""
    seat, contact, angle = here.seat, here.contact, float(result.geometry.angle_deg)
    axes.plot((seat[0], contact[0]), (seat[1], contact[1]), color=canvas.BLUE, linewidth=6, gid="strut", zorder=4,
              solid_capstyle="butt", alpha=0.55)  # fmt: skip
    axes.plot((seat[0], contact[0]), (seat[1], contact[1]), color=canvas.INK, linewidth=0.8, zorder=5)
    axes.plot(seat[0], seat[1], "s", markersize=8, color=canvas.INK, zorder=5)
    arc = [math.radians(180 - angle * n / 24) for n in range(25)]
    radius = 0.17 * here.span
    axes.plot([seat[0] + radius * math.cos(a) for a in arc], [seat[1] + radius * math.sin(a) for a in arc],
              color=canvas.GREY, linewidth=1, zorder=4)  # fmt: skip
    said = f"strut {say.length(result.geometry.length, 'nearest')}\n{say.angle(result.geometry.angle_deg)}\nfrom level"
    x, y = seat[0] + 0.45 * (contact[0] - seat[0]), seat[1] + 0.45 * (contact[1] - seat[1])
    axes.text(x + 0.06 * here.span, y + 0.02 * here.span, said, fontsize=SMALL, va="bottom", ha="left", bbox=WHITE,
              zorder=8, linespacing=1.1)  # fmt: skip


def _forces(axes: Axes, forces: tuple[Arrow, ...], here: Places) -> None:
    at = []
    for one in forces:
        color = canvas.OCHRE if one.gid.startswith("strap") else canvas.BLUE
        tail, tip = _seen(one.tail), _seen(one.tip)
        load_drawn.arrow(axes, tail, tip, one.gid, color, 0.07 * here.span)
        start, free = (tip, tail) if one.gid in ("along", "ground") else (tail, tip)
        at.append((one.number, load_drawn.beyond(start, free, 0.09 * here.span)))
    load_drawn.marks(axes, at, 0.12 * here.span)


def _dimensions(axes: Axes, result: LoadResult, say: Say, here: Places) -> None:
    one, span = result.situation, here.span
    left = min(0.0, here.contact[0]) - 0.2 * span
    axes.plot((left, here.contact[0]), (here.contact[1],) * 2, color=canvas.GREY, linewidth=0.6, zorder=1)
    measure = load_drawn.measure
    measure(axes, (left, 0.0), (left, here.contact[1]), f"contact\n{say.length(one.contact_height, 'nearest')}\nup",
            "dimension-height", ha="right", va="center", linespacing=1.1)  # fmt: skip
    low = min(0.0, here.seat[1]) - 0.12 * span
    axes.plot((here.contact[0],) * 2, (low, here.contact[1]), color=canvas.GREY, linewidth=0.6, linestyle=":", zorder=1)
    said = f"base {say.length(result.geometry.offset, 'nearest')} out"
    measure(axes, (here.contact[0], low), (here.seat[0], low), said, "dimension-offset", ha="right", va="top")
