"""What the loss of parts costs the scenes."""

from __future__ import annotations

from typing import Annotated

from cache_check.frozen import dataclass
from cache_check.model.told import keys


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
