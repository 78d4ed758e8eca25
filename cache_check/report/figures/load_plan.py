"""A situation from above, to scale: the strut's line, the straps either side of it, and what they pull."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TYPE_CHECKING

from cache_check.model.load import LoadResult
from cache_check.report.figures import canvas, load_drawn
from cache_check.report.figures.load_drawn import SMALL, STRAP, WHITE, WIDE, Box, Point
from cache_check.report.figures.load_places import Arrow, Place, Places, Strap, arrows, places
from cache_check.report.say import Say

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure, FigureBase


def draw(result: LoadResult, say: Say, *, keyed: bool = True) -> Figure:
    """The plan by itself; not ``keyed`` where the key stands beside it."""
    return canvas.alone(WIDE, high(result, say, keyed=keyed), draw_on, result, say, keyed=keyed)


def high(result: LoadResult, say: Say, *, keyed: bool = True) -> float:
    """How many inches high the drawing is."""
    here = places(result, say)
    return load_drawn.high(_box(here, _seen_above(result, say, here)), key(result, say, here) if keyed else ())


def _seen_above(result: LoadResult, say: Say, here: Places) -> tuple[Arrow, ...]:
    return tuple(one for one in arrows(result, say, here) if one.gid.startswith(("strap", "thrust")))


def draw_on(figure: FigureBase, result: LoadResult, say: Say, *, keyed: bool = True) -> None:
    """The plan on a figure or a part of one, within ``look``."""
    here = places(result, say)
    forces = _seen_above(result, say, here)
    box = _box(here, forces)
    axes = load_drawn.panes(figure, key(result, say, here) if keyed else (), box)
    _vehicle(axes, here, box)
    seat, contact = _seen(here.seat), _seen(here.contact)
    axes.plot((seat[0], contact[0]), (0, 0), color=canvas.BLUE, linewidth=6, alpha=0.55, gid="strut", zorder=4,
              solid_capstyle="butt")  # fmt: skip
    axes.plot((min(0.0, contact[0]) - 0.1 * here.span, box[1]), (0, 0), color=canvas.INK, linewidth=0.8,
              linestyle=(0, (8, 3, 1, 3)), zorder=2)  # fmt: skip
    axes.plot(*seat, "s", markersize=8, color=canvas.INK, zorder=5)
    for one in here.straps:
        _strap(axes, one, say, here)
    at = []
    for force in forces:
        color = canvas.OCHRE if force.gid.startswith("strap") else canvas.BLUE
        load_drawn.arrow(axes, _seen(force.tail), _seen(force.tip), force.gid, color, 0.07 * here.span)
        at.append((force.number, load_drawn.beyond(_seen(force.tail), _seen(force.tip), 0.09 * here.span)))
    load_drawn.marks(axes, at, 0.12 * here.span)
    load_drawn.scale(axes, box, here, result, say)


def key(result: LoadResult, say: Say, here: Places) -> list[str]:
    """The lines under the drawing."""
    forces = _seen_above(result, say, here)
    lines = [load_drawn.named(one) for one in forces]
    if not forces:
        lines.append(f"{load_drawn.BOLD}NOT KNOWN: the load. No force is drawn.")
    lines += load_drawn.held(result, here)
    lines.append("Left, right: seen from base to vehicle (hatched).")
    if forces:
        lines.append("Straps' arrows are as seen in this view.")
    return lines


def _seen(place: Place) -> Point:
    """From above with the base at the right, left as seen from the base lies toward the reader."""
    return place[0], -place[2]


def _box(here: Places, forces: tuple[Arrow, ...]) -> Box:
    every = [_seen(one) for one in (here.contact, here.seat, (0.0, 0.0, 0.0), *(one.end for one in here.straps))]
    every += [_seen(one.tip) for one in forces]
    x, y = [one[0] for one in every], [one[1] for one in every]
    span = here.span
    right = max(x) + 0.2 * span
    low, top = min(*y, -0.2 * span) - 0.16 * span, max(*y, 0.2 * span) + 0.54 * span
    return min(min(x) - 0.3 * span, right - 1.6 * span), right, low, top


def _vehicle(axes: Axes, here: Places, box: Box) -> None:
    """The vehicle's edge through the pivot, or below the contact where there is none; hatched on its side."""
    x = 0.0 if here.pivot is not None else here.contact[0]
    y = box[2] + 0.04 * here.span, box[3] - 0.34 * here.span
    axes.fill_betweenx(y, (x, x), (x - 0.07 * here.span,) * 2, facecolor="white", edgecolor=canvas.LINE,
                       hatch="\\\\\\\\", linewidth=0, zorder=1)  # fmt: skip
    axes.plot((x, x), y, color=canvas.INK, linewidth=2.2, gid="vehicle", zorder=2)
    axes.plot(*_seen(here.contact), "D", markersize=7, color=canvas.INK, zorder=6, gid="contact")


def _strap(axes: Axes, one: Strap, say: Say, here: Places) -> None:
    seat, end = _seen(here.seat), _seen(one.end)
    axes.plot((seat[0], end[0]), (seat[1], end[1]), gid=f"run-{one.number}", **STRAP)
    load_drawn.anchor(axes, end, given=one.anchored)
    angle = one.plan_deg
    side = "left" if angle > 0 else "right" if angle < 0 else "on the line"
    said = f"strap {one.number}: {say.angle(Fraction(abs(angle)))} {side}"
    down = math.copysign(1, -angle) if angle else 1
    axes.text(end[0], end[1] + down * 0.07 * here.span, said, fontsize=SMALL, ha="left",
              va="top" if down < 0 else "bottom", bbox=WHITE, zorder=8)  # fmt: skip
