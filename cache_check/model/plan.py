"""What the planning verbs answer: lists to buy, sets to leave built; plain facts in base units and hundredths."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Literal

from cache_check.model.assembly import Assembly, Span
from cache_check.model.result import Basis, MatchedSet, Packing, Rung, SceneAnswer


@dataclass(frozen=True)
class SceneServed:
    """How far a scene is met: (need, struts wanted, struts served) for each need, and whether all of it is met.

    A scene may have all its struts and still not be met, where the spares or the loss that it must stand are short.
    """

    scene: str
    title: str
    weight: int
    needs: tuple[tuple[str, int, int], ...]
    met: bool

    @property
    def wanted(self) -> int:
        """Struts wanted in all."""
        return sum(wanted for _, wanted, _ in self.needs)

    @property
    def served(self) -> int:
        """Struts served in all."""
        return sum(served for _, _, served in self.needs)


@dataclass(frozen=True)
class BuyLine:
    """One line of a list.  ``opens``: (scene, struts with it, struts without it) where it makes a difference.

    Money is in hundredths of the currency; ``cost`` is for all its packs, with what is paid once per order.
    """

    part: str
    source: str
    moved: bool
    packs: int
    pack: int
    pieces: int
    cost: int
    opens: tuple[tuple[str, int, int], ...]


@dataclass(frozen=True)
class FrontierPoint:
    """One step from today to everything met: the least money that does so much, and (part, source, pieces) of its list."""

    cost: int
    scenes_met: int
    struts: int
    pieces: tuple[tuple[str, str, int], ...]


@dataclass(frozen=True)
class DeadStock:
    """Usable pieces of a part that no best plan of any scene takes: today, and with the list."""

    part: str
    usable_today: int
    idle_today: int
    usable_after: int
    idle_after: int


@dataclass(frozen=True)
class OutOfReach:
    """A need that cannot be met with everything on offer: how much of it can, and what stands in the way.

    ``rules`` are ids of rules of which each by itself, switched off, would let it be met.
    """

    scene: str
    need: str
    wanted: int
    attainable: int
    says: str
    rules: tuple[str, ...]


@dataclass(frozen=True)
class Quote:
    """Where prices come from; ``strange`` are names it prices that no part of the cache's families has."""

    title: str
    currency: str
    dated: date | None
    strange: tuple[str, ...]


@dataclass(frozen=True)
class Purchase:
    """A proven list for one cache from one set of offers.

    ``whole`` is whether it meets every scene; ``budget`` what it had to stay within (None: any money).
    ``before`` and ``after`` say how far scenes are met; ``answers`` are the scenes with the list, packed anew.
    """

    quotes: tuple[Quote, ...]
    budget: int | None
    lines: tuple[BuyLine, ...]
    cost: int
    pieces: int
    whole: bool
    before: tuple[SceneServed, ...]
    after: tuple[SceneServed, ...]
    answers: tuple[SceneAnswer, ...]
    frontier: tuple[FrontierPoint, ...]
    frontier_whole: bool
    dead: tuple[DeadStock, ...]
    out_of_reach: tuple[OutOfReach, ...]


@dataclass(frozen=True)
class BuyResult:
    """The answer of ``buy`` for one cache or pool: a purchase for each quote, and one from all quotes together."""

    name: str
    title: str
    basis: Basis
    names: tuple[tuple[str, str], ...]
    currency: str
    policy: tuple[str, ...]
    purchases: tuple[Purchase, ...]


@dataclass(frozen=True)
class Move:
    """Pieces that would help a rig and that another can spare: its own scenes stay served as they are."""

    pieces: tuple[tuple[str, str], ...]
    taker: str
    scene: str
    served_before: int
    served_after: int


@dataclass(frozen=True)
class County:
    """Several rigs, each by itself: ``served`` by rig, in the order of the scenes; and the moves that help."""

    rigs: tuple[tuple[str, str], ...]
    served: tuple[tuple[SceneServed, ...], ...]
    moves: tuple[Move, ...]


@dataclass(frozen=True)
class Stowed:
    """Where a ready set lies: compartment, its rig, what is left of its clear length, and whether on the diagonal."""

    compartment: str
    rig: str
    spare_length: int
    diagonal: bool
    unchecked: tuple[str, ...]


Carry = Literal["one person", "two persons", "more than two", "unknown"]


@dataclass(frozen=True)
class ReadySetPlan:
    """One ready set: its assembly, how it is carried and stowed, straps allotted, and its rated load by length.

    ``rated`` are (length, load) closed, mid and open; a load of None is unrated.  ``turns_into`` are
    (assembly, joints to make or break) that the loose pieces make of it.
    """

    name: str
    assembly: Assembly
    mass: Fraction | None
    carry: Carry
    stowed: Stowed
    ties: tuple[tuple[str, int], ...]
    ties_wanted: int
    rated: tuple[tuple[int, Fraction | None], ...]
    turns_into: tuple[tuple[Assembly, int], ...]


@dataclass(frozen=True)
class StepOnScene:
    """One thing done on scene: a joint broken or made, between two parts (by part id), of a set or a strut."""

    does: Literal["break", "make"]
    lower: str
    upper: str
    of: str


@dataclass(frozen=True)
class StrutOnScene:
    """One strut of a scene: for which need, as which assembly, from which ready sets, with which loose pieces.

    ``margin`` (nm) is how far off the asked lengths may turn out before it no longer fits.
    """

    need: str
    assembly: Assembly
    rung: Rung
    sets: tuple[str, ...]
    loose: tuple[str, ...]
    as_built: bool
    joints: int
    steps: tuple[StepOnScene, ...]
    margin: int
    ties: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class SceneStaged:
    """How one scene is served: its struts, the joints made and broken, and whether it is met."""

    served: SceneServed
    joints: int
    struts: tuple[StrutOnScene, ...]
    steps: tuple[StepOnScene, ...]
    opened: tuple[str, ...]


@dataclass(frozen=True)
class Staging:
    """The ready sets of one cache, proven; the values of its goals in order, (name, value in base units)."""

    sets: tuple[ReadySetPlan, ...]
    scenes: tuple[SceneStaged, ...]
    goals: tuple[tuple[str, int], ...]
    loose: tuple[tuple[str, int], ...]
    holes: tuple[Span, ...]
    without_compartment: bool


@dataclass(frozen=True)
class StageResult:
    """The answer of ``stage``: with needs the staging, without them the matched sets and what they cost in reach."""

    name: str
    title: str
    basis: Basis
    names: tuple[tuple[str, str], ...]
    asked_sets: int
    staging: Staging | None
    matched: tuple[MatchedSet, ...]
    trade_off: tuple[tuple[int, Span | None], ...]
    best: Packing | None = None
