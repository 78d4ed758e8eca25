"""What the verbs answer: plain facts, in base units (nm, N, kg), that a report only has to show."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Annotated

from cache_check.errors import summed
from cache_check.frozen import dataclass
from cache_check.model.assembly import Assembly, Legality, Span
from cache_check.model.cache import Source, Stated
from cache_check.model.counting import Losses, Packing, SceneAnswer, Step, Tally
from cache_check.model.finding import Finding
from cache_check.model.piece import Idle
from cache_check.model.rule import Rule, Setting
from cache_check.model.told import UNTOLD, Names, Newtons, Nm, keys
from cache_check.model.verdict import Link
from cache_check.units import System


@dataclass(frozen=True)
class Basis:
    """What every page must say that it rests on (design factor None: no load was asked)."""

    rigs: tuple[str, ...]
    pooled: bool
    units: System
    book_dates: Annotated[tuple[tuple[str, date | None], ...], keys("rig counted_on")]
    on: date
    factor: Fraction | None
    rules_version: str
    settings: tuple[Setting, ...]
    stated: tuple[Stated, ...]
    rules_off: tuple[str, ...]
    changes: tuple[str, ...]
    ignored: tuple[str, ...]
    unknown: tuple[str, ...]
    sources: Annotated[tuple[Source, ...], UNTOLD]
    stricter: Annotated[tuple[str, ...], "where rigs of a pool differ on a rule, and which value is used"] = ()
    factors: Annotated[tuple[tuple[str, Fraction], ...], keys("asked_by factor"), "where a higher one is used"] = ()
    above_mark: Annotated[tuple[tuple[str, Fraction], ...], keys("what marked_at"), "above the factor asked"] = ()
    on_word: Annotated[tuple[tuple[str, str], ...], keys("what why"), "counts although rules call it unlikely"] = ()


@dataclass(frozen=True)
class Answer:
    """What every answer about one cache or pool begins with; ``names`` are the parts' short names, by part id."""

    name: str
    title: str
    basis: Basis
    names: Names


@dataclass(frozen=True)
class Stretch:
    """One stretch of a profile: over this span of lengths, this many at once."""

    low: Nm
    high: Nm
    low_included: Annotated[bool, "at a breakpoint the count can differ from both sides"]
    high_included: Annotated[bool, "as ``low_included``"]
    count: int


@dataclass(frozen=True)
class Profile:
    """How many struts at once by length on one step, exact at every breakpoint, rising in length."""

    step: Step
    stretches: tuple[Stretch, ...]
    proven: bool


MOST_MATCHED = 24  # matched sets are worked out up to so many struts: nobody sets more up alike


@dataclass(frozen=True)
class MatchedSet:
    """n struts at once: where (spans of lengths), and the n whose common reach is longest."""

    count: int
    step: Step
    spans: tuple[Span, ...]
    common: Annotated[Span | None, "the span that this packing covers without rebuilding; None: no n stand at once"]
    packing: Packing | None


@dataclass(frozen=True)
class Reach:
    """The reach of a cache: its legal assemblies, their union, and the blind spots inside it."""

    count: Annotated[int, "always exact"]
    assemblies: Annotated[tuple[Assembly, ...], "empty when there are more than were asked to be listed"]
    union: tuple[Span, ...]
    blind_spots: Annotated[tuple[Span, ...], "their ends are themselves reached: both are excluded"]
    by_fitting: Annotated[tuple[tuple[str, str, tuple[Span, ...]], ...], keys("serves_as part reach"), "with it alone"]
    why: Annotated[str, "what is wanting where nothing can be built, as far as anything is known to help"] = ""


@dataclass(frozen=True)
class Gap:
    """Something of which there may be too little, in figures: "5 bases need 10 straps at two each: 3 short".

    ``binds`` names the needs, scenes or lengths whose next strut one more of it would allow, alone or with another
    part: of that nobody says that there is enough.  ``unknown``: of what is short, the pieces there of which it is not
    known whether they count; else those of which it is not known what they hold, where a load is asked.
    """

    what: str
    have: int
    want: int
    says: str
    rule: str
    binds: tuple[str, ...] = ()
    unknown: tuple[Link, ...] = ()
    first: Annotated[tuple[str, ...], "what may make up what is short, before any is added"] = ()

    @property
    def short(self) -> int:
        """How many are missing; never negative."""
        return max(0, self.want - self.have)


@dataclass(frozen=True)
class PartLine:
    """One part type of a cache: on the book, usable, and the pieces that do not count, with why and the remedy."""

    part: str
    kind: str
    title: str
    on_book: int | None
    usable: int
    idle: tuple[Idle, ...]

    @property
    def out(self) -> Annotated[tuple[tuple[str, int], ...], keys("why count")]:
        """How many do not count for each reason."""
        return tuple(sorted(summed((one.why.text, one.number) for one in self.idle).items()))


@dataclass(frozen=True)
class CheckResult(Answer):
    """The main job's answer for one cache or one pool; ``untold`` are parts that were not worked out, and why."""

    parts: tuple[PartLine, ...]
    tallies: tuple[Tally, ...]
    scenes: tuple[SceneAnswer, ...]
    reach: Reach
    profiles: tuple[Profile, ...]
    matched: tuple[MatchedSet, ...]
    gaps: tuple[Gap, ...]
    findings: tuple[Finding, ...]
    untold: Annotated[tuple[tuple[str, str], ...], keys("part why")] = ()
    losses: Annotated[Losses | None, "None: not asked for, or untold"] = None


@dataclass(frozen=True)
class ReachResult(Answer):
    """The answer of ``reach``: assemblies, union, profiles; and, when a length was asked, its tally."""

    reach: Reach
    profiles: tuple[Profile, ...]
    at: Tally | None
    untold: Annotated[tuple[tuple[str, str], ...], keys("part why"), "not worked out"] = ()


@dataclass(frozen=True)
class Carries:
    """What a legal stack may be trusted with: its rated load closed and open, and what holds its base."""

    closed: Annotated[Newtons | None, "None: unrated"]
    open: Annotated[Newtons | None, "None: unrated"]
    factor: Annotated[Fraction, "the design factor of both"]
    unrated: Annotated[tuple[str, ...], "why a load is unrated, or lengths between are"]
    base: Link
    marked: Annotated[bool, UNTOLD] = False  # some load is used as its maker marked it, at a higher factor


@dataclass(frozen=True)
class BuildResult(Answer):
    """The answer of ``build``; ``carries`` is there when the stack is legal."""

    verdict: Legality
    carries: Carries | None = None


@dataclass(frozen=True)
class RulesResult:
    """The answer of ``rules``: entries, and the settings that change them."""

    version: str
    rules: tuple[Rule, ...]
    settings: tuple[Setting, ...]
