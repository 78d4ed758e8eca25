"""What ``load`` answers: geometry, forces, straps, which assemblies do it, and the way back, in nm, N, Pa, m2, degrees.

Forces are exact from their twelfth digit on, so that they can be rounded towards safety when shown.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Literal

from cache_check.frozen import dataclass
from cache_check.model.assembly import Assembly
from cache_check.model.counting import Tally
from cache_check.model.finding import Finding
from cache_check.model.result import Answer
from cache_check.model.situation import Situation
from cache_check.model.told import UNTOLD, Newtons, Nm, Pascals, Pieces, SquareMetres, keys
from cache_check.model.verdict import LinkCheck, Verdict, broken

Governs = Literal["statics", "practice", "least sideways"]


@dataclass(frozen=True)
class Geometry:
    """The strut as set: contact above the seat, base out from under it, length between the seats, steepness."""

    height: Nm
    offset: Nm
    length: Nm
    angle_deg: Fraction


@dataclass(frozen=True)
class StrapLine:
    """How one strap runs: plan angle (positive left), rise, straight length to its anchor (None: no anchor given)."""

    plan_angle_deg: Fraction
    rise_deg: Fraction
    length: Nm | None
    unit: Annotated[Fraction, "its share of a thrust of 1"]
    worst: Annotated[Fraction, "the most of that thrust that it can see, however the straps share"]
    pretension: Newtons


@dataclass(frozen=True)
class Forces:
    """The forces on one strut and its base, each for that strut's share of the load, multiplier included."""

    whole: Newtons
    share: Newtons
    share_by: str
    vertical: Annotated[Newtons, "by plane statics of the strut alone"]
    axial: Annotated[Newtons, "by plane statics of the strut alone"]
    thrust: Annotated[Newtons, "by plane statics of the strut alone"]
    axial_with_straps: Annotated[Newtons, "with what the straps' own pull on the vehicle adds"]
    axial_checked: Annotated[Newtons, "the more severe of these, pre-tension left out"]
    thrust_checked: Annotated[Newtons, "what the straps must hold"]
    governs_thrust: Governs
    base_reaction: Annotated[Newtons, "what the ground pushes back"]
    bearing: Annotated[Newtons, "the most that the ground sees"]
    pivot_reaction: Annotated[Newtons | None, "left on the pivot by all struts; None: not known, or nothing is turned"]


@dataclass(frozen=True)
class Comparison:
    """A short cut of the trade beside the statics, in one unit of force: both figures, and why they differ."""

    what: str
    practice: Newtons
    statics: Annotated[Newtons | None, "None: it says nothing without a figure that is not known"]
    along_strut: Annotated[Newtons | None, "what statics puts along the strut"]
    rests_on: str
    differ: str
    tie: Annotated[str, "so many of which hold each figure, if all run along the strut's line"] = ""
    ties_by_practice: int | None = None
    ties_by_statics: int | None = None


@dataclass(frozen=True)
class ShareOf:
    """One way in which struts may share a load, and what each then takes."""

    by: str
    each: Newtons
    governs: bool


@dataclass(frozen=True)
class Run:
    """So many ties along one line: its plan angle, positive left."""

    plan_angle_deg: Fraction
    count: int


@dataclass(frozen=True)
class TieWay:
    """So many of one kind of strap or chain on a base: where they run, what each sees."""

    part: str
    kind: Literal["strap", "chain"]
    rated: Annotated[Newtons | None, "None: unknown"]
    rated_by: str
    per_base: int
    runs: tuple[Run, ...]
    tension: Annotated[Newtons, "the largest, however the lines share, pre-tension included"]
    per_thrust: Annotated[Fraction, "what of it a thrust of 1 makes"]
    pretension: Newtons
    own: Annotated[Newtons, "the strut force that pre-tension makes"]
    usable: int
    bases: Annotated[int, "how many the usable pieces are enough for"]
    one_failed: Annotated[Newtons | None, "the largest on the rest when one fails in place; None: the base then swings"]
    length: Annotated[Nm | None, "a piece's own"]


@dataclass(frozen=True)
class Carrier:
    """One assembly at the length needed, held the best way there is: every link, and the worst of them."""

    assembly: Assembly
    links: tuple[LinkCheck, ...]
    governing: Annotated[LinkCheck, "the loaded link with least to spare"]
    rated: Annotated[Newtons | None, "the assembly's own, along the strut"]
    rated_at: Annotated[Fraction | None, "design factor of that: the one asked, or a higher one of the maker's mark"]
    chart_row: Annotated[tuple[str, Nm] | None, keys("chart up_to"), "the row used"]
    margin: Annotated[Fraction | None, "its rating over demand less 1; None: unrated, or no load is known"]
    way: Annotated[TieWay | None, "how its base is held"]
    verdict: Verdict
    largest: Annotated[Newtons | None, "the share of the load that every link still takes"]

    @property
    def carries(self) -> bool:
        """Whether every link holds."""
        return self.verdict == "met"

    @property
    def broken(self) -> tuple[LinkCheck, ...]:
        """The links that do not hold or are not known, those that do not hold first."""
        return broken(self.links)


@dataclass(frozen=True)
class Ground:
    """The ground under one base: the value the user picked, the most it sees, and the pad."""

    soil: Pascals | None
    bearing: Newtons
    on: str
    area: Annotated[SquareMetres | None, "of the pad given, or of the base alone"]
    pressure: Annotated[Pascals | None, "on that area"]
    pad_side: Annotated[Nm | None, "of the least square pad"]
    pads: Annotated[Pieces, "those of the cache that are large enough: usable pieces"]


@dataclass(frozen=True)
class Slip:
    """Friction: coefficients at which foot and head just hold with no strap, what was said, what policy counts."""

    foot: Fraction | None
    head: Fraction | None
    said: Fraction
    counted: Fraction


@dataclass(frozen=True)
class Push:
    """Pre-tension by itself: what it puts in a strut, how hard that lifts, and what all make of what keeps it down."""

    each: Newtons
    strut: Newtons
    lift: Newtons
    sideways: Annotated[Newtons, "what uneven pre-tension pulls the base to one side with; 0: it is even"]
    share: Fraction | None


@dataclass(frozen=True)
class ChainInstead:
    """The smallest listed chain that holds in place of straps, one for each: size (nm), grade, limit, pull."""

    size: Nm
    grade: int
    rated: Newtons
    tension: Newtons
    source: str


@dataclass(frozen=True)
class Largest:
    """The other way round: the largest (or least, as ``way`` says) value that still passes, and what stops it."""

    what: str
    value: Annotated[Fraction | None, UNTOLD]
    dimension: Literal["force", "length", "pressure"]
    way: Literal["at most", "at least"]
    because: str

    @property
    def force(self) -> Newtons | None:
        """The value where it is a force."""
        return self.value if self.dimension == "force" else None

    @property
    def length(self) -> Nm | None:
        """The value where it is a length, a whole number of nanometres."""
        return None if self.dimension != "length" or self.value is None else int(self.value)

    @property
    def pressure(self) -> Pascals | None:
        """The value where it is a pressure."""
        return self.value if self.dimension == "pressure" else None


@dataclass(frozen=True)
class Near:
    """A length beside the one needed that this cache does reach, and the angle that it then has at that height."""

    length: Nm
    angle_deg: Fraction | None


@dataclass(frozen=True)
class Wanted:
    """Struts for the whole load by equal share: how many, what each lifts, what limits it, a policy's floor."""

    count: int
    by_load: Annotated[int, "how many the load alone takes"]
    each: Newtons
    by: str
    floor: Annotated[int, "the largest of any class, where that of the vehicle is blank"]


@dataclass(frozen=True)
class LoadResult(Answer):
    """The answer of ``load``: the verdict is the worst of its links."""

    verdict: Verdict
    links: Annotated[tuple[LinkCheck, ...], "those of the struts shown and of their number"]
    unchecked: Annotated[tuple[str, ...], "what no rule in force looks at"]
    situation: Annotated[Situation, "as given"]
    settled: Annotated[Situation, "with the policy's values where it says nothing"]
    geometry: Geometry
    assumed: Annotated[tuple[str, ...], "the names of those values"]
    lines: tuple[StrapLine, ...]
    refused: Annotated[str, "why the straps give no answer (both on one side, too wide); empty: they do"]
    forces: Forces | None
    shares: tuple[ShareOf, ...]
    comparisons: tuple[Comparison, ...]
    slip: Slip
    push: Push | None
    ties: tuple[TieWay, ...]
    failed: Annotated[tuple[str, ...], "what one strut or tie that fails in place leaves"]
    ticks: Annotated[tuple[str, ...], "what someone must look at"]
    chain: ChainInstead | None
    carriers: Annotated[tuple[Carrier, ...], "best first"]
    alike: Annotated[bool, "whether as many as wanted can be built and held like the first of the ``carriers``"]
    tally: Tally
    wanted: Wanted | None
    ground: Ground | None
    largest: tuple[Largest, ...]
    near: Annotated[tuple[Near, ...], "the nearest reachable lengths, where the one needed is not reached"]
    findings: tuple[Finding, ...]

    @property
    def thinnest(self) -> Annotated[Carrier | None, UNTOLD]:
        """Of the struts that stand at once the one with least to spare; the first where all can be like it."""
        first, together = next(iter(self.carriers), None), dict(self.tally.best.assemblies)
        if self.alike or self.tally.best.count < (self.tally.wanted or 1):
            return first
        those = [one for one in self.carriers if one.assembly in together and one.margin is not None]
        return min(those, key=lambda one: one.margin or Fraction(0), default=first)
