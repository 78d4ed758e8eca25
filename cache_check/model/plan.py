"""What the planning verbs answer: lists to buy, sets to leave built; plain facts in base units and hundredths."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Literal

from cache_check.model.assembly import Assembly, Span
from cache_check.model.result import Basis, MatchedSet, SceneAnswer


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
    """One step from today to everything met: the least money that does so much, and what it buys.

    ``met`` are ids of the scenes met whole; ``pieces`` are (part, source, pieces).
    """

    cost: int
    met: tuple[str, ...]
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
class Giving:
    """What a rig that gives pieces serves by itself before and after: (scene, struts before, struts after)."""

    title: str
    scenes: tuple[tuple[str, int, int], ...]


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
    giving: tuple[Giving, ...]
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
    """Pieces that would help a rig and that another can spare: its own scenes stay served as they are.

    ``pieces`` are (part, title of the rig that gives it).
    """

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
    """Where a ready set lies: compartment, its rig, what is left of its clear length, and whether on the diagonal.

    ``compartment`` is empty where the cache states none; ``unchecked`` are the things that were not stated.
    """

    compartment: str
    rig: str
    spare_length: int
    diagonal: bool
    unchecked: tuple[str, ...]


Carry = Literal["one person", "two persons", "more than two", "unknown"]


@dataclass(frozen=True)
class ReadySetPlan:
    """One ready set: its assembly, how it is carried and stowed, straps allotted, and its rated load by length.

    ``rated`` are (length, load) closed, mid and open at the policy's factor; a load of None is unrated.
    ``ties`` are straps or chains allotted to its base, ``ties_wanted`` how many the rules ask for.
    ``turns_into`` are (assembly, joints broken, joints made) that the loose pieces make of it.
    """

    name: str
    assembly: Assembly
    carry: Carry
    stowed: Stowed
    ties: tuple[tuple[str, int], ...]
    ties_wanted: int
    rated: tuple[tuple[int, Fraction | None], ...]
    turns_into: tuple[tuple[Assembly, int, int], ...]


@dataclass(frozen=True)
class StepOnScene:
    """One joint broken or made, between two parts (by part id, the lower first), of a ready set or of a strut."""

    does: Literal["break", "make"]
    lower: str
    upper: str
    of: str


@dataclass(frozen=True)
class StrutOnScene:
    """One strut of a scene: for which need, as which assembly, from which ready sets, with which loose pieces.

    ``restrained`` is whether its base is held; ``margin`` (nm) is how far off the asked lengths may turn out, to
    either side, before it no longer fits.  ``made`` is how many joints are made, ``ties`` what holds its base.
    """

    name: str
    need: str
    assembly: Assembly
    restrained: bool
    sets: tuple[str, ...]
    loose: tuple[str, ...]
    made: int
    margin: int
    ties: tuple[tuple[str, int], ...]

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
    ties: tuple[tuple[str, int], ...]

    @property
    def joints(self) -> int:
        """Joints made or broken on scene."""
        return len(self.steps)


@dataclass(frozen=True)
class Staging:
    """The ready sets of one cache, every goal proven: weighted joints, least margin (nm; None without a strut).

    ``loose`` are usable pieces in no set.  ``holes`` are lengths between the sets' reaches that no set covers and the
    loose cache does.
    """

    sets: tuple[ReadySetPlan, ...]
    scenes: tuple[SceneStaged, ...]
    weighted_joints: int
    least_margin: int | None
    loose: tuple[tuple[str, int], ...]
    holes: tuple[Span, ...]


@dataclass(frozen=True)
class StageResult:
    """The answer of ``stage``: with needs the staging; without them the matched sets, and the largest of them stowed.

    ``stowed`` are the sets of the largest matched set; ``unstowed`` those assemblies of it that fit nowhere.
    ``one_person`` and ``two_persons`` (kg) are the carry limits in force, None where no rule says.
    """

    name: str
    title: str
    basis: Basis
    names: tuple[tuple[str, str], ...]
    most_sets: int
    one_person: Fraction | None
    two_persons: Fraction | None
    staging: Staging | None
    matched: tuple[MatchedSet, ...]
    stowed: tuple[ReadySetPlan, ...] = ()
