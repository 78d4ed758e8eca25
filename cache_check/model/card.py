"""What the pages of one cache add to the other answers: sets as they lie, aims, loose pieces, helpers, the finder.

Base units throughout: lengths nm, forces N, masses kg, angles degrees.  What the finder looks up is all worked out
beforehand; a thrust that is held is the largest, and None is unknown.
"""

from fractions import Fraction

from cache_check.frozen import dataclass
from cache_check.model.assembly import Assembly
from cache_check.model.counting import FromRig, NeedAsked, SceneServed
from cache_check.model.result import Answer, Profile, Reach
from cache_check.model.staging import Carry, SceneStaged
from cache_check.model.verdict import State

Holds = tuple[Fraction, ...] | None
"""The thrust that something on one base holds for each fan; None where that is not known, or no limit is told."""


@dataclass(frozen=True)
class ChartLine:
    """One assembly for the finder: what it is rated for at factor 1 by length.

    ``rated`` are (longest length, state, load, load as marked) in rising steps: the load divided by a factor is that at
    a factor that was asked for; one that was not never raises it over what is marked.  Both are of what is known of it,
    None if nothing is; unless the state is *holds* that is no rating, and what exceeds it fails all the same.
    """

    assembly: Assembly
    fixed: int  # all but the body's own setting
    rated: tuple[tuple[int, State, Fraction | None, Fraction | None], ...]


@dataclass(frozen=True)
class TieAtHand:
    """A strap or chain: its rating, the hardware each takes, and the thrust that so many of it hold on one base."""

    part: str
    usable: int
    booked: bool  # the book lists pieces of it
    rated: Fraction | None
    needs: tuple[tuple[str, int], ...]
    holds: Holds  # by ``FinderFacts.fans``, beside the policy's pre-tension; None where the rating is unknown


@dataclass(frozen=True)
class Fan:
    """So many straps, level: pairs at the sides and those on the strut's line."""

    number: int
    each_side: int
    on_the_line: int
    # The most that all pull along the strut's line for a tension of 1 in each: at the narrowest half-angle,
    pull: Fraction  # where what pre-tension presses into the strut is most severe
    tension: float  # the most that a thrust of 1 makes in one of them, at the widest


@dataclass(frozen=True)
class FinderFacts:
    """Everything the finder looks up."""

    angle_rules: tuple[str, ...]  # those that set the two limits; without any, these are of what is a strut
    flattest_deg: Fraction
    steepest_deg: Fraction
    fans: tuple[Fan, ...]
    allowance: Fraction  # what policy takes every load times
    least_sideways: Fraction  # the least thrust as a share of the upright load
    sideways_at_45_deg: Fraction  # the trade's short cut there
    pretension: Fraction  # the policy's, of each strap
    push_share: Fraction | None  # the most of an upright load that it may lift; None: no rule says
    head_asked: bool  # a rule asks what the head stands against
    by_friction: tuple[str, ...]  # contacts that hold it by friction alone
    unstated: tuple[str, ...]  # what rules ask of a strut and the finder does not
    ties: tuple[TieAtHand, ...]
    points: tuple[tuple[str, Holds], ...]
    hardware: tuple[tuple[str, Holds], ...]
    built: tuple[ChartLine | None, ...]  # the lines of the card's sets; None where one is no legal strut


@dataclass(frozen=True)
class PartShown:
    """A part type as the pages need it: its shortest and longest length in a stack (0 where it is no part of one)."""

    part: str
    kind: str = ""
    closed: int = 0
    open: int = 0
    usable: int = 0
    loose: int = 0  # the usable pieces in no built set
    pointed: int = 0  # those of a fitting with enough attachment points
    footprint: tuple[int, int] | None = None
    contacts: tuple[str, ...] = ()  # what a head is made for


@dataclass(frozen=True)
class JointMade:
    """One joint of a stack, the lower part first, and the loose pin it takes ("" where the pin is captive)."""

    lower: str
    upper: str
    pin: str
    pins: int


@dataclass(frozen=True)
class PartJoint(JointMade):
    """That a part in one ``Place`` of a stack joins a part in the next; of one that may be turned, either way up."""

    lower_place: str
    upper_place: str


@dataclass(frozen=True)
class SetShown:
    """A ready set: on the book as built (``built``), or only proposed; its name has its rig where two are called so."""

    name: str
    built: bool
    parts: tuple[str, ...]
    assembly: Assembly | None  # None: it is no legal strut
    joints: tuple[JointMade, ...]
    where: str = ""
    rig: str = ""
    serials: tuple[str, ...] = ()
    unfit: tuple[str, ...] = ()  # why it must not be used as it lies
    carry: Carry = "unknown"
    ties: tuple[tuple[str, int], ...] = ()
    ties_wanted: int = 0
    rated: tuple[tuple[int, Fraction | None], ...] = ()  # as of a ``ReadySetPlan``

    @property
    def usable(self) -> bool:
        """Whether it may be used as it lies, as far as the book says."""
        return self.assembly is not None and not self.unfit


@dataclass(frozen=True)
class SetsShown:
    """Sets to be drawn, and the pieces that say how long their parts are."""

    sets: tuple[SetShown, ...]
    pieces: tuple[PartShown, ...]


@dataclass(frozen=True)
class SceneShown:
    """A scene as it is served with the sets shown: what each need asks, and how far out its bases then stand."""

    staged: SceneStaged
    asked: tuple[NeedAsked, ...]
    # For each of ``asked`` by angle (degrees) the base out at the shortest and the longest length asked.
    outs: tuple[tuple[tuple[Fraction, int, int], ...], ...]
    brings: tuple[FromRig, ...] = ()  # whose pieces its struts take, rig by rig of a pool; empty for one rig


@dataclass(frozen=True)
class Aim:
    """A strut at one contact height and angle: length, base out from under the contact, and the sets that do it."""

    height: int
    angle_deg: Fraction
    length: int
    offset: int
    sets: tuple[str, ...]


@dataclass(frozen=True)
class Helper:
    """Another rig, each scene short here as served without and with it, and the most restrained (None: no rule)."""

    title: str
    rig: str
    counted: str
    scenes: tuple[tuple[SceneServed, SceneServed], ...]
    restrained_here: int | None
    restrained_together: int | None


@dataclass(frozen=True)
class CardResult(Answer):
    """What door card and crew page stand on."""

    factor: Fraction
    factor_said: bool
    marked: bool  # something is used as its maker marked it, at a higher design factor than ``factor``
    sets: tuple[SetShown, ...]
    across: tuple[str, ...]  # findings about several sets together
    angles_deg: tuple[Fraction, ...]
    aims: tuple[tuple[Aim, ...], ...]
    half_angles_deg: tuple[Fraction, Fraction]
    ties_per_base: int
    points_per_base: int
    bases_held: int
    loose: tuple[tuple[str, int], ...]
    helpers: tuple[Helper, ...] | None
    pieces: tuple[PartShown, ...]
    reach: Reach
    profiles: tuple[Profile, ...]
    joins: tuple[PartJoint, ...]  # between usable parts, whether or not they are in a legal strut
    charts: tuple[tuple[str, str], ...]  # the edition of each family's
    lines: tuple[ChartLine, ...]
    finder: FinderFacts
    scenes: tuple[SceneShown, ...] = ()  # as they are served with the sets shown
    scenes_untold: str = ""  # why there are none where scenes were asked
    unbuilt: tuple[str, ...] = ()  # which sets of the book a count did not find built
