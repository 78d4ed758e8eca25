"""What a record of audits holds, and what changed from one audit to the next."""

from fractions import Fraction
from functools import cached_property
from typing import Annotated

from cache_check.frozen import dataclass
from cache_check.model.count import OF_LOT
from cache_check.model.rule import SEVERITIES, Limit, Severity
from cache_check.model.told import UNTOLD, keys

NEEDS, WHOLE = "needs", "the whole count"
"""In place of a column: a finding on what was asked of the rig, or one that no single line shows, whatever it names."""


@dataclass(frozen=True)
class KeptFinding:
    """A finding as it was kept."""

    key: Annotated[str, "the same for the same thing found again"]
    rule: str
    severity: Severity
    part: str
    serial: str
    where: str
    what: str
    column: Annotated[str, "of a count sheet, shows it gone; empty: any look does; ``NEEDS``, ``WHOLE``: none"] = ""

    @property
    def piece(self) -> Annotated[tuple[str, str, bool], UNTOLD]:
        """The part and serial of what it is about, and whether no single line shows it."""
        return self.part, self.serial, self.column in (NEEDS, WHOLE)


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
    """One entry: an audit, or a correction of the entry ``corrects``."""

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
    sound: Annotated[bool, "whether its hash follows from the entry before it and from what it says"]
    counted: Annotated[bool, "not so in what older versions kept"] = False
    seen: Annotated[tuple[tuple[str, str, tuple[str, ...]], ...], keys("part serial columns"), "lines looked at"] = ()
    blank: Annotated[tuple[tuple[str, str], ...], keys("part serial"), "lines not looked at, or not wholly"] = ()
    rules_off: Annotated[tuple[str, ...], "ids of the rules that were switched off; older versions kept none"] = ()
    limits: Annotated[tuple[Limit, ...], UNTOLD] = ()  # what all rules and needs asked; unknown in older versions

    def _graver(self, finding: KeptFinding) -> set[str]:
        grave = SEVERITIES[: SEVERITIES.index(finding.severity)] if finding.column == NEEDS else ()
        return {one.key for one in self.findings if one.column == NEEDS and one.severity in grave}

    @cached_property
    def _asked(self) -> dict[tuple[str, str, str], Fraction]:
        return {(rule, family, what): Fraction(*strictly) for rule, family, what, *strictly in self.limits}

    def _as_strictly(self, before: "Entry", rules: set[str]) -> bool:
        """Whether no less strictly is asked than in an audit before, by these rules, or if none by any or a need."""
        # A rule that was unknown then asked nothing; what a family no longer sets is as for one that sets nothing.
        known = {rule for rule, _, _ in before._asked}

        def looser(rule: str, family: str, what: str) -> bool:
            own, plain = (rule, family, what), (rule, "", what)
            now, then = (asked.get(own, asked.get(plain, 0)) for asked in (self._asked, before._asked))
            return rule in known and rule in (rules or known) and now < then

        return bool(self._asked and known) and not any(looser(*one) for one in {*self._asked, *before._asked})

    def looked_at(self, finding: KeptFinding, found_by: "Entry") -> bool:
        """Whether this audit looked where a finding of an earlier one would show again, and asked as much."""
        whole = not finding.part or finding.column in (NEEDS, WHOLE)
        mine, now = ({one for one in entry.findings if one.piece == finding.piece} for entry in (found_by, self))
        # For what no single line shows that is as much by any rule and need.
        if not self.counted or not self._as_strictly(found_by, set() if whole else {one.rule for one in mine}):
            return False
        if whole:
            # A need that is no longer met at all is not asked with one missing.
            return not self.blank and not self._graver(finding) - found_by._graver(finding)
        serial = "" if finding.serial.startswith(OF_LOT) else finding.serial  # a piece of a lot has the lot's line
        # A piece is told by its gravest reason: a new one may hide what is still the matter.
        if finding.column and any(one.column and one.key not in {was.key for was in mine} for one in now):
            return False
        named = [one for one in self.blank if one[0] == finding.part and serial in (one[1], "")]
        lines = [columns for part, of, columns in self.seen if (part, of) == (finding.part, serial)]
        if not named and not lines and serial:  # no longer on the book
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
    """What changed on one rig from its audit before (None: there is none) to its last, by their days."""

    rig: str
    earlier: int | None
    later: int
    open: tuple[Again, ...]
    repeated: tuple[Again, ...]
    new: tuple[Again, ...]
    gone: Annotated[tuple[KeptFinding, ...], "found before: the last audit looked and did not find it"]
    unseen: Annotated[tuple[Again, ...], "found before: nobody has looked since"]
    rebooked: Annotated[bool, "whether the two audits were not of the same book"]
    struts: Annotated[tuple[tuple[KeptStruts, int | None], ...], keys("struts audit_before")]
    """The struts of the last audit, each with what it was today in the audit before."""


@dataclass(frozen=True)
class Receipt:
    """A receipt that was given to compare, the entry that has it (None: none has), and whether all up to it agrees."""

    given: str
    entry: int | None
    agrees: bool


@dataclass(frozen=True)
class History:
    """A record as far as it could be read.

    No ``faults``: guards, numbers and hashes agree, which is not to say that nothing was changed, since only a receipt
    from outside can show a chain that was written anew.
    """

    path: str
    entries: tuple[Entry, ...]
    faults: tuple[str, ...]
    receipts: tuple[Receipt, ...] = ()
    since: tuple[Since, ...] = ()
    late: Annotated[tuple[int, ...], "audits kept after one of a later day"] = ()
    corrected: Annotated[tuple[int, ...], "audits that a correction takes back: they do not count"] = ()
