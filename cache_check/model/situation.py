"""A situation: where the strut meets the vehicle, what it must carry, how its base is held, on what ground.

Axes as in ``loads/conventions.py``: the origin is the pivot edge on the ground at the vehicle (where there is none, the
ground straight below the contact); x runs from the vehicle toward the base, y up, z to the left as seen from the base
toward the vehicle.  The same words name the entries of a file and the options of the command.
"""

from collections.abc import Iterator
from fractions import Fraction
from typing import Annotated, Any, Literal, get_args

from pydantic import BeforeValidator, Field, StrictInt, model_validator

from cache_check import units
from cache_check.model import quantities as q
from cache_check.model.record import Answering, Flag, Record, Text, Word
from cache_check.model.told import Degrees

UNKNOWN = "unknown"
Loaded = Literal["vertical", "overturning", "rest", "half", "axial"]
"""How a load is known: a vertical share, a weight outside or inside the edge, half of it, an axial force."""
MayBeUnknown = Literal["vertical", "weight", "weight_outside", "soil", "far_anchors", "contact"]
MAY_BE_UNKNOWN: tuple[MayBeUnknown, ...] = get_args(MayBeUnknown)
ALONE: tuple[tuple[str, ...], ...] = (
    ("angle", "angle_from_vertical", "base_offset"),
    ("vertical", "weight", "axial"),
    ("half_angles", "anchors"),
    ("weight_inside", "weight_outside"),
    ("anchor_distance", "anchors"),
)
"""Entries of which one is enough and two disagree."""
LISTED = ("half_angles", "rise", "pretension", "strut_places", "pad", "soil")
"""Entries of which one value alone stands for a list of one."""
GONE = {
    "struts": "on_this_side, and on_the_other_side for those that stand against them",
    "lever": "weight_outside where the weight lies beyond the edge toward the strut, weight_inside where it does not",
    "multiplier": "dynamic_allowance",
}
"""Words that situations had before, and what is written now."""
Disagreement = tuple[str, str, str]  # the entry, what is wrong, what would be right
_DISTANCES = ("weight_inside", "weight_outside", "edges_apart", "push_height", "anchor_distance")


def _listed(value: Any) -> Any:
    return value if isinstance(value, list | tuple) else [value]


class PlanAngle(Record):
    """A half-angle in plan, and on which side of the strut it lies, seen from the base toward the vehicle.

    Written "30 left", "25 deg right", or without a side where the place in the list says it.
    """

    size: Annotated[q.Angle, q.within(0, 89)]
    side: Literal["left", "right", ""] = ""

    @model_validator(mode="before")
    @classmethod
    def _from_text(cls, value: Any) -> Any:
        if isinstance(value, dict | PlanAngle):
            return value
        words = str(value).split() if isinstance(value, str) else []
        if words and words[-1] in ("left", "right"):
            return {"size": " ".join(words[:-1]), "side": words[-1]}
        return {"size": value}

    @property
    def signed(self) -> Fraction:
        """The angle, positive to the left."""
        return -self.size if self.side == "right" else self.size


class Anchor(Record):
    """Where a strap or chain meets the vehicle, from the origin."""

    x: q.SignedLength
    y: q.SignedLength
    z: q.SignedLength

    @model_validator(mode="before")
    @classmethod
    def _from_list(cls, value: Any) -> Any:
        if isinstance(value, list | tuple):
            if len(value) != 3:
                raise ValueError("not a place; write x, y and z")
            return dict(zip("xyz", value, strict=True))
        return value


class Situation(Answering):
    """One situation.  ``unknown`` names what nobody knows; the answer then is the largest that still passes.

    ``on_this_side`` is how many struts share the load; who says neither that nor how many stand ``on_the_other_side``
    asks of one strut, whose share is given; of which only one is said, the other is not known.  ``weight_inside`` and
    ``weight_outside`` say where the centre of gravity lies from the edge about which the vehicle would turn onto the
    struts: inside it stands at rest, outside it leans on them.  ``edges_apart`` is how far the edge on the other side
    lies, ``far_anchors`` what holds the far ends of the straps.  ``half_angles`` and ``anchors`` are alternatives; with
    neither, the widest V that the rules allow is taken.  ``friction`` is told, never counted unless a policy does.
    """

    title: Text = ""
    state: Literal["at rest", "leaning", "being lifted"] | None = None
    contact_height: q.Length
    ground_drop: q.SignedLength = 0
    contact_x: q.SignedLength = 0
    pivot_height: q.LengthOrZero = 0
    angle: q.Steepness | None = None
    angle_from_vertical: Annotated[q.Angle, q.within(0, 89)] | None = None
    base_offset: q.LengthOrZero | None = None
    vertical: q.Force | None = None
    weight: q.Weight | None = None
    weight_inside: q.LengthOrZero | None = None
    weight_outside: q.Length | None = None
    edges_apart: q.Length | None = None
    sideways_share: Annotated[q.Share, q.within(0, 2)] | None = None
    push_height: q.Length | None = None
    axial: q.Force | None = None
    one_end_pivots: Flag = False
    dynamic_allowance: Annotated[q.Share, q.within(1, 10)] | None = None
    on_this_side: Annotated[StrictInt, Field(ge=1, le=100)] | None = None
    on_the_other_side: Annotated[StrictInt, Field(ge=0, le=100)] | None = None
    strut_places: Annotated[tuple[q.SignedLength, ...], BeforeValidator(_listed)] = ()
    load_at: q.SignedLength | None = None
    strut_limit: q.Force | None = None
    vehicle: Literal["car", "heavy"] | None = None
    ties: Literal["straps", "chains", "either", "none"] = "either"
    half_angles: Annotated[tuple[PlanAngle, ...], BeforeValidator(_listed)] = ()
    rise: Annotated[tuple[Annotated[q.Angle, q.within(-80, 80)], ...], BeforeValidator(_listed)] = ()
    anchors: tuple[Anchor, ...] = ()
    anchor_distance: q.Length | None = None
    far_anchors: q.FarAnchors | None = None
    pretension: Annotated[tuple[q.ForceOrZero, ...], BeforeValidator(_listed)] = ()
    friction: Annotated[q.Share, q.within(0, 1)] = Fraction(0)
    face: Annotated[q.Angle, q.within(0, 90)] | None = None
    contact: Word | None = None
    soil: Annotated[tuple[q.Pressure, ...], BeforeValidator(_listed)] = ()
    pad: Annotated[tuple[q.Length, ...], BeforeValidator(_listed), Field(max_length=2)] = ()
    factor: q.Factor | None = None
    unknown: tuple[MayBeUnknown, ...] = ()

    @model_validator(mode="before")
    @classmethod
    def _unknown_apart(cls, value: Any) -> Any:
        if not isinstance(value, dict):
            return value
        if not (named := [name for name in MAY_BE_UNKNOWN if UNKNOWN in _listed(value.get(name))]):
            return value
        kept = {name: entry for name, entry in value.items() if name not in named}
        return kept | {"unknown": [*_listed(value.get("unknown") or ()), *named]}

    @property
    def sharing(self) -> int:
        """How many struts share the load: those on this side."""
        return self.on_this_side or max(1, len(self.strut_places))

    @property
    def struts(self) -> int:
        """How many struts are wanted at once, both sides together."""
        return self.sharing + (self.on_the_other_side or 0)

    @property
    def allowance(self) -> Fraction:
        """What the load is multiplied by."""
        return self.dynamic_allowance or Fraction(1)

    @property
    def softest(self) -> Fraction | None:
        """The bearing value of the softest ground under any base; None where it is not known under each."""
        return min(self.soil, default=None)

    @property
    def steepness(self) -> Degrees | None:
        """The angle from the horizontal, degrees, where an angle was given."""
        return self.angle if self.angle_from_vertical is None else 90 - self.angle_from_vertical

    @property
    def plan_angles(self) -> tuple[Degrees, ...]:
        """The plan angle of each strap, degrees, positive to the left; empty where anchors or nothing is given."""
        if len(self.half_angles) == 1:
            return (self.half_angles[0].size, -self.half_angles[0].size)
        if len(self.half_angles) == 2 and not any(one.side for one in self.half_angles):
            return (self.half_angles[0].size, -self.half_angles[1].size)
        return tuple(one.signed for one in self.half_angles)

    @property
    def loaded(self) -> Literal[Loaded, "unknown"]:
        """How the load is given."""
        if self.axial is not None:
            return "axial"
        if self.weight is not None and self.weight_outside is not None:
            return "overturning"
        if self.weight is not None and self.weight_inside is not None:
            return "rest" if self.sideways_share is not None else "unknown"
        if self.weight is not None and self.one_end_pivots and "weight_outside" not in self.unknown:
            return "half"
        return "unknown" if self.vertical is None else "vertical"


def disagreements(one: Situation) -> Iterator[Disagreement]:
    """What in a situation does not go together, or cannot be: entry, what is wrong, what would be right."""
    for look in (_alone, _load, _places, _ties, _possible):
        yield from look(one)


def _given(one: Situation, name: str) -> bool:
    return getattr(one, name) not in (None, ()) or name in one.unknown


def _alone(one: Situation) -> Iterator[Disagreement]:
    for names in ALONE:
        if len(given := [name for name in names if _given(one, name)]) > 1:
            yield given[1], f"stands beside {given[0]!r}, which says the same another way", "keep one of them"
    if not any(_given(one, name) for name in ALONE[0]):
        yield "", "how steep the strut stands is not said", f"add one of {', '.join(ALONE[0])}"


def _load(one: Situation) -> Iterator[Disagreement]:
    weighed = _given(one, "weight")
    for name in ("weight_inside", "weight_outside"):
        if _given(one, name) and not weighed:
            yield name, "where a weight lies says nothing without it", "add weight, or weight: unknown"
    if one.one_end_pivots and not weighed:
        yield "one_end_pivots", "half of what weight is not said", "add weight, or weight: unknown"
    if weighed and not (_given(one, "weight_inside") or _given(one, "weight_outside") or one.one_end_pivots):
        right = "add weight_inside or weight_outside, its distance from the edge that the vehicle would turn about; "
        right += "or one_end_pivots: true for half of it"
        yield "weight", "what part of it comes onto the strut is not said", right
    yield from _state(one)
    if one.strut_limit is not None and one.axial is not None:
        yield "strut_limit", "an axial force is one strut's already", "take one of the two out"


def _state(one: Situation) -> Iterator[Disagreement]:
    wrong = {"at rest": ("outside", "leaning", "inside"), "leaning": ("inside", "at rest", "outside")}
    where, other, right = wrong.get(one.state or "", ("", "", ""))
    if where and _given(one, f"weight_{where}"):
        says = f"a vehicle {one.state} does not have its weight {where} the edge"
        yield "state", says, f"state: {other}, or weight_{right}"
    for name in ("sideways_share", "push_height"):
        if _given(one, name) and one.weight_inside is None:
            yield name, "a push to the side is asked of a weight inside the edge", "add weight_inside, or take it out"
    if one.edges_apart is not None and one.weight_inside is not None and one.weight_inside > one.edges_apart:
        yield "edges_apart", "the weight lies beyond the other edge", "check the two distances"


def _places(one: Situation) -> Iterator[Disagreement]:
    if not (places := one.strut_places) and one.load_at is not None:
        yield "load_at", "where the struts stand is not said", "add strut_places, one for each of two struts"
    if not places:
        return
    if len(places) != 2 or len(set(places)) != 2:
        right = "write two unlike places, or only on_this_side"
        yield "strut_places", "lever arms divide a load between two struts", right
    elif one.on_this_side not in (None, 2):
        yield "strut_places", f"there are two places and {one.on_this_side} struts on this side", "make them agree"
    elif one.load_at is None:
        yield "strut_places", "where the load lies between the struts is not said", "add load_at"
    elif not min(places) <= one.load_at <= max(places):
        yield "load_at", "the load lies outside the two struts and would lift one of them", "check the places"
    if one.axial is not None:
        yield "strut_places", "an axial force is one strut's already", "take the places out"


def _ties(one: Situation) -> Iterator[Disagreement]:
    for name in ("half_angles", "rise", "anchors", "pretension", "anchor_distance", "far_anchors"):
        if one.ties == "none" and _given(one, name):
            yield name, "there are no straps or chains in this situation", "take it out, or change ties"
    sides = [angle for angle in one.half_angles if angle.size]
    if len(one.half_angles) > 1 and len({bool(angle.side) for angle in sides}) > 1:
        yield "half_angles", "some say left or right and some do not", "say it of each"
    if len(one.half_angles) > 2 and not all(angle.side for angle in sides):
        yield "half_angles", "of more than two, each must say left or right", 'write "30 left"'
    if one.half_angles and one.half_angles[0].side and len(one.half_angles) == 1:
        yield "half_angles", "one strap is half a restraint", "add the strap on the other side, or leave the side out"
    if len(one.anchors) == 1:
        yield "anchors", "one strap is half a restraint", "add the anchor on the other side"
    if one.anchors and one.rise:
        yield "rise", "the anchors say already how the straps rise", "keep one of them"
    number = len(one.plan_angles) or len(one.anchors) or 2
    for name in ("rise", "pretension"):
        if len(getattr(one, name)) not in (0, 1, number):
            yield name, f"is a list of {len(getattr(one, name))} for {number} straps", f"write one value, or {number}"


def _possible(one: Situation) -> Iterator[Disagreement]:
    if one.contact_height + one.ground_drop <= 0:
        yield "ground_drop", "the base would stand as high as the contact or higher", "check the sign and the figures"
    if (_given(one, "weight_outside") or _given(one, "weight_inside")) and one.pivot_height >= one.contact_height:
        yield "pivot_height", "the pivot is as high as the contact or higher", "check the two heights"
    if any(one.pretension) and (one.steepness == 90 or one.base_offset == 0):
        yield "pretension", "straps cannot press an upright strut", "take it out, or set the base out"
    for name in ("contact_height", "ground_drop", "contact_x", "pivot_height", "base_offset", *_DISTANCES):
        if abs(getattr(one, name) or 0) > 100_000 * units.NM_PER_MM:
            yield name, "is more than 100 m", "check the figure and its unit"
    if len(one.soil) not in (0, 1, one.struts):
        yield "soil", f"is a list of {len(one.soil)} for {one.struts} struts", f"write one value, or {one.struts}"
    if one.push_height is not None and one.push_height <= one.pivot_height:
        yield "push_height", "is not above the pivot", "check the two heights"
    for name in ("vertical", "weight", "axial"):
        if (getattr(one, name) or 0) > 10**8:
            yield name, "is more than 100 MN", "check the figure and its unit"
