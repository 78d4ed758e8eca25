"""A situation to scale, from the side and from above: ground, vehicle, strut, straps, and the forces on one strut."""

import math
from collections.abc import Callable
from fractions import Fraction

from cache_check.frozen import dataclass
from cache_check.model.load import LoadResult
from cache_check.report.figures import canvas, load_drawn
from cache_check.report.figures.load_drawn import Arrow, Box, Place, Places, Point, arrows, places
from cache_check.report.load_forces import aside
from cache_check.report.say import Say


@dataclass(frozen=True)
class View:
    """A way of looking at it: where a place is seen, which arrows are, what must be seen, and what only it shows."""

    seen: Callable[[Place], Point]
    shows: tuple[str, ...]
    box: Callable[[Places, tuple[Arrow, ...]], Box]
    dress: Callable[[canvas.Axes, LoadResult, Say, Places, Box], None]

    def arrows(self, result: LoadResult, say: Say, here: Places) -> tuple[Arrow, ...]:
        """The forces that this view shows; none where the load is not known."""
        return tuple(one for one in arrows(result, say, here) if one.gid.startswith(self.shows))


def draw(view: View, result: LoadResult, say: Say) -> canvas.Figure:
    """A view by itself; what its numbers mean stands beside it, by ``key``."""
    return canvas.alone(canvas.WIDE, high(view, result, say), draw_on, view, result, say)


def high(view: View, result: LoadResult, say: Say) -> float:
    """How many inches high the drawing is, the width being the page's."""
    here = places(result, say)
    box = view.box(here, view.arrows(result, say, here))
    return min(max((canvas.WIDE - 0.3) * (box[3] - box[2]) / max(box[1] - box[0], 1e-9), 1.3), 2.8) + 0.1


def draw_on(figure: canvas.FigureBase, view: View, result: LoadResult, say: Say) -> None:
    """The view on a figure or a part of one, within ``look``."""
    here = places(result, say)
    forces = view.arrows(result, say, here)
    box, seat, contact = view.box(here, forces), view.seen(here.seat), view.seen(here.contact)
    axes = figure.add_subplot()
    axes.set_axis_off()
    axes.set_aspect("equal", adjustable="box", anchor="W")
    axes.set_xlim(box[0], box[1])
    axes.set_ylim(box[2], box[3])
    view.dress(axes, result, say, here, box)
    axes.plot((seat[0], contact[0]), (seat[1], contact[1]), color=canvas.BLUE, linewidth=6, gid="strut", zorder=4,
              solid_capstyle="butt", alpha=0.55)  # fmt: skip
    axes.plot(*seat, "s", markersize=8, color=canvas.INK, zorder=5)
    for one in here.straps:
        end = view.seen(one.end)
        axes.plot((seat[0], end[0]), (seat[1], end[1]), gid=f"run-{one.number}", **load_drawn.STRAP)
        axes.plot(*end, "o", markersize=7, markeredgecolor=canvas.OCHRE, markeredgewidth=1.5, zorder=5,
                  markerfacecolor=canvas.OCHRE if one.anchored else "white")  # fmt: skip
    at = []
    for force in forces:
        color = canvas.OCHRE if force.gid.startswith("strap") else canvas.BLUE
        tail, tip = view.seen(force.tail), view.seen(force.tip)
        load_drawn.arrow(axes, tail, tip, force.gid, color, 0.07 * here.span)
        start, free = (tip, tail) if force.gid in ("along", "ground") else (tail, tip)
        at.append((force.number, load_drawn.beyond(start, free, 0.09 * here.span)))
    load_drawn.marks(axes, at, 0.12 * here.span)
    load_drawn.scale(axes, box, here, result, say)


def key(result: LoadResult, say: Say) -> list[str]:
    """What is to be read beside the views: every force with its name and figure, and what is not drawn."""
    here = places(result, say)
    # A force's number stands in brackets, so that it never reads as part of the figure.
    forces = [f"({one.number}) {one.name}: {one.figure}" for one in arrows(result, say, here)]
    lines = forces or ["NOT KNOWN: the load. No force is drawn."]
    if result.refused:
        lines.append(f"REFUSED, no tension given: {result.refused}")
    elif not here.straps:
        lines.append("No straps or chain in this situation.")
    elif not here.straps[0].anchored:
        lines.append("Hollow ring: no anchor given; drawn to the foot.")
    if any(one.most is not None for one in here.straps):
        lines.append("Straps' arrows are as seen in each view.")
    shape = "Triangle: its pivot." if here.pivot else "Its shape is not known."
    return [*lines, f"Hatched: the vehicle's edge. {shape}", "Left, right: seen from base to vehicle."]


def _from_side(place: Place) -> Point:
    return place[0], place[1]


def _side_box(here: Places, forces: tuple[Arrow, ...]) -> Box:
    every = [here.contact, here.seat, (0.0, 0.0, 0.0), *(one.end for one in here.straps)]
    every += [place for one in forces for place in (one.tail, one.tip)]
    x, y, span = [one[0] for one in every], [one[1] for one in every], here.span
    right = max(max(x) + 0.6 * span, (here.contact[0] + here.seat[0]) / 2 + 0.8 * span)
    return min(x) - 0.58 * span, right, min(y) - 0.28 * span, max(y) + 0.3 * span


def _side(axes: canvas.Axes, result: LoadResult, say: Say, here: Places, box: Box) -> None:
    _ground(axes, result, say, here, box)
    _vehicle(axes, result, here)
    _angle(axes, result, say, here)
    _dimensions(axes, result, say, here)


def _ground(axes: canvas.Axes, result: LoadResult, say: Say, here: Places, box: Box) -> None:
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
                  f"ground {say.length(abs(drop), 'nearest')}\n{way} here", va="top", **load_drawn.WORDS)  # fmt: skip


def _vehicle(axes: canvas.Axes, result: LoadResult, here: Places) -> None:
    """The edge at the contact, leaning as the face given, or from the pivot where one is stated; hatched inside."""
    contact, deep = here.contact, 0.09 * here.span
    if here.pivot is not None:
        start = _from_side(here.pivot)
        axes.plot(*start, "^", markersize=11, color=canvas.INK, gid="pivot", zorder=7)
    else:
        face = math.radians(float(result.situation.face or 0))
        start = (contact[0] - 0.3 * here.span * math.sin(face), contact[1] - 0.3 * here.span * math.cos(face))
        start = (start[0], max(start[1], 0.0))
    end = load_drawn.beyond(start, _from_side(contact), 0.12 * here.span)
    long = math.dist(start, end) or 1.0
    inward = (-(end[1] - start[1]) / long * deep, (end[0] - start[0]) / long * deep)
    corners = (start, end, (end[0] + inward[0], end[1] + inward[1]), (start[0] + inward[0], start[1] + inward[1]))
    axes.fill(*zip(*corners, strict=True), facecolor="white", edgecolor=canvas.LINE, hatch="\\\\\\\\", linewidth=0,
              zorder=1)  # fmt: skip
    axes.plot((start[0], end[0]), (start[1], end[1]), color=canvas.INK, linewidth=2.2, gid="vehicle", zorder=3)


def _angle(axes: canvas.Axes, result: LoadResult, say: Say, here: Places) -> None:
    seat, contact, angle = here.seat, here.contact, float(result.geometry.angle_deg)
    axes.plot((seat[0], contact[0]), (seat[1], contact[1]), color=canvas.INK, linewidth=0.8, zorder=5)
    arc = [math.radians(180 - angle * n / 24) for n in range(25)]
    radius = 0.17 * here.span
    axes.plot([seat[0] + radius * math.cos(a) for a in arc], [seat[1] + radius * math.sin(a) for a in arc],
              color=canvas.GREY, linewidth=1, zorder=4)  # fmt: skip
    said = f"strut {say.length(result.geometry.length, 'nearest')}\n{say.angle(result.geometry.angle_deg)}\nfrom level"
    x, y = seat[0] + 0.45 * (contact[0] - seat[0]), seat[1] + 0.45 * (contact[1] - seat[1])
    axes.text(x + 0.06 * here.span, y + 0.02 * here.span, said, va="bottom", **load_drawn.WORDS)


def _dimensions(axes: canvas.Axes, result: LoadResult, say: Say, here: Places) -> None:
    one, span = result.situation, here.span
    left = min(0.0, here.contact[0]) - 0.2 * span
    axes.plot((left, here.contact[0]), (here.contact[1],) * 2, color=canvas.GREY, linewidth=0.6, zorder=1)
    measure = load_drawn.measure
    measure(axes, (left, 0.0), (left, here.contact[1]), f"contact\n{say.length(one.contact_height, 'nearest')}\nup",
            "dimension-height", ha="right", va="center")  # fmt: skip
    low = min(0.0, here.seat[1]) - 0.12 * span
    axes.plot((here.contact[0],) * 2, (low, here.contact[1]), color=canvas.GREY, linewidth=0.6, linestyle=":", zorder=1)
    said = f"base {say.length(result.geometry.offset, 'nearest')} out"
    measure(axes, (here.contact[0], low), (here.seat[0], low), said, "dimension-offset", ha="right", va="top")


def _from_above(place: Place) -> Point:
    """With the base at the right, left as seen from the base lies toward the reader."""
    return place[0], -place[2]


def _plan_box(here: Places, forces: tuple[Arrow, ...]) -> Box:
    every = [_from_above(one) for one in (here.contact, here.seat, (0.0, 0.0, 0.0), *(one.end for one in here.straps))]
    every += [_from_above(one.tip) for one in forces]
    x, y, span = [one[0] for one in every], [one[1] for one in every], here.span
    right = max(x) + 0.2 * span
    low, top = min(*y, -0.2 * span) - 0.16 * span, max(*y, 0.2 * span) + 0.54 * span
    return min(min(x) - 0.3 * span, right - 1.6 * span), right, low, top


def _plan(axes: canvas.Axes, _result: LoadResult, say: Say, here: Places, box: Box) -> None:
    """The vehicle's edge through the pivot, or below the contact where there is none, and the line of the strut."""
    contact = here.contact
    x = 0.0 if here.pivot is not None else contact[0]
    y = box[2] + 0.04 * here.span, box[3] - 0.34 * here.span
    axes.fill_betweenx(y, (x, x), (x - 0.07 * here.span,) * 2, facecolor="white", edgecolor=canvas.LINE,
                       hatch="\\\\\\\\", linewidth=0, zorder=1)  # fmt: skip
    axes.plot((x, x), y, color=canvas.INK, linewidth=2.2, gid="vehicle", zorder=2)
    axes.plot(*_from_above(contact), "D", markersize=7, color=canvas.INK, zorder=6, gid="contact")
    axes.plot((min(0.0, contact[0]) - 0.1 * here.span, box[1]), (0, 0), color=canvas.INK, linewidth=0.8,
              linestyle=(0, (8, 3, 1, 3)), zorder=2)  # fmt: skip
    for one in here.straps:  # its number and angle beside its far end
        end, down = _from_above(one.end), -1 if one.plan_deg > 0 else 1
        said, va = f"strap {one.number}: {aside(Fraction(one.plan_deg), say)}", "top" if down < 0 else "bottom"
        axes.text(end[0], end[1] + down * 0.07 * here.span, said, va=va, **load_drawn.WORDS)


SIDE = View(_from_side, ("along", "upright", "thrust", "ground", "strap"), _side_box, _side)
PLAN = View(_from_above, ("thrust", "strap"), _plan_box, _plan)
