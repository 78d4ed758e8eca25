"""What a record of audits holds, and what changed from one audit to the next."""

from typing import Annotated

from cache_check.frozen import dataclass
from cache_check.model.rule import SEVERITIES, Severity
from cache_check.model.told import UNTOLD, keys

NEEDS = "needs"
"""In place of a column: a finding on what was asked of the rig, whichever part it names."""


@dataclass(frozen=True)
class KeptFinding:
    """A finding as it was kept.  ``key`` is the same for the same thing found again.

    ``column`` is the column of the count sheet that must be filled in before it can be called gone; empty where it is
    enough that the line was looked at, ``NEEDS`` where it is what was asked of the rig.
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
    ``rules_off`` are ids of the rules that were switched off.
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
    rules_off: tuple[str, ...] = ()

    def _graver(self, finding: KeptFinding) -> set[str]:
        """The keys of findings on needs that are graver than one on a need."""
        grave = SEVERITIES[: SEVERITIES.index(finding.severity)] if finding.column == NEEDS else ()
        return {one.key for one in self.findings if one.column == NEEDS and one.severity in grave}

    @property
    def asked(self) -> Annotated[set[str], UNTOLD]:
        """The needs that were asked of the rig, by their labels."""
        return {one.label for one in self.struts if one.wanted is not None}

    def looked_at(self, finding: KeptFinding, found_by: "Entry") -> bool:
        """Whether this audit looked where a finding of an earlier one would show again.

        For what no single line shows it must have asked as much, under the same rules, as the audit that found it; a
        need that is no longer met at all is not asked with one missing.
        """
        if not self.counted or finding.rule in self.rules_off:
            return False
        if not finding.part or finding.column == NEEDS:
            asked = found_by.asked <= self.asked and set(self.rules_off) <= set(found_by.rules_off)
            return asked and not self.blank and not self._graver(finding) - found_by._graver(finding)
        named = [one for one in self.blank if one[0] == finding.part and finding.serial in (one[1], "")]
        lines = [columns for part, serial, columns in self.seen if (part, serial) == (finding.part, finding.serial)]
        if not named and not lines and finding.serial:  # no longer on the book
            return all(part != finding.part for part, _ in self.blank)
        return not named and all(not finding.column or finding.column in columns for columns in lines)


@dataclass(frozen=True)
class Again:
    """A finding, the day it was first found without a break, on how many days in a row, and by which audit last."""

    finding: KeptFinding
    since: str
    times: int
    last: Annotated[Entry, UNTOLD]


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
