"""What a piece is on a day: usable, not usable, or not known; why, and what is to be done about it.

Why is a constant, never a text to be matched.  Its remedy fits its cause: nobody is told to inspect what is cracked.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum
from functools import lru_cache
from typing import Annotated, Literal

from cache_check.frozen import dataclass
from cache_check.model.cache import Status
from cache_check.model.told import keys

State = Literal["usable", "not usable", "not known"]
Way = Literal["fetch", "find", "look", "inspect", "mend", "replace"]
"""How a piece comes back; all but "replace" cost nothing but the work."""


class Why(Enum):
    """Why a piece does not count, those that no work brings back first, what is only not known last.

    Last is whether it must bear a tag; what is then left to do is ``once_tagged``.
    """

    RETIRED = "retired", "not usable", "replace", "take it off the book"
    WORN = "worn", "not usable", "replace", "retire it", True
    DAMAGED = "damaged", "not usable", "replace", "retire it", True
    EXPIRED = "expired", "not usable", "replace", "retire it", True
    OVER_AGE = "over age", "not usable", "replace", "retire it", True
    TRAINING = "training", "not usable", "replace", "leave it in training, and take it off the book"
    UNREADABLE = "label unreadable", "not usable", "replace", "have its maker mark it again, or retire it", True
    MISSING = "missing", "not usable", "find", "find it, or take it off the book"
    LOANED = "loaned", "not usable", "fetch", "fetch it back"
    REPAIR = "repair", "not usable", "fetch", "fetch it back from repair, inspected"
    TAGGED = "tagged", "not usable", "mend", "ask who tagged it; mend it and take the tag off, or retire it"
    QUARANTINED = "quarantined", "not usable", "mend", "have it judged; mend it, or tag it and retire it"
    NOTED = "not to be used, as noted", "not usable", "mend", "have what is noted judged; mend it, or retire it"
    POINTS = "attachment points", "not usable", "mend", "tag the bad point; have it mended, or retire the base"
    OVERDUE = "inspection overdue", "not usable", "inspect", "inspect it and write the date"
    GONE = "supposed gone", "not usable", "replace", "it is only supposed gone"
    STATE_UNKNOWN = "state not known", "not known", "look", "look for it and write its state"
    CONDITION_UNKNOWN = "condition not known", "not known", "look", "look at it again, and write its condition plainly"
    WEAR_UNKNOWN = "wear not known", "not known", "look", "ask its maker for the least size of its links"
    POINTS_UNSEEN = (
        "points not looked at", "not known", "look", "look at its attachment points, and write how many are fit",
    )  # fmt: skip
    LABEL_UNSEEN = "label not looked at", "not known", "look", "look whether its label can be read, and write it"
    TO_COME = "date to come", "not known", "look", "look what the day was, and write it right"
    NOT_INSPECTED = "inspection date unknown", "not known", "inspect", "find the day of its inspection, or inspect it"
    AGE_UNKNOWN = "age unknown", "not known", "look", "find the date on its label and write it; retire what has none"

    def __init__(self, text: str, state: State, way: Way, remedy: str, tag: bool = False) -> None:
        self.text, self.once_tagged = text, remedy
        self.state: State = state
        self.way: Way = way
        self.remedy = f"tag it and {remedy}" if tag else remedy

    @property
    def free(self) -> bool:
        """Whether the piece comes back without anything being bought."""
        return self.way != "replace"


BY_STATUS: dict[Status, Why] = {
    "repair": Why.REPAIR, "loaned": Why.LOANED, "missing": Why.MISSING, "training": Why.TRAINING,
    "retired": Why.RETIRED, "quarantined": Why.QUARANTINED, "unknown": Why.STATE_UNKNOWN,
}  # fmt: skip
"""Why a piece in a state that does not count does not."""


@dataclass(frozen=True)
class Reason:
    """One reason: the rule that gives it and what it says, with its figures."""

    why: Why
    rule: str
    says: str
    figures: Annotated[tuple[tuple[str, int | str], ...], keys("name value", by_name=True)] = ()
    counts: Annotated[bool, "something not known of a piece that counts all the same, as the rule is set"] = False
    source: Annotated[str, "the criterion's, where the rule's own is not the one that speaks"] = ""


@dataclass(frozen=True)
class Judged:
    """What a piece is: the reasons that keep it from counting, gravest first, and what is not known of it besides."""

    reasons: tuple[Reason, ...] = ()
    tolerated: tuple[Reason, ...] = ()

    @property
    def usable(self) -> bool:
        """Whether it counts."""
        return not self.reasons

    @property
    def out(self) -> bool:
        """Whether it is known to be out of use, and so is to bear a tag."""
        return any(one.why.state == "not usable" for one in self.reasons)

    @property
    def look(self) -> str:
        """What would tell whether it counts; "" where that is known."""
        return "" if self.usable or self.out else "; ".join(dict.fromkeys(one.why.remedy for one in self.reasons))

    @property
    def says(self) -> str:
        """Every reason in one line; "" for a usable piece."""
        return "; ".join(one.says for one in self.reasons)


@dataclass(frozen=True)
class Idle:
    """Pieces that do not count today, alike in all: one with its serial, or so many of a lot in one state.

    ``status`` is the state that the book gives them.  A base that lost attachment points counts, though not as one
    that can be restrained: its one reason is ``Why.POINTS``.
    """

    part: str
    rig: str
    where: str
    serial: str
    number: int
    status: Status
    reasons: tuple[Reason, ...] = ()

    @property
    def why(self) -> Why:
        """The gravest reason."""
        return self.reasons[0].why

    @property
    def rule(self) -> str:
        """The rule that gives the gravest reason."""
        return self.reasons[0].rule

    @property
    def state(self) -> State:
        """Not usable, or not known."""
        return self.why.state

    @property
    def remedy(self) -> str:
        """What is to be done about the gravest reason, then about the others where that leaves them."""
        if not self.why.free:
            return self.why.once_tagged if any(one.why is Why.TAGGED for one in self.reasons) else self.why.remedy
        whys = dict.fromkeys(one.why for one in self.reasons)
        mends = [why for why in whys if why.way == "mend"]
        # Each of these has a first step of its own, and what is then done once: as the gravest of them says it.
        steps = [why.remedy.split("; ") for why in mends]
        mended = "; ".join([*(first for first, _ in steps), *(end for _, end in steps[:1])])
        return "; ".join(mended if why in mends else why.remedy for why in whys if why not in mends[1:])

    @property
    def free(self) -> bool:
        """Whether they count again without anything being bought."""
        return all(one.why.free for one in self.reasons)


def says_one_of(text: str, phrases: Iterable[str]) -> bool:
    """Whether one of some words or phrases begins at a word of a text, whatever its case and its signs."""
    said = f" {_plain(text)}"
    return bool(text) and any(f" {_plain(phrase)}" in said for phrase in phrases)


@lru_cache(maxsize=4096)
def _plain(text: str) -> str:
    """Words alone, apart by single spaces: "don't use!" is "dont use".  Kept: rules name the same for every piece."""
    kept = "".join(sign if sign.isalnum() else "" if sign in "'’" else " " for sign in text.casefold())
    return " ".join(kept.split())
