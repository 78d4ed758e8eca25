"""What ``stage`` answers: sets to leave built, and what is done with them in each scene; in base units."""

from __future__ import annotations

from typing import Annotated, Literal

from cache_check.frozen import dataclass
from cache_check.model.assembly import Assembly, Span
from cache_check.model.counting import FromRig, SceneServed
from cache_check.model.result import Answer, MatchedSet
from cache_check.model.told import UNTOLD, Kilograms, Newtons, Nm, Pieces, keys

Carry = Literal["one person", "two persons", "more than two", "unknown"]


@dataclass(frozen=True)
class Stowed:
    """Where a ready set lies: compartment, its rig, what is left of its clear length, and whether on the diagonal."""

    compartment: Annotated[str, "empty where the cache states none"]
    rig: str
    spare_length: Nm
    diagonal: bool
    unchecked: Annotated[tuple[str, ...], "the things that were not stated"]


@dataclass(frozen=True)
class ReadySetPlan:
    """One ready set: its assembly, how it is carried and stowed, straps allotted, and its rated load by length.

    ``rated`` is at the policy's factor, rising: a load holds at or under its length, over the one before; None is
    unrated.  ``turns_into`` is what the loose pieces make of it.
    """

    name: str
    assembly: Assembly
    carry: Carry
    stowed: Stowed
    ties: Annotated[Pieces, "straps or chains allotted to its base"]
    ties_wanted: Annotated[int, "how many the rules ask for"]
    rated: Annotated[tuple[tuple[Nm, Newtons | None], ...], keys("length load")]
    turns_into: Annotated[tuple[tuple[Assembly, int, int], ...], keys("assembly joints_broken joints_made")]


@dataclass(frozen=True)
class StepOnScene:
    """One joint broken or made, between two parts (by part id, the lower first), of a ready set or of a strut."""

    does: Literal["break", "make"]
    lower: str
    upper: str
    of: str


@dataclass(frozen=True)
class StrutOnScene:
    """One strut of a scene: for which need, as which assembly, from which ready sets, with which loose pieces."""

    name: str
    need: str
    assembly: Assembly
    restrained: Annotated[bool, "whether its base is held"]
    sets: tuple[str, ...]
    loose: tuple[str, ...]
    made: Annotated[int, "how many joints are made"]
    margin: Annotated[Nm, "how far off the asked lengths may turn out, to either side, before it no longer fits"]
    ties: Annotated[Pieces, "what holds its base"]

    @property
    def as_built(self) -> bool:
        """Whether it is a ready set just as it lies."""
        return not self.made


@dataclass(frozen=True)
class SceneStaged:
    """How one scene is served: its struts, the steps in order (breaks first), and the straps or chains in use."""

    served: SceneServed
    struts: tuple[StrutOnScene, ...]
    steps: tuple[StepOnScene, ...]
    ties: Pieces

    @property
    def joints(self) -> int:
        """Joints made or broken on scene."""
        return len(self.steps)


@dataclass(frozen=True)
class Staging:
    """The ready sets of one cache."""

    sets: tuple[ReadySetPlan, ...]
    scenes: tuple[SceneStaged, ...]
    weighted_joints: int
    bound: Annotated[int, "no choice of sets has fewer weighted joints"]
    unproven: Annotated[str, "which goal was not proven, and why; empty: each was"]
    unweighed: Annotated[tuple[str, ...], "parts of unknown weight: no set with one of them was considered"]
    least_margin: Annotated[Nm | None, "None: there is no strut"]
    loose: Annotated[Pieces, "usable pieces in no set, without what is allotted to hold one"]
    holes: Annotated[tuple[Span, ...], "lengths between the sets' reaches that no set covers and the loose cache does"]
    loose_on: Annotated[tuple[FromRig, ...], "the loose pieces of each rig of a pool"] = ()


@dataclass(frozen=True)
class StageResult(Answer):
    """The answer of ``stage``: with needs the staging, without them the matched sets and the largest of them stowed."""

    most_sets: int
    one_person: Annotated[Kilograms | None, "the carry limit in force; None: no rule says"]
    two_persons: Annotated[Kilograms | None, "the carry limit in force; None: no rule says"]
    staging: Staging | None
    matched: tuple[MatchedSet, ...]
    stowed: Annotated[tuple[ReadySetPlan, ...], "the sets of the largest matched set"] = ()

    @property
    def sets(self) -> Annotated[tuple[ReadySetPlan, ...], UNTOLD]:
        """The sets to leave built; without needs those of the largest matched set."""
        return self.staging.sets if self.staging else self.stowed
