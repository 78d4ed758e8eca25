"""What is counted: steps, packings, the tally of one length, whole scenes, and what the loss of parts costs them."""

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


def _plural(name: str) -> str:
    """The plural of a part's name that ends in a word of the trade; any other name as it is."""
    return name if not re.search(_NOUN, name) else f"{name[:-1]}ies" if name[-1] in "yY" else f"{name}s"


@dataclass(frozen=True)
class Tally:
    """The struts counted on each step, for one length or range that each must cover.

    A step of None was not asked (no load given, or no rule says what it is), or not worked out in time.  ``why_zero``
    says, per step, why a count is zero where the step below is not.  ``asked_step`` is the step of ``best``, which "one
    missing" starts from; ``lost`` names the part types (or restraint pieces) whose loss is worst, empty when no loss
    costs a strut.  ``contact`` is what heads were asked to be listed for.  ``angle_deg`` is how steep they stand (None:
    not said), ``vertical`` the upright load of each at ``height``, where that is what was asked; ``load`` is then what
    plane statics makes of it along the strut.
    """

    label: str
    shortest: Nm
    longest: Nm
    wanted: int | None
    load: Newtons | None
    factor: Fraction | None
    counts: Annotated[tuple[tuple[Step, int | None], ...], keys("step count")]
    why_zero: Annotated[tuple[tuple[Step, str], ...], keys("step why")]
    asked_step: Step
    lost: tuple[str, ...]
    best: Packing
    binding: Binding
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
    brings: tuple[FromRig, ...] = ()

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
    """What a need of a scene asks: so many struts over these lengths (nm), on which step they are counted.

    ``load`` (N) is asked of each strut at ``factor``; both are None where no load is asked.  ``contact`` is what its
    head stands against, None where that is not stated.  ``angle_deg``, ``height`` and ``vertical`` as in ``Tally``.
    """

    scene: str
    title: str
    weight: int
    need: str
    wanted: int
    shortest: Nm
    longest: Nm
    load: Newtons | None
    factor: Fraction | None
    step: Step
    contact: str | None = None
    angle_deg: Fraction | None = None
    height: Nm | None = None
    vertical: Newtons | None = None


@dataclass(frozen=True)
class SceneServed:
    """How far a scene is met: (need, struts wanted, struts served) for each need, and the verdict on all of it.

    A scene may have all its struts and still not be met, where the spares or the loss that it must stand are short,
    or where something about them is not known.  The verdict is the worst of ``links``; ``missing`` stands beside one
    that is met: whether it is still met with any one piece missing.
    """

    scene: str
    title: str
    weight: int
    needs: Annotated[tuple[tuple[str, int, int], ...], keys("need wanted served")]
    verdict: Verdict
    missing: Link | None = None
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
    """Struts served of each scene, in the order of the scenes, when pieces of one part type are gone.

    ``one`` is after any one usable piece is gone (of a base, one with enough attachment points where there is one),
    ``none`` after all of them are.  ``usable`` is how many there are today.
    """

    part: str
    usable: int
    one: tuple[int, ...]
    none: tuple[int, ...]


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
