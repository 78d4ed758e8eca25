"""Where things stand in a situation, for its drawings: places in the unit that is shown, and forces as arrows.

Axes as in ``model/situation.py``: x from the vehicle toward the base, y up, z to the left as seen from the base.  The
origin is the pivot edge on the ground, or where there is none the ground below the contact.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from cache_check.frozen import dataclass
from cache_check.model.load import LoadResult
from cache_check.model.situation import Anchor, Situation
from cache_check.report.figures.reach_chart import per_unit
from cache_check.report.say import Say

Place = tuple[float, float, float]
LONGEST = 0.42
"""The longest arrow, as a share of what the strut spans."""
FARTHEST = 1.4
"""How far a strap whose anchor is not given is drawn, as the same share."""


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
    lies = (one.weight_outside, one.weight_inside)
    pivoted = lies != (None, None) or "weight_outside" in one.unknown
    pivot = (0.0, one.pivot_height / unit, 0.0) if pivoted else None
    return Places(contact, seat, pivot, tuple(_straps(result, seat, span, unit)), span)


def _straps(result: LoadResult, seat: Place, span: float, unit: int) -> Iterator[Strap]:
    """The straps as they run; where they are refused, as they were asked for and without a pull."""
    if result.refused:
        yield from _refused(result.situation, seat, span, unit)
        return
    anchors: tuple[Anchor | None, ...] = result.situation.anchors or (None,) * len(result.lines)
    thrust = None if result.forces is None else result.forces.thrust_checked
    for number, (line, anchor) in enumerate(zip(result.lines, anchors, strict=True), 1):
        end = _to_foot(line.plan_angle_deg, line.rise_deg, seat, span) if anchor is None else _at(anchor, unit)
        most = None if thrust is None else thrust * line.worst + line.pretension
        yield Strap(number, float(line.plan_angle_deg), end, anchor is not None, most)


def _refused(one: Situation, seat: Place, span: float, unit: int) -> Iterator[Strap]:
    for number, anchor in enumerate(one.anchors, 1):
        end = _at(anchor, unit)
        yield Strap(number, math.degrees(math.atan2(end[2], seat[0] - end[0])), end, True, None)
    for number, angle in enumerate(() if one.anchors else one.plan_angles, 1):
        rise = one.rise[min(number, len(one.rise)) - 1] if one.rise else Fraction(0)
        yield Strap(number, float(angle), _to_foot(angle, rise, seat, span), False, None)


def _at(anchor: Anchor, unit: int) -> Place:
    return anchor.x / unit, anchor.y / unit, anchor.z / unit


def _to_foot(plan_deg: Fraction, rise_deg: Fraction, seat: Place, span: float) -> Place:
    plan, rise = math.radians(float(plan_deg)), math.radians(float(rise_deg))
    to_foot = max(seat[0], 0.25 * span) / math.cos(plan)
    along = min(to_foot, FARTHEST * span) if rise == 0 else min(to_foot, FARTHEST * span, span / abs(math.tan(rise)))
    return (
        seat[0] - along * math.cos(plan),
        seat[1] + along * math.tan(rise),
        along * math.sin(plan),
    )


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
    vertical, thrust, back = (
        float(one) / scale for one in (forces.vertical, forces.thrust_checked, forces.base_reaction)
    )
    made = [
        Arrow(1, "along", _moved(contact, leaning, float(along(result)) / scale), contact,
              "along the strut, checked", say.up(along(result))),
        Arrow(2, "upright", contact, _moved(contact, up, vertical), "lifted upright, the strut alone",
              say.up(forces.vertical)),
        Arrow(3, "thrust", seat, _moved(seat, (1.0, 0.0, 0.0), thrust), "out along the ground, for straps",
              say.up(forces.thrust_checked)),
        Arrow(4, "ground", _moved(seat, up, -max(back, 0.0)), seat,
              "ground pushes back at least" if back > 0 else "ground pushes NOTHING back, do not use",
              say.down(forces.base_reaction)),
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
