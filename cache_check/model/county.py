"""What the county index shows: each rig by itself, side by side, and what falls due."""

from __future__ import annotations

from datetime import date

from cache_check.frozen import dataclass
from cache_check.model.office import Side
from cache_check.model.result import Answer, CheckResult


@dataclass(frozen=True)
class Due:
    """The last day on which usable pieces still count, and what ends it ("inspection", "last day", "age").

    One piece has its serial; so many of a lot have none.
    """

    day: date
    part: str
    serial: str
    what: str
    number: int = 1


@dataclass(frozen=True)
class RigShown(Answer):
    """One rig: what ``check`` answers of it (None: not proven, and ``unproven`` says why), and what falls due.

    ``due`` is every usable piece with a day, the soonest first; ``undated`` is how many pieces on the book have none.
    """

    check: CheckResult | None
    due: tuple[Due, ...]
    undated: int
    unproven: str = ""


@dataclass(frozen=True)
class CountyIndex:
    """Several rigs, in the order of the caches; ``side`` is None where no needs are given, or ``unsided`` says why."""

    rigs: tuple[RigShown, ...]
    side: Side | None
    unsided: str = ""
