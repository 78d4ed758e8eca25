"""What the views of a situation are drawn from: where things stand, forces as arrows, dimensions, scale bars.

Places are in the unit that is shown, axes as in ``model/situation.py``: x from the vehicle toward the base, y up, z to
the left as seen from the base.  The origin is the pivot edge on the ground, or where there is none the ground below
the contact.
"""

import math
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from cache_check import units
from cache_check.frozen import dataclass
from cache_check.model.load import LoadResult, StrapLine
from cache_check.model.situation import Anchor
from cache_check.report.figures import canvas
from cache_check.report.figures.reach_chart import per_unit
from cache_check.report.say import Say

Place = tuple[float, float, float]
LONGEST = 0.42  # the longest arrow, as a share of what the strut spans
FARTHEST = 1.4  # how far a strap whose anchor is not given is drawn, as the same share
Point = tuple[float, float]
Box = tuple[float, float, float, float]  # what must be seen: least and most x, least and most y
SMALL = 12
WORDS: Any = {"fontsize": SMALL, "ha": "left", "zorder": 8, "linespacing": 1.1,
              "bbox": {"facecolor": "white", "edgecolor": "none", "pad": 0.8}}  # fmt: skip
"""How words look that stand in a view, over what is drawn there."""
STRAP: Any = {"color": canvas.OCHRE, "linewidth": 1.8, "linestyle": (0, (6, 2.5)), "zorder": 3}


@dataclass(frozen=True)
class Strap:
    """A strap as drawn: from the base's seat to its anchor, or to the vehicle's foot where no anchor is given."""

    number: int
    plan_deg: float
    end: Place
    anchored: bool
    most: Fraction | None


@dataclass(frozen=True)
class Arrow:
    """A force as drawn: its number in the key, id in the file, from tail to tip, its name and its figure."""

    number: int
    gid: str
    tail: Place
    tip: Place
    name: str
    figure: str


@dataclass(frozen=True)
class Places:
    """Contact, seat of the base, pivot edge (None: none is stated) and straps; ``span`` is what the strut spans."""

    contact: Place
    seat: Place
    pivot: Place | None
    straps: tuple[Strap, ...]
    span: float


def places(result: LoadResult, say: Say) -> Places:
    """The places of a situation."""
    one, shape, unit = result.situation, result.geometry, per_unit(say)
    contact = (one.contact_x / unit, one.contact_height / unit, 0.0)
    seat = ((one.contact_x + shape.offset) / unit, (one.contact_height - shape.height) / unit, 0.0)
    span = max(shape.height, shape.offset, abs(one.contact_x)) / unit
    pivoted = (one.weight_outside, one.weight_inside) != (None, None) or "weight_outside" in one.unknown
    pivot = (0.0, one.pivot_height / unit, 0.0) if pivoted else None
    return Places(contact, seat, pivot, tuple(_straps(result, seat, span, unit)), span)


def _straps(result: LoadResult, seat: Place, span: float, unit: int) -> Iterator[Strap]:
    if result.refused:
        return
    anchors: tuple[Anchor | None, ...] = result.situation.anchors or (None,) * len(result.lines)
    thrust = None if result.forces is None else result.forces.thrust_checked
    for number, (line, anchor) in enumerate(zip(result.lines, anchors, strict=True), 1):
        end = (anchor.x / unit, anchor.y / unit, anchor.z / unit) if anchor else _to_foot(line, seat, span)
        most = None if thrust is None else thrust * line.worst + line.pretension
        yield Strap(number, float(line.plan_angle_deg), end, anchor is not None, most)


def _to_foot(line: StrapLine, seat: Place, span: float) -> Place:
    plan, rise = math.radians(float(line.plan_angle_deg)), math.radians(float(line.rise_deg))
    to_foot = max(seat[0], 0.25 * span) / math.cos(plan)
    along = min(to_foot, FARTHEST * span) if rise == 0 else min(to_foot, FARTHEST * span, span / abs(math.tan(rise)))
    return (seat[0] - along * math.cos(plan), seat[1] + along * math.tan(rise), along * math.sin(plan))


def newtons_per_unit(result: LoadResult, here: Places) -> float:
    """The scale of forces: newtons for each unit of length drawn, so that the largest has the longest arrow."""
    forces = result.forces
    assert forces is not None
    most = [forces.vertical, along(result), forces.thrust_checked, abs(forces.base_reaction)]
    most += [one.most for one in here.straps if one.most is not None]
    return max(float(max(most)), 1e-9) / (LONGEST * here.span)


def along(result: LoadResult) -> Fraction:
    """The force along the strut that is checked, N."""
    assert result.forces is not None
    return result.tally.load or result.forces.axial_checked


def arrows(result: LoadResult, say: Say, here: Places) -> tuple[Arrow, ...]:
    """The forces on one strut as arrows, the same numbers in every drawing; none where the load is not known."""
    forces = result.forces
    if forces is None:
        return ()
    scale = newtons_per_unit(result, here)
    up, seat, contact = (0.0, 1.0, 0.0), here.seat, here.contact
    leaning = _toward(seat, contact)
    pushed, upright, thrust, back = along(result), forces.vertical, forces.thrust_checked, forces.base_reaction
    pushes = "ground pushes back at least" if back > 0 else "ground pushes NOTHING back, do not use"
    made = [
        Arrow(1, "along", _moved(contact, leaning, float(pushed) / scale), contact, "along the strut, checked",
              say.up(pushed)),
        Arrow(2, "upright", contact, _moved(contact, up, float(upright) / scale), "lifted upright, the strut alone",
              say.up(upright)),
        Arrow(3, "thrust", seat, _moved(seat, (1.0, 0.0, 0.0), float(thrust) / scale),
              "out along the ground, for straps", say.up(thrust)),
        Arrow(4, "ground", _moved(seat, up, -max(float(back) / scale, 0.0)), seat, pushes, say.down(back)),
    ]  # fmt: skip
    for one in here.straps:
        if one.most is not None:
            tip = _moved(seat, _toward(seat, one.end), float(one.most) / scale)
            name = f"strap {one.number} pulls at most"
            made.append(Arrow(4 + one.number, f"strap-{one.number}", seat, tip, name, say.up(one.most)))
    return tuple(made)


def _toward(start: Place, end: Place) -> Place:
    far = math.dist(start, end) or 1.0
    x, y, z = ((b - a) / far for a, b in zip(start, end, strict=True))
    return (x, y, z)


def _moved(start: Place, way: Place, far: float) -> Place:
    x, y, z = (a + b * far for a, b in zip(start, way, strict=True))
    return (x, y, z)


def handy(most: float) -> float:
    """The largest of 1, 2, 5, 10, 20 ... that is no more than ``most``: the length of a scale bar."""
    ten: float = 10.0 ** math.floor(math.log10(most))
    return max(step * ten for step in (1, 2, 5) if step * ten <= most)


def arrow(axes: canvas.Axes, tail: Point, tip: Point, gid: str, color: str, size: float) -> None:
    """A shaft from tail to tip, and a head within it that is ``size`` long where the shaft is."""
    far = math.dist(tail, tip)
    axes.plot((tail[0], tip[0]), (tail[1], tip[1]), color=color, linewidth=2.6, zorder=6, gid=f"arrow-{gid}",
              solid_capstyle="butt")  # fmt: skip
    if far <= 0:
        return
    x, y = (tip[0] - tail[0]) / far, (tip[1] - tail[1]) / far
    size = min(size, far)
    back = (tip[0] - size * x, tip[1] - size * y)
    corners = (tip, (back[0] - 0.4 * size * y, back[1] + 0.4 * size * x),
               (back[0] + 0.4 * size * y, back[1] - 0.4 * size * x))  # fmt: skip
    axes.fill(*zip(*corners, strict=True), color=color, zorder=7, linewidth=0)


def marks(axes: canvas.Axes, at: Sequence[tuple[int, Point]], apart: float) -> None:
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
    long = math.dist(start, end)
    x, y = ((end[0] - start[0]) / long, (end[1] - start[1]) / long) if long else (0.0, 1.0)
    return (end[0] + far * x, end[1] + far * y)


def measure(axes: canvas.Axes, start: Point, end: Point, said: str, gid: str, **placed: Any) -> None:
    """A dimension: a thin line with an end mark at each end, and what it says."""
    axes.plot((start[0], end[0]), (start[1], end[1]), color=canvas.GREY, linewidth=0.9, gid=gid, zorder=4,
              marker="|" if start[1] == end[1] else "_", markersize=8)  # fmt: skip
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    apart = (0, -5) if start[1] == end[1] else (-5, 0)
    axes.annotate(said, middle, apart, textcoords="offset points", **WORDS | placed)


def scale(axes: canvas.Axes, box: Box, here: Places, result: LoadResult, say: Say) -> None:
    """Two bars: what a length is, and what a force is where there is one."""
    span, long = here.span, handy(0.4 * here.span)
    bars = [("scale-length", long, f"{long:g} {say.length_unit}", canvas.INK, 3.0)]
    if result.forces is not None:
        per_force, one = newtons_per_unit(result, here), float(units.parse(f"1 {say.force_unit}", "force", say.system))
        force = handy(0.4 * span * per_force / one)
        bars.append(("scale-force", force * one / per_force, f"{force:,g} {say.force_unit} (arrows)", canvas.BLUE, 2.6))
    x, y = box[1] - 0.95 * span, box[3] - 0.06 * span
    for gid, long, said, color, wide in bars:
        axes.plot((x, x + long), (y, y), color=color, linewidth=wide, gid=gid, solid_capstyle="butt")
        axes.text(x + long + 0.05 * span, y, said, va="center", **WORDS)
        y -= 0.15 * span
