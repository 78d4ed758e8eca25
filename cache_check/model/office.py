"""What the office page shows: what to buy, what each part's loss costs, and several rigs side by side."""

from __future__ import annotations

from cache_check.frozen import dataclass
from cache_check.model.purchase import BuyResult, County
from cache_check.model.result import Answer
from cache_check.model.served import NeedAsked


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

    scenes: tuple[tuple[str, str, int], ...]
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


@dataclass(frozen=True)
class Side:
    """Several rigs side by side, the moves between them, and all as one pool.

    ``together`` is by scene and need, empty where the pool's answer is ``unproven``: why, in a sentence.
    """

    county: County
    together: tuple[tuple[int, ...], ...]
    unproven: str = ""


@dataclass(frozen=True)
class OfficeResult(Answer):
    """The facts of one rig's office page.  What is None was not proven in time; its sentence says why."""

    asks: tuple[NeedAsked, ...]
    bought: BuyResult | None
    losses: Losses | None
    side: Side | None
    unbought: str = ""
    unlost: str = ""
    unsided: str = ""
