"""What is counted: steps, packings, the tally of one length, whole scenes, and what the loss of parts costs them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Annotated, Literal, get_args

from cache_check.frozen import dataclass
from cache_check.model.assembly import Assembly
from cache_check.model.told import Newtons, Nm, Pieces, keys
from cache_check.model.verdict import Link, Verdict, worst

Step = Literal["on the book", "usable", "buildable", "assembled at once", "restrained", "rated", "one missing"]
STEPS: tuple[Step, ...] = get_args(Step)
_NOUN = r"(?i)(adapter|base|binder|body|chain|extension|fitting|head|pad|pin|plate|strap)$"


@dataclass(frozen=True)
class Packing:
    """How many struts at once, one way to do it, and that no more can be."""

    count: int
    bound: Annotated[int, "the proven most; the count is a proven optimum where it is as many"]
    assemblies: Annotated[tuple[tuple[Assembly, int], ...], keys("assembly number")]
    ties: Annotated[Pieces, "straps or chains taken into use"] = ()

    @property
    def proven(self) -> bool:
        """Whether the count is proven to be the most."""
        return self.count == self.bound


@dataclass(frozen=True)
class Binding:
    """What stops the next strut: the single parts, else the pairs, of which one more each would allow it."""

    singles: tuple[str, ...]
    pairs: Annotated[tuple[tuple[str, str], ...], keys("one other")]
    tried: Annotated[int, "part types that were; if none is named, neither one part nor two help"]
    untold: Annotated[str, "why it was not worked out"] = ""

    def more(self, names: Mapping[str, str]) -> tuple[str, ...]:
        """Each choice that would allow the next strut: "1 more a", else "1 more a and 1 more b" or "2 more straps"."""
        if self.singles:
            return tuple(f"1 more {names.get(part, part)}" for part in self.singles)
        pairs = [(names.get(one, one), names.get(two, two)) for one, two in self.pairs]
        return tuple(f"2 more {_plural(a)}" if a == b else f"1 more {a} and 1 more {b}" for a, b in pairs)


def _plural(name: str) -> str:
    """The plural of a part's name that ends in a word of the trade; any other name as it is."""
    return name if not re.search(_NOUN, name) else f"{name[:-1]}ies" if name[-1] in "yY" else f"{name}s"


@dataclass(frozen=True)
class Tally:
    """The struts counted on each step, for one length or range that each must cover.

    A step of None was not asked (no load given, or no rule says what it is), or not worked out in time.
    """

    label: str
    shortest: Nm
    longest: Nm
    wanted: int | None
    load: Newtons | None
    factor: Fraction | None
    counts: Annotated[tuple[tuple[Step, int | None], ...], keys("step count")]
    why_zero: Annotated[tuple[tuple[Step, str], ...], keys("step why"), "where the step below is not"]
    asked_step: Annotated[Step, 'that of ``best``, which "one missing" starts from']
    lost: Annotated[tuple[str, ...], "part types (or restraint pieces) whose loss is worst; empty: none costs a strut"]
    best: Packing
    binding: Binding
    links: tuple[Link, ...] = ()
    missing: Link | None = None
    contact: Annotated[str | None, "what heads were asked to be listed for"] = None
    angle_deg: Annotated[Fraction | None, "how steep they stand; None: not said"] = None
    height: Nm | None = None
    vertical: Annotated[Newtons | None, "upright, at ``height``, if asked so: statics makes ``load`` of it"] = None

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
class FromRig:
    """What one rig of a pool brings to a scene, by part id."""

    rig: str
    pieces: Pieces

    @property
    def number(self) -> int:
        """How many pieces it brings."""
        return sum(n for _, n in self.pieces)


@dataclass(frozen=True)
class SceneAnswer:
    """All needs of one scene at once: how many of the wanted struts are served on the asked steps."""

    scene: str
    title: str
    wanted: int
    served: int
    bound: int
    by_need: Annotated[tuple[tuple[str, int, int], ...], keys("need wanted served")]
    packing: Packing
    binding: Binding
    links: tuple[Link, ...] = ()
    left: Annotated[int | None, "served if any one piece is missing before any is set; None: not worked out"] = None
    lost: Annotated[tuple[str, ...], "the part types whose loss is worst"] = ()
    missing: Annotated[Link | None, "beside a verdict that is met: whether it is with any one piece missing"] = None
    pins: Annotated[Pieces, "those that its struts take, those included that lack something"] = ()
    brings: Annotated[tuple[FromRig, ...], "whose pieces the packing takes, by rig of a pool; empty for one rig"] = ()

    @property
    def verdict(self) -> Verdict:
        """The verdict on the whole scene."""
        return worst(self.links)

    @property
    def met(self) -> bool:
        """Whether the whole scene is met for certain."""
        return self.verdict == "met"


@dataclass(frozen=True)
class NeedAsked:
    """What a need of a scene asks: so many struts over these lengths (nm), on which step they are counted."""

    scene: str
    title: str
    weight: int
    need: str
    wanted: int
    shortest: Nm
    longest: Nm
    load: Annotated[Newtons | None, "asked of each strut at ``factor``; None: no load is asked"]
    factor: Fraction | None
    step: Step
    contact: Annotated[str | None, "what its head stands against; None: not stated"] = None
    angle_deg: Annotated[Fraction | None, "how steep they stand; None: not said"] = None
    height: Nm | None = None
    vertical: Annotated[Newtons | None, "upright, at ``height``, if asked so: statics makes ``load`` of it"] = None


@dataclass(frozen=True)
class SceneServed:
    """How far a scene is met: (need, struts wanted, struts served) for each need, and the verdict on all of it.

    A scene with all its struts is not met where the spares or the loss that it must stand are short, or not known.
    """

    scene: str
    title: str
    weight: int
    needs: Annotated[tuple[tuple[str, int, int], ...], keys("need wanted served")]
    verdict: Annotated[Verdict, "the worst of ``links``"]
    missing: Annotated[Link | None, "beside a verdict that is met: whether it is with any one piece missing"] = None
    links: tuple[Link, ...] = ()

    @property
    def met(self) -> bool:
        """Whether the whole scene is met for certain."""
        return self.verdict == "met"

    @property
    def wanted(self) -> int:
        """Struts wanted in all."""
        return sum(wanted for _, wanted, _ in self.needs)

    @property
    def served(self) -> int:
        """Struts served in all."""
        return sum(served for _, _, served in self.needs)


@dataclass(frozen=True)
class PartLoss:
    """Struts served of each scene, in the order of the scenes, when pieces of one part type are gone."""

    part: str
    usable: Annotated[int, "how many there are today"]
    one: Annotated[tuple[int, ...], "any one usable piece gone (of a base, if there is, one with enough points)"]
    none: Annotated[tuple[int, ...], "all usable pieces gone"]


@dataclass(frozen=True)
class Losses:
    """What the loss of parts costs, today: by part, and what each scene (id) is ``served`` of what it wants without.

    ``parts`` are those of which there is a usable piece and which some strut takes, costliest first: those whose
    loss lets scenes fail, by their weight, before those that only cost struts.
    """

    scenes: Annotated[tuple[tuple[str, str, int], ...], keys("scene title weight")]
    wanted: tuple[int, ...]
    served: tuple[int, ...]
    parts: tuple[PartLoss, ...]

    def cost(self, left: tuple[int, ...]) -> tuple[int, int]:
        """The weight of the scenes met today and no longer with so much left, and the struts lost, weighted."""
        failed = lost = 0
        for (_, _, weight), wanted, now, then in zip(self.scenes, self.wanted, self.served, left, strict=True):
            lost += weight * (now - then)
            failed += weight * (now >= wanted > then)
        return failed, lost
