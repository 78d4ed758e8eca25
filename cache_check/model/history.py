"""What a record of audits holds, and what changed from one audit to the next."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from cache_check.model.rule import Severity
from cache_check.model.told import keys


@dataclass(frozen=True)
class KeptFinding:
    """A finding as it was kept.  ``key`` is the same for the same thing found again."""

    key: str
    rule: str
    severity: Severity
    part: str
    serial: str
    where: str
    what: str


@dataclass(frozen=True)
class KeptStruts:
    """The struts of one need or length on the step asked, by the book and today."""

    label: str
    step: str
    wanted: int | None
    book: int
    today: int


@dataclass(frozen=True)
class Entry:
    """One entry: an audit, or a correction of the entry ``corrects``.

    ``sound`` says whether its hash follows from the entry before it and from what it says.
    """

    number: int
    kind: str
    rig: str
    on: str
    by: str
    second: str
    outcome: str
    book: str
    says: str
    corrects: int | None
    findings: tuple[KeptFinding, ...]
    struts: tuple[KeptStruts, ...]
    hash: str
    sound: bool


@dataclass(frozen=True)
class Again:
    """A finding, the day it was first found without a break, and in how many audits in a row."""

    finding: KeptFinding
    since: str
    times: int


@dataclass(frozen=True)
class Since:
    """What changed on one rig from its audit before (None: there is none) to its last."""

    rig: str
    earlier: int | None
    later: int
    open: tuple[Again, ...]
    repeated: tuple[Again, ...]
    new: tuple[Again, ...]
    gone: tuple[KeptFinding, ...]
    struts: Annotated[tuple[tuple[KeptStruts, int | None], ...], keys("struts audit_before")]
    """The struts of the last audit, each with what it was today in the audit before."""


@dataclass(frozen=True)
class History:
    """A record as far as it could be read.  ``faults`` says what is wrong with it; empty where it is sound."""

    path: str
    entries: tuple[Entry, ...]
    faults: tuple[str, ...]
    since: tuple[Since, ...] = ()
