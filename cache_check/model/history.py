"""What a record of audits holds, and what changed from one audit to the next."""

from typing import Annotated

from cache_check.frozen import dataclass
from cache_check.model.rule import Severity
from cache_check.model.told import keys


@dataclass(frozen=True)
class KeptFinding:
    """A finding as it was kept.  ``key`` is the same for the same thing found again.

    ``column`` is the column of the count sheet that must be filled in before it can be called gone; empty where it is
    enough that the line was looked at.
    """

    key: str
    rule: str
    severity: Severity
    part: str
    serial: str
    where: str
    what: str
    column: str = ""


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

    ``sound`` says whether its hash follows from the entry before it and from what it says.  ``seen`` are the lines
    that were looked at: part, serial (empty for a lot) and the columns filled in.  ``blank`` are the parts and serials
    of lines that were not, or not wholly.  Without a count, and in what older versions kept, ``counted`` is false.
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
    counted: bool = False
    seen: Annotated[tuple[tuple[str, str, tuple[str, ...]], ...], keys("part serial columns")] = ()
    blank: Annotated[tuple[tuple[str, str], ...], keys("part serial")] = ()

    def looked_at(self, finding: KeptFinding) -> bool:
        """Whether this audit looked where a finding of an earlier one would show again."""
        if not self.counted or not finding.part:
            return self.counted and not self.blank
        named = [one for one in self.blank if one[0] == finding.part and finding.serial in (one[1], "")]
        lines = [columns for part, serial, columns in self.seen if (part, serial) == (finding.part, finding.serial)]
        if not named and not lines and finding.serial:  # no longer on the book
            return all(part != finding.part for part, _ in self.blank)
        return not named and all(not finding.column or finding.column in columns for columns in lines)


@dataclass(frozen=True)
class Again:
    """A finding, the day it was first found without a break, and on how many days in a row it was found."""

    finding: KeptFinding
    since: str
    times: int


@dataclass(frozen=True)
class Since:
    """What changed on one rig from its audit before (None: there is none) to its last, by their days.

    ``gone`` was found before, and the last audit looked and did not find it; ``unseen`` was found before, and nobody
    has looked since.
    """

    rig: str
    earlier: int | None
    later: int
    open: tuple[Again, ...]
    repeated: tuple[Again, ...]
    new: tuple[Again, ...]
    gone: tuple[KeptFinding, ...]
    unseen: tuple[Again, ...]
    struts: Annotated[tuple[tuple[KeptStruts, int | None], ...], keys("struts audit_before")]
    """The struts of the last audit, each with what it was today in the audit before."""


@dataclass(frozen=True)
class Receipt:
    """A receipt that was given to compare, and the entry that has it; None where none has."""

    given: str
    entry: int | None


@dataclass(frozen=True)
class History:
    """A record as far as it could be read.

    ``faults`` says what is wrong with it; empty where guards, numbers and hashes agree, which is not to say that
    nothing was changed: only a receipt from outside can show a chain that was written anew.  ``late`` are audits that
    were kept after one of a later day, ``corrected`` those that a correction takes back: they do not count.
    """

    path: str
    entries: tuple[Entry, ...]
    faults: tuple[str, ...]
    receipts: tuple[Receipt, ...] = ()
    since: tuple[Since, ...] = ()
    late: tuple[int, ...] = ()
    corrected: tuple[int, ...] = ()
