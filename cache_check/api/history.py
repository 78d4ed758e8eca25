"""The record of audits: keep one, correct one, and say what changed since."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from cache_check.errors import AskError
from cache_check.model.audit import AuditResult, Kept
from cache_check.model.history import Again, Entry, History, KeptFinding, Since

if TYPE_CHECKING:
    import sqlite3


def keep_audit(result: AuditResult, path: Path) -> AuditResult:
    """Keep an audit in a record; the answer says as which entry, and how often each finding was met in a row.

    Raises:
        InputError: the record cannot be read or written.
    """
    from cache_check.files.record import audit_entry, keep, kept_findings
    from cache_check.files.record_in import read_record

    before: tuple[Entry, ...] = read_record(path).entries if path.exists() and path.stat().st_size else ()
    mine = [entry for entry in before if entry.kind == "audit" and entry.rig == result.name]
    findings = tuple(
        replace(one, times=1 + _in_a_row(kept.key, mine))
        for one, kept in zip(result.findings, kept_findings(result), strict=True)
    )
    return replace(result, findings=findings, kept=keep(path, audit_entry(result)))


def correct(path: Path, number: int, says: str, by: str, on: date | None = None) -> Kept:
    """Add a correction of an entry; the entry itself stays as it is.

    Raises:
        AskError: there is no such entry, or nothing is said.
        InputError: the record cannot be read or written.
    """
    from cache_check.files.record import correction_entry, keep, refuse

    if not says.strip() or not by.strip():
        raise AskError("a correction says what is wrong, and who says so")
    if not path.is_file():
        raise refuse(path, "there is no such record", "cache-check audit --record makes one")

    def there(connection: sqlite3.Connection) -> None:
        if connection.execute("SELECT 1 FROM entry WHERE number = ?", (number,)).fetchone() is None:
            raise AskError(f"there is no entry {number} in {path}")

    entry = correction_entry(number, says.strip(), by.strip(), (on or date.today()).isoformat())
    return keep(path, entry, there)


def history(path: Path, rig: str | None = None) -> History:
    """A record, and what changed on each rig from its audit before to its last.

    Raises:
        AskError: no entry is of the rig asked for.
        InputError: nothing in the file can be read as a record.
    """
    from cache_check.files.record_in import read_record

    found = read_record(path)
    audits = [entry for entry in found.entries if entry.kind == "audit"]
    rigs = list(dict.fromkeys(entry.rig for entry in audits))
    if rig is not None:
        if rig not in rigs:
            raise AskError(f"no audit of {rig!r} is in {path}; there are {', '.join(rigs) or 'none'}")
        rigs = [rig]
        numbers = {entry.number for entry in audits if entry.rig == rig}
        entries = tuple(e for e in found.entries if e.number in numbers or e.corrects in numbers)
        found = replace(found, entries=entries)
    return replace(found, since=tuple(_since([e for e in audits if e.rig == one]) for one in rigs))


def _since(audits: list[Entry]) -> Since:
    last = audits[-1]
    earlier = audits[-2] if len(audits) > 1 else None
    now = tuple(_again(audits))
    had = {finding.key for finding in earlier.findings} if earlier else set()
    keys = {finding.key for finding in last.findings}
    was = {one.label: one.today for one in earlier.struts} if earlier else {}
    return Since(
        rig=last.rig,
        earlier=earlier.number if earlier else None,
        later=last.number,
        open=now,
        repeated=tuple(one for one in now if one.times > 1),
        new=tuple(one for one in now if earlier is not None and one.finding.key not in had),
        gone=tuple(one for one in earlier.findings if one.key not in keys) if earlier else (),
        struts=tuple((one, was.get(one.label)) for one in last.struts),
    )


def _again(audits: list[Entry]) -> Iterator[Again]:
    """The findings of the last audit, each with since when it is open."""
    for finding in audits[-1].findings:
        times = 1 + _in_a_row(finding.key, audits[:-1])
        yield Again(finding, audits[-times].on, times)


def _in_a_row(key: str, audits: list[Entry]) -> int:
    """In how many of the last audits, without a break, something was found."""
    times = 0
    for entry in reversed(audits):
        if all(one.key != key for one in entry.findings):
            break
        times += 1
    return times


__all__ = ["KeptFinding", "correct", "history", "keep_audit"]
