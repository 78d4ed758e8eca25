"""Needs: the struts a scene wants at once."""

import math
from fractions import Fraction
from typing import TYPE_CHECKING, Annotated, Any, Self

from pydantic import Field, StrictInt, model_validator

from cache_check.model.quantities import Factor, FarAnchors, Force, Length, Pressure, Steepness
from cache_check.model.record import Answering, Flag, Name, Placed, Record, Text, Word

if TYPE_CHECKING:
    from cache_check.model.situation import Situation


class Need(Answering):
    """How many struts a need wants, and what of each; ``sure`` answers for its loads and ``soil``."""

    id: Name
    count: Annotated[StrictInt, Field(ge=1, le=1000)]
    load: Force | None = None  # along the strut, shaking included; what its base then pushes out at ``angle`` is held
    vertical: Force | None = None  # upright instead; of each is then asked what the verb load asks of one in its place
    height: Length | None = None  # its length is the one that reaches this at ``angle``
    angle: Steepness | None = None  # None: the worst that the rules allow
    factor: Factor | None = None  # None: the policy's
    restrained: Flag = True  # False asks for no restraint
    contact: Word | None = None  # what the head stands against, as edge; None: not stated, so no head is judged by it
    far_anchors: FarAnchors | None = None
    anchor_distance: Length | None = None
    soil: Pressure | None = None
    note: Text = ""
    shortest: Length  # to the longest each strut must cover without rebuilding
    longest: Length

    @model_validator(mode="after")
    def _goes_together(self) -> Self:
        if self.longest < self.shortest:
            raise ValueError("longest is shorter than shortest")
        if wrong := disagreement(stated(self) - {"shortest", "longest"}, restrained=self.restrained):
            raise ValueError(wrong)
        return self

    @property
    def loaded(self) -> bool:
        """Whether each strut must carry a load that is stated."""
        return self.load is not None or self.vertical is not None

    @property
    def place(self) -> "Situation | None":
        """Where one strut stands, if the need says it with a vertical load."""
        if self.vertical is None or self.height is None:
            return None
        from cache_check.model.situation import Situation

        said: dict[str, Any] = {name: getattr(self, name) for name in _OF_PLACE}
        soil = () if self.soil is None else (self.soil,)
        return Situation.model_construct(**said | {"title": self.id, "contact_height": self.height, "soil": soil})


def reaching(height: int, angle_deg: Fraction) -> int:
    """The length (nm) of a strut at an angle from the horizontal that reaches a height, closed up to a nanometre."""
    return math.ceil(Fraction(format(height / math.sin(math.radians(angle_deg)), ".12g")))


def stated(entry: Record) -> set[str]:
    """The names of what an entry states."""
    return {name for name in type(entry).model_fields if getattr(entry, name) is not None}


_OF_PLACE = ("far_anchors", "anchor_distance", "contact", "vertical", "angle", "factor", "sure", "why")
_UNHELD = "unrestrained"
_BESIDE: tuple[tuple[str, tuple[str, ...], str], ...] = (
    ("vertical", ("load",), "keep one: load is along the strut, vertical upright"),
    ("vertical", ("length", "shortest", "longest"), "take it out: height and angle say how long the strut is"),
    ("vertical", (_UNHELD,), "take one out: what a strut pushes out must be held"),
)
"""Entries of a need that may not stand beside others, and what would be right."""
_WITHOUT: tuple[tuple[str, tuple[str, ...], str], ...] = (
    ("vertical", ("height",), "add how high the contact is"),
    ("vertical", ("angle",), "add how steep the strut stands"),
    *((name, ("vertical",), "add it, or take this out") for name in ("height", "soil", *_OF_PLACE[:2])),
    *((name, ("load", "vertical"), "add one, or take this out") for name in ("angle", "factor")),
)
"""Entries that say nothing without one of others, and what would be right."""


def disagreement(given: set[str], *, restrained: bool) -> str:
    """What does not go together of the entries that a need gives, "" where all does."""
    said = given if restrained else given | {_UNHELD}
    names = {"shortest": "from", "longest": "to", _UNHELD: "restrained: no"}
    for name, others, right in _BESIDE:
        for other in others if name in said else ():
            if other in said:
                return f"{name!r} stands beside {names.get(other, other)!r}; {right}"
    for name, others, right in _WITHOUT:
        if name in said and not said & {*others}:
            return f"{name!r} says nothing without {' or '.join(map(repr, others))}; {right}"
    return ""


class Scene(Record):
    """Needs that hold at once.  Scenes are alternatives; ``weight`` says how often one is met."""

    id: Placed
    title: Text = ""
    needs: tuple[Need, ...] = Field(min_length=1)
    weight: Annotated[StrictInt, Field(ge=1)] = 1


class Needs(Record):
    """A file of scenes."""

    title: Text = ""
    scenes: tuple[Scene, ...] = ()
    path: Text = ""
