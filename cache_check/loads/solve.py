"""From a situation to its geometry, straps and forces: the equations put in a row, pure.

Axes, signs, units and ranges: ``loads/conventions.py``; lengths in nanometres, forces in newtons, in
proportion to the load: ``unit_forces`` gives those of a load of 1, and ``forces`` scales them.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from cache_check.frozen import dataclass
from cache_check.loads import demand, geometry, triangle
from cache_check.loads.conventions import cos_deg, settled, sin_deg
from cache_check.loads.restraint import Strap, base_reaction, divisions, shared_tensions, strut_force, worst_by_line
from cache_check.model.load import Forces, Geometry, Governs, StrapLine
from cache_check.model.situation import Loaded, Situation


@dataclass(frozen=True)
class Shape:
    """The strut's triangle, unrounded: height above the seat, base offset and length (nm), angle (degrees)."""

    height: float
    offset: float
    length: float
    angle_deg: float

    def geometry(self) -> Geometry:
        """The same to be shown and built to: the length closed up to a nanometre."""
        length, offset = math.ceil(settled(self.length)), round(settled(self.offset))
        return Geometry(round(self.height), offset, length, settled(self.angle_deg))


def shape_of(one: Situation) -> Shape:
    """The triangle of a situation, by its angle or base offset; ValueError where the contact is not above the base."""
    height = geometry.height_above_seat(one.contact_height, one.ground_drop)
    if one.steepness is not None:
        angle = float(one.steepness)
        return Shape(height, geometry.offset_at_angle(height, angle), geometry.length_at_angle(height, angle), angle)
    assert one.base_offset is not None
    offset = float(one.base_offset)
    return Shape(height, offset, geometry.strut_length(height, offset), geometry.strut_angle_deg(height, offset))


@dataclass(frozen=True)
class Setup:
    """The places of a situation, and its straps with their tensions under a thrust of 1 (none: no straps)."""

    one: Situation  # with the policy's values where it says nothing, and the friction that counts
    shape: Shape
    contact: triangle.Place
    base: triangle.Place
    anchors: tuple[geometry.Point, ...]
    straps: tuple[Strap, ...]
    unit: tuple[float, ...]  # how like straps share it
    worst: tuple[float, ...]  # the most that each can see
    divisions: tuple[tuple[float, ...], ...]  # all that anything is checked for

    @property
    def angle(self) -> float:
        """The strut's angle from the horizontal, degrees."""
        return self.shape.angle_deg

    @property
    def pretension(self) -> tuple[Fraction, ...]:
        """The pre-tension of each strap, N."""
        return _each(self.one.pretension, len(self.straps))

    def lines(self) -> tuple[StrapLine, ...]:
        """The straps, to be shown."""
        seat, given = (*self.base, 0.0), bool(self.one.anchors)
        long = [math.ceil(settled(geometry.strap_length(seat, at))) if given else None for at in self.anchors]
        told = zip(self.straps, long, self.unit, self.worst, self.pretension, strict=True)
        return tuple(
            StrapLine(settled(one.plan_angle_deg), settled(one.rise_deg), length, settled(unit), settled(worst), tight)
            for one, length, unit, worst, tight in told
        )


def setup_of(one: Situation, shape: Shape, plan_angles_deg: Sequence[Fraction]) -> Setup:
    """Places and straps; ``plan_angles_deg`` are used where the situation gives no anchors, empty for no straps.

    ValueError where an anchor is level with the base or beyond, or straps all lie on one side.
    """
    contact = (float(one.contact_x), float(one.contact_height - one.pivot_height))
    base = (one.contact_x + shape.offset, float(-one.ground_drop - one.pivot_height))
    if one.anchors:
        anchors = tuple((float(a.x), float(a.y - one.pivot_height), float(a.z)) for a in one.anchors)
        seat = (*base, 0.0)
        runs = [(*geometry.strap_angles_deg(seat, anchor), geometry.strap_length(seat, anchor)) for anchor in anchors]
        straps = tuple(Strap(plan, rise, shape.length / long) for plan, rise, long in runs)
    else:
        rises = _each(one.rise, len(plan_angles_deg))
        straps = tuple(Strap(float(plan), float(rise)) for plan, rise in zip(plan_angles_deg, rises, strict=True))
        # A point on each strap's line: its pull turns the vehicle by the line, wherever on it the anchor lies.
        lines = [(shape.length * s.forward, shape.length * s.upward, shape.length * s.sideways) for s in straps]
        anchors = tuple((base[0] - forward, base[1] + upward, sideways) for forward, upward, sideways in lines)
    if not straps:
        return Setup(one, shape, contact, base, anchors, (), (), (), ((),))
    unit = shared_tensions(1, straps)
    ways = tuple(dict.fromkeys((unit, *divisions(straps))))
    return Setup(one, shape, contact, base, anchors, straps, unit, worst_by_line(1, straps), ways)


def _each(given: tuple[Fraction, ...], straps: int) -> tuple[Fraction, ...]:
    """A value for each strap, where it is given for each, for all alike, or not at all (0)."""
    return given[:straps] if len(given) > 1 else (given or (Fraction(0),)) * straps


def push_arm(one: Situation) -> int:
    """How high above the pivot (nm) a vehicle at rest is pushed to the side: where said, else at the contact."""
    return (one.push_height if one.push_height is not None else one.contact_height) - one.pivot_height


def push_left(one: Situation) -> Fraction:
    """For each newton of a weight at rest, what of the sideways push its own righting moment leaves; never under 0."""
    # A share s with its allowance, of the push alone, at a height y, against the weight d inside the edge: s - d / y.
    share = (one.sideways_share or Fraction(0)) * one.allowance
    return max(Fraction(0), share - Fraction(one.weight_inside or 0, push_arm(one)))


def lever_of(one: Situation) -> Fraction:
    """Lever (nm) about the edge of the load: of a weight outside it, or of what is left of the push at rest."""
    return Fraction(one.weight_outside if one.weight_outside is not None else push_arm(one))


@dataclass(frozen=True)
class PerLoad:
    """What one strut sees for each unit of its share of the load; ``practice`` by the trade's half, where it speaks."""

    axial: float
    with_straps: float
    practice: float | None


def per_load(setup: Setup, loaded: Loaded, *, by_lever: bool = False) -> PerLoad:
    """The axial force for a load of 1: N for each N of weight, vertical or axial force; by lever, N for each nm.

    However the straps share: the division that presses the strut the most is taken.  ValueError where the strut's line
    passes the pivot on the wrong side, or the straps leave no balance.
    """
    one, angle = setup.one, setup.angle
    upright = demand.axial_from_vertical(1, angle)
    left = max(triangle.axial_for_vertical_left(1, angle, setup.straps, u, setup.one.friction) for u in setup.divisions)
    if loaded == "axial":
        return PerLoad(1, 1, None)
    if loaded == "vertical":
        return PerLoad(upright, left, None)
    if loaded == "half":
        return PerLoad(demand.half_left_by_pivoting(upright), demand.half_left_by_pivoting(left), None)
    factor = float(one.weight or 1) if by_lever else float(lever_of(one))
    whole = factor / demand.holding_arm(*setup.contact, angle)
    halved = demand.half_left_by_pivoting(1) * left if one.one_end_pivots and not by_lever else None
    return PerLoad(whole, max((factor * solved.strut for solved in _triangles(setup)), default=whole), halved)


def _triangles(setup: Setup) -> Iterator[triangle.TriangleForces]:
    """Strut, straps and vehicle under a weight of 1 at a lever of 1, for every way in which the straps may share."""
    places = (setup.contact, setup.base, setup.anchors)
    for unit in setup.divisions if setup.straps else ():
        yield triangle.solve_triangle(1, 1, *places, friction_counted=setup.one.friction, division=unit)


def ratio(value: float) -> Fraction:
    """A coefficient with float dust off: the small fraction that it is but for the 12th digit, else 12 digits."""
    near = Fraction(value).limit_denominator(1000)
    return near if abs(near - Fraction(value)) <= abs(Fraction(value)) / 10**12 else settled(value)


def product(one: Fraction, other: Fraction) -> Fraction:
    """Of two coefficients that may be cut to 12 digits, as roots are that cancel: the small fraction nearest to it."""
    exact = one * other
    near = exact.limit_denominator(1000)
    return near if abs(near - exact) <= abs(exact) / 10**11 else exact


def unit_forces(setup: Setup, each: PerLoad, least_share: Fraction) -> Forces:
    """The forces on one strut for a load of 1, exact for exact newtons; ``least_share`` is LAT-1's, of the vertical."""
    cosine, sine = cos_deg(setup.angle), sin_deg(setup.angle)
    halved = each.practice or 0.0
    checked = max(each.axial, each.with_straps, halved)
    held = {u: triangle.held_by_straps(setup.angle, setup.straps, u, setup.one.friction) for u in setup.divisions}
    named: dict[Governs, float] = {
        "statics": checked * (max(held.values()) if setup.straps else cosine),
        "practice": demand.sideways_by_practice(max(each.axial, halved) * sine, setup.angle) or 0.0,
        "least sideways": demand.lateral_floor(checked * sine, least_share),
    }
    governs, thrust = max(named.items(), key=lambda item: settled(item[1]))
    back = min(
        base_reaction(checked, setup.angle, setup.straps, [checked * part * tension for tension in unit])
        for unit, part in held.items()
    )
    falling = max(
        math.fsum(max(0.0, -strap.upward) * thrust * tension for strap, tension in zip(setup.straps, unit, strict=True))
        for unit in setup.divisions
    )
    return Forces(
        whole=Fraction(1), share=Fraction(1), share_by="", vertical=ratio(each.axial * sine), axial=ratio(each.axial),
        thrust=ratio(each.axial * cosine), axial_with_straps=ratio(each.with_straps), axial_checked=ratio(checked),
        thrust_checked=ratio(thrust), governs_thrust=governs, base_reaction=ratio(back),
        bearing=ratio(checked * sine + falling), pivot_reaction=None,
    )  # fmt: skip


def forces(setup: Setup, unit: Forces, share: Fraction, whole: Fraction, by: str) -> Forces:
    """The forces on one strut for its ``share`` (N) of a ``whole`` load, from those of a load of 1."""
    scaled = {name: getattr(unit, name) * share for name in (
        "vertical", "axial", "thrust", "axial_with_straps", "axial_checked", "thrust_checked", "base_reaction",
        "bearing",
    )}  # fmt: skip
    return replace(unit, **scaled, whole=whole, share=share, share_by=by, pivot_reaction=_pivot_reaction(setup, whole))


def _pivot_reaction(setup: Setup, whole: Fraction) -> Fraction | None:
    """What the ground still pushes up at the edge (N), all struts together; None where the weight does not say it."""
    one, lever = setup.one, lever_of(setup.one)
    if one.weight is None or (one.weight_outside is None and one.weight_inside is None):
        return None
    # Leaning, what shakes the strut presses the pivot as much; at rest the push is one that no weight comes with.
    turning = whole / (one.allowance if one.weight_outside is not None else 1)
    return one.weight - turning * pivot_lift(setup, lever)


def pivot_lift(setup: Setup, lever: Fraction) -> Fraction:
    """What all struts together take off the edge for each N that turns the vehicle about it at a lever (nm)."""
    lifts = [solved.base_reaction for solved in _triangles(setup)]
    most = max(lifts or [sin_deg(setup.angle) / demand.holding_arm(*setup.contact, setup.angle)])
    return ratio(float(lever) * most)


def pretension_turns(setup: Setup, tensions: Sequence[Fraction], straps: Sequence[Strap], edge: int = 0) -> Fraction:
    """Moment (N nm) about an edge ``edge`` nm behind the pivot that the pre-tension of one strut makes."""
    # The strut's own push alone: what rising straps pull down again is no relief, what low anchors add is counted.
    own = strut_force(straps, tensions, setup.angle)
    x, y = setup.contact
    pushed = own * demand.holding_arm(x + edge, y, setup.angle)
    if len(straps) != len(setup.anchors) or edge:
        return ratio(pushed)
    return ratio(max(pushed, triangle.pretension_moment(setup.contact, setup.base, setup.anchors, tensions)[1]))
