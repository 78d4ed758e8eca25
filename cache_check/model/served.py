"""What a scene asks, and how far it is met by what there is, or would be."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated

from cache_check.frozen import dataclass
from cache_check.model.result import Step
from cache_check.model.told import Newtons, Nm, keys
from cache_check.model.verdict import Link, Verdict


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
    or where something about them is not known.  ``missing`` stands beside a verdict that is met: whether it is still
    met with any one piece missing.
    """

    scene: str
    title: str
    weight: int
    needs: Annotated[tuple[tuple[str, int, int], ...], keys("need wanted served")]
    verdict: Verdict
    missing: Link | None = None

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
