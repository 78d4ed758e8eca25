"""The record of audits: keep one, correct one, and say what changed since."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from functools import reduce
from pathlib import Path
from sqlite3 import Connection

from cache_check.errors import AskError
from cache_check.files.record import audit_entry, keep, kept_findings
from cache_check.files.record_in import read_record, refuse_no_file
from cache_check.model.audit import AuditResult, Kept
from cache_check.model.history import Again, Entry, History, Since


def keep_audit(result: AuditResult, path: Path) -> AuditResult:
    """Keep an audit in a record; the answer says as which entry, and on how many days in a row each finding was met.

    Raises InputError: the record is not sound, or cannot be read or written.
    """
    entries: tuple[Entry, ...] = read_record(path).entries if path.exists() else ()
    earlier = _days(one for one in _valid(entries) if one.rig == result.name and one.on < result.basis.on.isoformat())
    before = reduce(_after, earlier, dict[str, Again]())
    times = (1 + before[one.key].times if one.key in before else 1 for one in kept_findings(result))
    findings = tuple(replace(one, times=n) for one, n in zip(result.findings, times, strict=True))
    return replace(result, findings=findings, kept=keep(path, audit_entry(result)))


def correct(path: Path, number: int, says: str, by: str, on: date | None = None) -> Kept:
    """Add a correction of an entry; the entry itself stays as it is, and no longer counts.

    Raises AskError: there is no such entry, or nothing is said; InputError: the record is not sound, or cannot be read
    or written.
    """
    if not says.strip() or not by.strip():
        raise AskError("a correction says what is wrong, and who says so")
    refuse_no_file(path)

    def there(connection: Connection) -> None:
        if connection.execute("SELECT 1 FROM entry WHERE number = ?", (number,)).fetchone() is None:
            raise AskError(f"there is no entry {number} in {path}")

    day = (on or date.today()).isoformat()
    entry = {"kind": "correction", "corrects": number, "says": says.strip(), "by": by.strip(), "on": day}
    return keep(path, entry, there)


def history(path: Path, rig: str | None = None, receipts: Sequence[str] = ()) -> History:
    """A record, and what changed on each rig (or on ``rig`` alone) from its audit before to its last.

    ``receipts`` are hashes that were told when entries were kept, to compare.

    Raises AskError: no entry is of the rig asked for, or a receipt is none; InputError: nothing in the file can be read
    as a record.
    """
    found = read_record(path, receipts)
    audits = [entry for entry in found.entries if entry.kind == "audit"]
    valid = _valid(found.entries)
    rigs = list(dict.fromkeys(entry.rig for entry in audits))
    if rig is not None:
        if rig not in rigs:
            raise AskError(f"no audit of {rig!r} is in {path}; there are {', '.join(rigs) or 'none'}")
        rigs = [rig]
        numbers = {entry.number for entry in audits if entry.rig == rig}
        found = replace(found, entries=tuple(e for e in found.entries if e.number in numbers or e.corrects in numbers))
    days = {one: _days(entry for entry in valid if entry.rig == one) for one in rigs}
    since = tuple(_since(audited) for audited in days.values() if audited)
    corrected = tuple(one.number for one in audits if one not in valid)
    return replace(found, since=since, late=tuple(_late(valid)), corrected=corrected)


def _valid(entries: Sequence[Entry]) -> list[Entry]:
    corrected = {entry.corrects for entry in entries}
    return [entry for entry in entries if entry.kind == "audit" and entry.number not in corrected]


def _late(audits: Sequence[Entry]) -> Iterable[int]:
    """The audits kept after one of a later day of the same rig."""
    last: dict[str, str] = {}
    for entry in audits:
        if entry.on < last.get(entry.rig, ""):
            yield entry.number
        last[entry.rig] = max(entry.on, last.get(entry.rig, ""))


def _days(audits: Iterable[Entry]) -> list[Entry]:
    return [entry for _, entry in sorted({entry.on: entry for entry in audits}.items())]


def _after(before: dict[str, Again], entry: Entry) -> dict[str, Again]:
    """What is open after an audit of a later day, by key, on how many days in a row; what it did not look at stays."""
    found = [(one, before.get(one.key, Again(one, entry.on, 0, entry))) for one in entry.findings]
    now = {one.key: Again(one, was.since, 1 + was.times, entry) for one, was in found}
    return now | {key: one for key, one in before.items() if not (key in now or entry.looked_at(one.finding, one.last))}


def _since(days: Sequence[Entry]) -> Since:
    before = reduce(_after, days[:-1], dict[str, Again]())
    last, earlier = days[-1], days[-2] if len(days) > 1 else None
    after = _after(before, last)
    found = {one.key: after[one.key] for one in last.findings}
    was = {one.label: one.today for one in earlier.struts} if earlier else {}
    return Since(
        rig=last.rig, earlier=earlier.number if earlier else None, later=last.number, open=tuple(found.values()),
        repeated=tuple(one for one in found.values() if one.times > 1),
        new=tuple(one for key, one in found.items() if earlier is not None and key not in before),
        gone=tuple(one.finding for key, one in before.items() if key not in after),
        unseen=tuple(one for key, one in after.items() if key not in found),
        rebooked=earlier is not None and earlier.book != last.book,
        struts=tuple((one, was.get(one.label)) for one in last.struts),
    )  # fmt: skip
