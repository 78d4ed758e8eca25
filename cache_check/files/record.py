"""The record of audits: an SQLite file to which entries are only ever added, each chained to the one before.

An entry is one row: a JSON text, and the SHA-256 of the hash before it with that text.  It is written in one
transaction that holds the write lock from its first step, so that a process killed at any moment leaves either
the whole entry or nothing, and two writers take turns.  Triggers refuse changes; somebody who goes around them
breaks the chain.  What nobody can see from the file alone is a chain rewritten whole, or cut at its end with the
counter set back: for that there is the receipt, the hash that was told when an entry was kept.
"""

from __future__ import annotations

import json
import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import asdict
from hashlib import sha256
from pathlib import Path
from typing import Any

from cache_check.errors import InputError, Mistake
from cache_check.model.audit import AuditResult, Kept
from cache_check.model.history import KeptFinding, KeptStruts

APPLICATION = 0x43434B31
MARK = "cache_check_record"
START = sha256(b"cache_check record").hexdigest()
"""The hash that the first entry is chained to."""
_WAIT_S = 30.0
_PAGE_BYTES = 65_536
"""Large, so that an entry lies in one piece and can be salvaged from a damaged file."""
_SCHEMA = (
    "CREATE TABLE IF NOT EXISTS entry "
    "(number INTEGER PRIMARY KEY AUTOINCREMENT, body TEXT NOT NULL, hash TEXT NOT NULL)",
    "CREATE TRIGGER IF NOT EXISTS entry_is_not_changed BEFORE UPDATE ON entry "
    "BEGIN SELECT RAISE(ABORT, 'an entry is never changed; write a correction'); END",
    "CREATE TRIGGER IF NOT EXISTS entry_is_not_deleted BEFORE DELETE ON entry "
    "BEGIN SELECT RAISE(ABORT, 'an entry is never deleted; write a correction'); END",
)
TRIGGERS = ("entry_is_not_changed", "entry_is_not_deleted")


def refuse(path: Path, what: str, right: str = "") -> InputError:
    """A refusal that names the record."""
    return InputError([Mistake(str(path), what, right)])


def chained(before: str, body: str) -> str:
    """The hash of an entry."""
    return sha256(f"{before}\n{body}".encode()).hexdigest()


def keep(path: Path, entry: dict[str, Any], check: Callable[[sqlite3.Connection], None] | None = None) -> Kept:
    """Add an entry; when this returns it is on the disk.

    Args:
        path: the record; made where there is none.
        entry: what to keep, plain data.
        check: asked within the transaction, with the record open, whether the entry may be added.

    Raises:
        InputError: the file is no record, is damaged, cannot be written, or is held by another writer too long.
    """
    new = not path.exists()
    try:
        with closing(_open_to_write(path)) as connection:
            kept = _add(connection, path, entry, check)
    except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
        raise refuse(path, *_said(error)) from None
    if new:
        _sync_folder(path.parent)
    return kept


def _open_to_write(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(path, timeout=_WAIT_S, isolation_level=None)
    connection.execute(f"PRAGMA page_size = {_PAGE_BYTES}")
    connection.execute("PRAGMA synchronous = EXTRA")
    return connection


def _add(
    connection: sqlite3.Connection,
    path: Path,
    entry: dict[str, Any],
    check: Callable[[sqlite3.Connection], None] | None,
) -> Kept:
    connection.execute("BEGIN IMMEDIATE")
    try:
        if not own(connection):
            raise refuse(path, "is a database, and not a record of audits", "name another file")
        connection.execute(f"PRAGMA application_id = {APPLICATION}")
        for statement in _SCHEMA:
            connection.execute(statement)
        if check is not None:
            check(connection)
        number, before = _last(connection)
        body = json.dumps({MARK: 1, "entry": number + 1, **entry}, ensure_ascii=True, separators=(",", ":"))
        ending = chained(before, body)
        connection.execute("INSERT INTO entry (number, body, hash) VALUES (?, ?, ?)", (number + 1, body, ending))
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise
    return Kept(str(path), number + 1, ending)


def own(connection: sqlite3.Connection) -> bool:
    """Whether an open file is a record, or an empty one that may become one."""
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    (tables,) = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    return bool(application == APPLICATION or (application == 0 and tables == 0))


def _last(connection: sqlite3.Connection) -> tuple[int, str]:
    """The number and hash of the last entry; numbers of entries that are gone are not given out again."""
    row = connection.execute("SELECT number, hash FROM entry ORDER BY number DESC LIMIT 1").fetchone()
    number, before = row or (0, START)
    given = connection.execute("SELECT seq FROM sqlite_sequence WHERE name = 'entry'").fetchone()
    return max(number, given[0] if given else 0), before


def _said(error: Exception) -> tuple[str, str]:
    text = str(error) if isinstance(error, sqlite3.Error) else "malformed"
    if "locked" in text or "busy" in text:
        return f"is held by another writer for more than {_WAIT_S:.0f} seconds", "try again"
    if "not a database" in text:
        return "is not a record of audits", "name another file"
    if "malformed" in text or "corrupt" in text:
        return "is damaged; nothing was added", "read what is left with cache-check history, and begin another"
    return f"cannot be written: {text}", ""


def _sync_folder(folder: Path) -> None:
    """Have the new file's name on the disk too, where the system lets one ask for it."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    except OSError:
        pass
    finally:
        os.close(handle)


def audit_entry(result: AuditResult) -> dict[str, Any]:
    """What is kept of an audit."""
    count = result.count
    return {
        "kind": "audit",
        "rig": result.name,
        "on": result.basis.on.isoformat(),
        "by": count.by if count else "",
        "second": count.second if count else "",
        "outcome": result.verdict.outcome,
        "why": list(result.verdict.why),
        "book": result.book,
        "count": count.sha256 if count else "",
        "rules": result.basis.rules_version,
        "findings": [asdict(kept) for kept in kept_findings(result)],
        "struts": [
            asdict(
                KeptStruts(one.label, one.today.asked_step, one.today.wanted, one.book.best.count, one.today.best.count)
            )
            for one in result.compared
        ],
    }


def kept_findings(result: AuditResult) -> list[KeptFinding]:
    """The findings of an audit as they are kept, each with its key."""
    found = [one.finding for one in result.findings]
    return [
        KeptFinding(key(one.rule, one.part, one.serial, one.what), one.rule, one.severity, one.part, one.serial,
                    one.where, one.what)
        for one in found
    ]  # fmt: skip


def key(rule: str, part: str, serial: str, what: str) -> str:
    """The same for the same thing found again, though its figures differ."""
    if serial:
        return f"{rule}|{part}|{serial}"
    worded = "".join("#" if one.isdigit() else one for one in what)
    return f"{rule}|{part}|{' '.join(worded.replace('#,#', '#').replace('#.#', '#').split())}"


def correction_entry(connection_number: int, says: str, by: str, on: str) -> dict[str, Any]:
    """A correction: a new entry that says what is wrong with an earlier one."""
    return {"kind": "correction", "corrects": connection_number, "says": says, "by": by, "on": on}
