"""What ``report`` answers: the facts of every kind of sheet, the office page and the county index among them."""

from datetime import date
from fractions import Fraction
from typing import Annotated

from cache_check.frozen import dataclass
from cache_check.model.audit import AuditResult, Fall
from cache_check.model.card import CardResult
from cache_check.model.count import BlankSheet
from cache_check.model.counting import Losses, NeedAsked, SceneServed
from cache_check.model.load import LoadResult
from cache_check.model.purchase import BuyResult, County
from cache_check.model.result import Answer, CheckResult
from cache_check.model.told import Newtons, Nm, keys

KINDS = ("county", "door", "crew", "load", "office", "audit", "count")
"""The kinds of sheet, by the word that asks for one."""


@dataclass(frozen=True)
class Side:
    """Several rigs, the moves between them, and by scene all ``together`` (empty: not asked, or ``unproven``: why)."""

    county: County
    together: tuple[SceneServed, ...] = ()
    unproven: str = ""


@dataclass(frozen=True)
class Heaviest:
    """The heaviest car on its side that so many struts hold at an angle, by contact height; None: none.

    It lies as high as it is wide: at rest with its weight half its width inside the edge, leaning as far outside.
    """

    angle_deg: Fraction
    struts: int
    rows: Annotated[tuple[tuple[Nm, Nm, Newtons | None, Newtons | None], ...], keys("height length at_rest leaning")]
    rights: bool  # at rest its own weight rights more than the push, whatever it weighs
    assumed: tuple[str, ...]  # what policy says


@dataclass(frozen=True)
class OfficeResult(Answer):
    """The facts of one rig's office page.  What is None was not proven in time; its sentence says why."""

    asks: tuple[NeedAsked, ...]
    bought: BuyResult | None
    losses: Losses | None
    side: Side | None
    heaviest: Heaviest | None = None
    unbought: str = ""
    unlost: str = ""
    unweighed: str = ""
    unsided: str = ""


@dataclass(frozen=True)
class RigShown(Answer):
    """One rig: its check (None: ``unproven``, why), usable pieces by the day they are ``due``, how many have none."""

    check: CheckResult | None
    due: tuple[Fall, ...]
    undated: int
    unproven: str = ""


@dataclass(frozen=True)
class CountyIndex:
    """Several rigs, in the order of the caches; ``side`` is None where no needs are given, or ``unsided`` says why."""

    rigs: tuple[RigShown, ...]
    side: Side | None
    unsided: str = ""


@dataclass(frozen=True)
class NotMade:
    """A sheet that could not be made, of a kind and a cache (its id and title), since something was not proven."""

    kind: str
    of: str
    title: str
    why: str


@dataclass(frozen=True)
class ReportResult:
    """The facts, in the order of the caches."""

    title: str
    on: date
    doors: tuple[CardResult, ...] = ()  # for door cards
    crews: tuple[CardResult, ...] = ()  # for crew pages
    loads: tuple[LoadResult, ...] = ()
    offices: tuple[OfficeResult, ...] = ()
    audits: tuple[AuditResult, ...] = ()
    counts: tuple[BlankSheet, ...] = ()
    county: CountyIndex | None = None  # of all the caches
    unsupposed: tuple[tuple[str, list[str]], ...] = ()  # by cache, pieces supposed gone or there; no audit has them
    missing: tuple[NotMade, ...] = ()
