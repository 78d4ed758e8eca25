"""What the verbs answer: plain facts, in base units (nm, N, kg), that a report only has to show."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Annotated, Literal, get_args

from cache_check.frozen import dataclass
from cache_check.model.assembly import Assembly, Legality, Span
from cache_check.model.cache import Source, Stated
from cache_check.model.finding import Finding
from cache_check.model.losses import Losses
from cache_check.model.piece import Idle
from cache_check.model.rule import Rule, Setting
from cache_check.model.told import UNTOLD, Names, Newtons, Nm, Pieces, keys
from cache_check.model.verdict import Link, Verdict, worst
from cache_check.units import System

Step = Literal["on the book", "usable", "buildable", "assembled at once", "restrained", "rated", "one missing"]
STEPS: tuple[Step, ...] = get_args(Step)


@dataclass(frozen=True)
class Basis:
    """What every page must say that it rests on (design factor None: no load was asked).

    ``factors`` are the needs or situations for which a higher design factor is used, with it.

    ``stricter`` says where rigs of a pool differ on a rule, and which value is used.
    """

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
    stricter: tuple[str, ...] = ()
    factors: Annotated[tuple[tuple[str, Fraction], ...], keys("asked_by factor")] = ()


@dataclass(frozen=True)
class Answer:
    """What every answer about one cache or pool begins with; ``names`` are the parts' short names, by part id."""

    name: str
    title: str
    basis: Basis
    names: Names


@dataclass(frozen=True)
class Packing:
    """How many struts at once, one way to do it, and that no more can be.

    ``assemblies`` are (assembly, how many).  ``ties`` are straps or chains by part id taken into use.
    ``bound`` is the proven most; ``count == bound`` is a proven optimum.
    """

    count: int
    bound: int
    assemblies: Annotated[tuple[tuple[Assembly, int], ...], keys("assembly number")]
    ties: Pieces = ()

    @property
    def proven(self) -> bool:
        """Whether the count is proven to be the most."""
        return self.count == self.bound


@dataclass(frozen=True)
class Binding:
    """What stops the next strut: the single parts, else the pairs, of which one more each would allow it.

    ``tried`` says how many part types were tried; both empty means that neither one part nor two help, unless
    ``untold`` says why it was not worked out.
    """

    singles: tuple[str, ...]
    pairs: Annotated[tuple[tuple[str, str], ...], keys("one other")]
    tried: int
    untold: str = ""

    def more(self, names: Mapping[str, str]) -> tuple[str, ...]:
        """Each choice that would allow the next strut: "1 more a", else "1 more a and 1 more b" or "2 more straps"."""
        if self.singles:
            return tuple(f"1 more {names.get(part, part)}" for part in self.singles)
        pairs = [(names.get(one, one), names.get(two, two)) for one, two in self.pairs]
        return tuple(f"2 more {_plural(a)}" if a == b else f"1 more {a} and 1 more {b}" for a, b in pairs)


_NOUN = re.compile(r"(adapter|base|binder|body|chain|extension|fitting|head|pad|pin|plate|strap)$", re.IGNORECASE)


def _plural(name: str) -> str:
    """The plural of a part's name that ends in a word of the trade; any other name as it is."""
    return name if not _NOUN.search(name) else f"{name[:-1]}ies" if name[-1] in "yY" else f"{name}s"


@dataclass(frozen=True)
class Tally:
    """The struts counted on each step, for one length or range that each must cover.

    A step of None was not asked (no load given, or no rule says what it is), or not worked out in time.
    ``why_zero`` says, per step, why a count is zero where the step below is not.  ``missing_step`` is the step that
    "one missing" starts from, and ``lost`` names the part types (or restraint pieces) whose loss is worst, empty when
    no loss costs a strut.  ``contact`` is what heads were asked to be listed for.  ``angle_deg`` is how steep they
    stand (None: not said), ``vertical`` the upright load of each at ``height``, where that is what was asked; ``load``
    is then what plane statics makes of it along the strut.
    """

    label: str
    shortest: Nm
    longest: Nm
    wanted: int | None
    load: Newtons | None
    factor: Fraction | None
    counts: Annotated[tuple[tuple[Step, int | None], ...], keys("step count")]
    why_zero: Annotated[tuple[tuple[Step, str], ...], keys("step why")]
    missing_step: Step
    lost: tuple[str, ...]
    best: Packing
    binding: Binding
    asked_step: Step
    links: tuple[Link, ...] = ()
    missing: Link | None = None
    contact: str | None = None
    angle_deg: Fraction | None = None
    height: Nm | None = None
    vertical: Newtons | None = None

    @property
    def verdict(self) -> Verdict | None:
        """The verdict on a need; None where nothing was wanted."""
        return worst(self.links) if self.wanted is not None else None

    @property
    def met(self) -> bool | None:
        """Whether a need is met for certain; None where nothing was wanted."""
        return None if self.wanted is None else self.verdict == "met"

    def count(self, step: Step) -> int | None:
        """The count on a step; None where it was not asked."""
        return dict(self.counts)[step]


@dataclass(frozen=True)
class Brought:
    """What one rig of a pool brings to a scene, by part id."""

    rig: str
    pieces: Pieces

    @property
    def number(self) -> int:
        """How many pieces it brings."""
        return sum(n for _, n in self.pieces)


@dataclass(frozen=True)
class SceneAnswer:
    """All needs of one scene at once: how many of the wanted struts are served on the asked steps.

    ``left`` are those still served with any one piece missing before anything is set, and ``lost`` names the part
    types whose loss is worst; None was not worked out.  ``missing`` stands beside a verdict that is met.  ``pins`` are
    those that its struts take, those included that lack something.  ``brings`` is whose pieces the packing takes, rig
    by rig of a pool; empty for one rig.
    """

    scene: str
    title: str
    wanted: int
    served: int
    bound: int
    by_need: Annotated[tuple[tuple[str, int, int], ...], keys("need wanted served")]
    packing: Packing
    binding: Binding
    links: tuple[Link, ...] = ()
    left: int | None = None
    lost: tuple[str, ...] = ()
    missing: Link | None = None
    pins: Pieces = ()
    brings: tuple[Brought, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """The verdict on the whole scene."""
        return worst(self.links)

    @property
    def met(self) -> bool:
        """Whether the whole scene is met for certain."""
        return self.verdict == "met"


@dataclass(frozen=True)
class Stretch:
    """One stretch of a profile: over this span of lengths, this many at once.

    The ends are included where the flags say so: at a breakpoint the count can differ from both sides.
    """

    low: Nm
    high: Nm
    low_included: bool
    high_included: bool
    count: int


@dataclass(frozen=True)
class Profile:
    """How many struts at once by length on one step, exact at every breakpoint, rising in length."""

    step: Step
    stretches: tuple[Stretch, ...]
    proven: bool


MOST_MATCHED = 24
"""Matched sets are worked out up to so many struts: nobody sets more up alike."""


@dataclass(frozen=True)
class MatchedSet:
    """n struts at once: where (spans of lengths), and the n whose common reach is longest.

    ``common`` is the span that this packing covers without rebuilding, None when no n stand at once.
    """

    count: int
    step: Step
    spans: tuple[Span, ...]
    common: Span | None
    packing: Packing | None


@dataclass(frozen=True)
class Reach:
    """The reach of a cache: its legal assemblies, their union, and the blind spots inside it.

    ``assemblies`` is empty when there are more than were asked to be listed; ``count`` is always exact.
    A blind spot's ends are themselves reached (both ends excluded).
    ``by_fitting`` gives the union with one fitting choice fixed.
    """

    count: int
    assemblies: tuple[Assembly, ...]
    union: tuple[Span, ...]
    blind_spots: tuple[Span, ...]
    by_fitting: Annotated[tuple[tuple[str, str, tuple[Span, ...]], ...], keys("serves_as part reach")]


@dataclass(frozen=True)
class Gap:
    """Something of which there may be too little, in figures: "5 bases need 10 straps at two each: 3 short".

    ``binds`` names the needs, scenes or lengths whose next strut one more of it would allow, alone or with another
    part: of that nobody says that there is enough.
    """

    what: str
    have: int
    want: int
    says: str
    rule: str
    binds: tuple[str, ...] = ()

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
        numbers: Counter[str] = Counter()
        for one in self.idle:
            numbers[one.why.text] += one.number
        return tuple(sorted(numbers.items()))


@dataclass(frozen=True)
class CheckResult(Answer):
    """The main job's answer for one cache or one pool; ``untold`` are parts that were not worked out, and why.

    ``losses`` are None where they were not asked for, or are untold.
    """

    parts: tuple[PartLine, ...]
    tallies: tuple[Tally, ...]
    scenes: tuple[SceneAnswer, ...]
    reach: Reach
    profiles: tuple[Profile, ...]
    matched: tuple[MatchedSet, ...]
    gaps: tuple[Gap, ...]
    findings: tuple[Finding, ...]
    untold: Annotated[tuple[tuple[str, str], ...], keys("part why")] = ()
    losses: Losses | None = None


@dataclass(frozen=True)
class ReachResult(Answer):
    """The answer of ``reach``: assemblies, union, profiles; and, when a length was asked, its tally.

    ``untold`` are parts that were not worked out, and why.
    """

    reach: Reach
    profiles: tuple[Profile, ...]
    at: Tally | None
    untold: Annotated[tuple[tuple[str, str], ...], keys("part why")] = ()


@dataclass(frozen=True)
class Carries:
    """What a legal stack may be trusted with: its rated load closed and open, and what holds its base.

    A load of None is unrated, and ``unrated`` says why.  ``factor`` is the design factor of both.
    """

    closed: Newtons | None
    open: Newtons | None
    factor: Fraction
    unrated: tuple[str, ...]
    base: Link


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
