"""A situation: where the strut meets the vehicle, what it must carry, how its base is held, on what ground.

Axes as in ``loads/conventions.py``: the origin is the pivot edge on the ground at the vehicle (where there is none, the
ground straight below the contact); x runs from the vehicle toward the base, y up, z to the left as seen from the base
toward the vehicle.  The same words name the entries of a file and the options of the command.
"""

from fractions import Fraction
from typing import Annotated, Any, Literal, get_args

from pydantic import BeforeValidator, Field, StrictInt, model_validator

from cache_check.model import quantities as q
from cache_check.model.record import Answering, Flag, Record, Text, Word
from cache_check.model.told import Degrees

UNKNOWN = "unknown"
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


def _listed(value: Any) -> Any:
    """One value written alone stands for a list of one."""
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

    ``on_this_side`` is how many struts share the load; None is one strut, whose share is given.  ``weight_inside`` and
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
    on_the_other_side: Annotated[StrictInt, Field(ge=0, le=100)] = 0
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
        named = [name for name in MAY_BE_UNKNOWN if UNKNOWN in _listed(value.get(name))]
        if not named:
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
        return self.sharing + self.on_the_other_side

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
        if self.angle_from_vertical is not None:
            return 90 - self.angle_from_vertical
        return self.angle

    @property
    def plan_angles(self) -> tuple[Degrees, ...]:
        """The plan angle of each strap, degrees, positive to the left; empty where anchors or nothing is given."""
        if len(self.half_angles) == 1:
            return (self.half_angles[0].size, -self.half_angles[0].size)
        if len(self.half_angles) == 2 and not any(one.side for one in self.half_angles):
            return (self.half_angles[0].size, -self.half_angles[1].size)
        return tuple(one.signed for one in self.half_angles)

    @property
    def loaded(self) -> Literal["vertical", "overturning", "rest", "half", "axial", "unknown"]:
        """How the load is given: a vertical share, a weight outside or inside the edge, half of it, an axial force."""
        if self.axial is not None:
            return "axial"
        if self.weight is not None and self.weight_outside is not None:
            return "overturning"
        if self.weight is not None and self.weight_inside is not None:
            return "rest" if self.sideways_share is not None else "unknown"
        if self.weight is not None and self.one_end_pivots and "weight_outside" not in self.unknown:
            return "half"
        return "unknown" if self.vertical is None else "vertical"
