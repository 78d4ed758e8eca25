"""What ``load`` answers: geometry, forces, straps, which assemblies do it, and the way back, in nm, N, Pa, m2, degrees.

Forces are exact from their twelfth digit on, so that they can be rounded towards safety when shown.
"""

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
    """How one strap runs: plan angle (positive left), rise, straight length to its anchor (None: no anchor given).

    ``unit`` is its share of a thrust of 1 and ``worst`` the most of it that it can see, however the straps share.
    """

    plan_angle_deg: Fraction
    rise_deg: Fraction
    length: Nm | None
    unit: Fraction
    worst: Fraction
    pretension: Newtons


@dataclass(frozen=True)
class Forces:
    """The forces on one strut and its base, each for that strut's share of the load, multiplier included.

    ``vertical``, ``axial`` and ``thrust`` are plane statics of the strut alone.  ``axial_with_straps`` is what
    the straps' own pull on the vehicle makes of the axial force.  ``axial_checked`` is the more severe of all
    that, pre-tension left out; ``thrust_checked`` is what the straps must hold.  ``base_reaction`` is what the
    ground pushes back, ``bearing`` the most that the ground sees, ``pivot_reaction`` what is left on the pivot by all
    struts together (None: not known, or no weight is turned).
    """

    whole: Newtons
    share: Newtons
    share_by: str
    vertical: Newtons
    axial: Newtons
    thrust: Newtons
    axial_with_straps: Newtons
    axial_checked: Newtons
    thrust_checked: Newtons
    governs_thrust: Governs
    base_reaction: Newtons
    bearing: Newtons
    pivot_reaction: Newtons | None


@dataclass(frozen=True)
class Comparison:
    """A short cut of the trade beside the statics, in one unit of force: both figures and the sentence why they differ.

    ``statics`` None: statics says nothing without a figure that is not known.  ``along_strut`` is what statics puts
    along the strut.  ``tie`` with two counts: how many of it hold each figure if all run along the strut's line.
    """

    what: str
    practice: Newtons
    statics: Newtons | None
    along_strut: Newtons | None
    rests_on: str
    differ: str
    tie: str = ""
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
    """So many of one kind of strap or chain on a base: where they run, what each sees.

    ``rated`` None is unknown.  ``tension`` is the largest, however the lines share, pre-tension included;
    ``per_thrust`` what of it a thrust of 1 makes.  ``own`` is the strut force that pre-tension makes.
    ``one_failed`` is the largest tension on the rest when one fails in place, None where the base then swings.
    ``bases`` is how many bases the usable pieces are enough for, ``length`` a piece's own.
    """

    part: str
    kind: Literal["strap", "chain"]
    rated: Newtons | None
    rated_by: str
    per_base: int
    runs: tuple[Run, ...]
    tension: Newtons
    per_thrust: Fraction
    pretension: Newtons
    own: Newtons
    usable: int
    bases: int
    one_failed: Newtons | None
    length: Nm | None


@dataclass(frozen=True)
class Carrier:
    """One assembly at the length needed, held the best way there is: every link, and the worst of them.

    ``rated`` is the assembly's own rated load along the strut, ``rated_at`` the design factor of that figure (the one
    asked, or a higher one of the maker's mark), ``chart_row`` the row used (chart, length limit), ``governing`` the
    loaded link with least to spare, ``margin`` its rating over demand less 1 (None where unrated or no load is known).
    ``way`` is how its base is held.  ``largest`` is the share of the load that every link still takes.
    """

    assembly: Assembly
    links: tuple[LinkCheck, ...]
    governing: LinkCheck
    rated: Newtons | None
    rated_at: Fraction | None
    chart_row: Annotated[tuple[str, Nm] | None, keys("chart up_to")]
    margin: Fraction | None
    way: TieWay | None
    verdict: Verdict
    largest: Newtons | None

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
    """The ground under one base: the value the user picked, the most it sees, and the pad.

    ``area`` (m2) of the pad given, or of the base alone; ``pressure`` on it; ``pad_side`` the least square pad (nm).
    ``pads`` are pads of the cache that are large enough: part and usable pieces.
    """

    soil: Pascals | None
    bearing: Newtons
    on: str
    area: SquareMetres | None
    pressure: Pascals | None
    pad_side: Nm | None
    pads: Pieces


@dataclass(frozen=True)
class Slip:
    """Friction: coefficients at which foot and head just hold with no strap, what was said, what policy counts."""

    foot: Fraction | None
    head: Fraction | None
    said: Fraction
    counted: Fraction


@dataclass(frozen=True)
class Push:
    """Pre-tension by itself: what it puts in a strut, how hard that lifts, and what all make of what keeps it down.

    ``sideways`` is what uneven pre-tension pulls the base to one side with, 0 where it is even.
    """

    each: Newtons
    strut: Newtons
    lift: Newtons
    sideways: Newtons
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
    """Struts for the whole load by equal share: how many, what each lifts, what limits it, a policy's floor.

    ``by_load`` is how many the load alone takes; ``floor`` the largest of any class where that of the vehicle is blank.
    """

    count: int
    by_load: int
    each: Newtons
    by: str
    floor: int


@dataclass(frozen=True)
class LoadResult(Answer):
    """The answer of ``load``: the verdict is the worst of its links.

    ``links`` are those of the struts shown and of their number; ``unchecked`` is what no rule in force looks at.
    ``situation`` is as given, ``settled`` with the policy's values where it says nothing, ``assumed`` names those.
    ``alike``: whether as many as wanted can be built and held like the first of the ``carriers``, which hold.
    ``failed`` tells what one strut or tie that fails in place leaves, ``ticks`` what someone must look at.  ``refused``
    says why the straps give no answer (both on one side, too wide), "" where they do.  ``near`` are the nearest
    reachable lengths where the one needed is not reached.
    """

    verdict: Verdict
    links: tuple[LinkCheck, ...]
    unchecked: tuple[str, ...]
    situation: Situation
    settled: Situation
    geometry: Geometry
    assumed: tuple[str, ...]
    lines: tuple[StrapLine, ...]
    refused: str
    forces: Forces | None
    shares: tuple[ShareOf, ...]
    comparisons: tuple[Comparison, ...]
    slip: Slip
    push: Push | None
    ties: tuple[TieWay, ...]
    failed: tuple[str, ...]
    ticks: tuple[str, ...]
    chain: ChainInstead | None
    carriers: tuple[Carrier, ...]
    alike: bool
    tally: Tally
    wanted: Wanted | None
    ground: Ground | None
    largest: tuple[Largest, ...]
    near: tuple[Near, ...]
    findings: tuple[Finding, ...]
