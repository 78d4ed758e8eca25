"""Adds to the record of audits: an SQLite file to which entries are only ever added, each chained to the one before.

An entry is one row: a JSON text, and the SHA-256 of the hash before it with that text.  It is written in one
transaction that holds the write lock from its first step, so that a process killed at any moment leaves either
the whole entry or nothing, and two writers take turns.  Triggers refuse changes; somebody who goes around them
breaks the chain, and to a record that is not sound nothing is added.  A new record is made without a name, with
its first entry in it, and then takes its own: no empty file is ever left that could be taken for a record.
"""

import json
import os
import sqlite3
from collections.abc import Callable
from contextlib import closing, suppress
from dataclasses import asdict
from functools import partial
from pathlib import Path
from typing import Any

from cache_check.errors import refused
from cache_check.files import record_in
from cache_check.model.audit import AuditResult, Kept
from cache_check.model.finding import Finding
from cache_check.model.history import KeptFinding, KeptStruts

_WAIT_S = 30.0
_Check = Callable[[sqlite3.Connection], None]
_open_to_write: Callable[[Path], sqlite3.Connection] = partial(sqlite3.connect, timeout=_WAIT_S, isolation_level=None)


def keep(path: Path, entry: dict[str, Any], check: _Check | None = None) -> Kept:
    """Add an entry of plain data to a record, made where there is none; when this returns it is on the disk.

    ``check`` is asked within the transaction, with the record open, whether it may be added.  InputError where the
    file is no record, is not sound, cannot be written, or is held by another writer too long.
    """
    try:
        return _kept(path, entry, check) if path.exists() else _begun(path, entry, check)
    except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
        raise refused(path, *_said(error)) from None
    except OSError as error:
        raise refused(path, f"cannot be written: {error.strerror or error}") from None


def _begun(path: Path, entry: dict[str, Any], check: _Check | None) -> Kept:
    """A new record with its first entry; where another writer was quicker, the entry is added to theirs."""
    with closing(_open_to_write(Path(":memory:"))) as connection:
        connection.execute("BEGIN IMMEDIATE")
        connection.execute(f"PRAGMA application_id = {record_in.APPLICATION}")
        for statement in (record_in.TABLE, *record_in.GUARDS.values()):
            connection.execute(statement)
        kept = _added(connection, path, entry)
        whole = connection.serialize()
    try:
        _put(path, whole)
    except FileExistsError:
        return _kept(path, entry, check)
    with suppress(OSError):  # the new file's name on the disk too, where the system lets one ask for it
        handle = os.open(path.parent, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
    return kept


def _put(path: Path, whole: bytes) -> None:
    """A new file, on the disk before it takes its name; it has no other, so a kill leaves nothing behind."""
    name: Path | None = None
    try:
        handle = os.open(path.parent, os.O_TMPFILE | os.O_RDWR, 0o644)
    except (AttributeError, OSError):  # no such files here: a hidden one, gone again unless the process is killed
        name = path.parent / f".{path.name[:50]}.{os.getpid()}"
        handle = os.open(name, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o644)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(whole)
            file.flush()
            os.fsync(handle)
            # Only with a folder beside it is the link to the open file followed; a whole path needs none.
            os.link(name or f"/proc/self/fd/{handle}", path, src_dir_fd=handle)
    finally:
        if name:
            name.unlink()


def _kept(path: Path, entry: dict[str, Any], check: _Check | None) -> Kept:
    record_in.refuse_no_file(path)
    with closing(_open_to_write(path)) as connection:
        connection.execute("PRAGMA synchronous = EXTRA")
        connection.execute("BEGIN IMMEDIATE")
        if not record_in.own(connection):
            raise refused(path, "is a database, and not a record of audits", "name another file")
        _, faults = record_in.checked(connection)
        if faults:
            raise refused(path, f"is not sound, so nothing was added: {'; '.join(faults[:3])}",
                          "look at it with cache-check history, keep it as it is, and begin another")  # fmt: skip
        if check is not None:
            check(connection)
        return _added(connection, path, entry)


def _added(connection: sqlite3.Connection, path: Path, entry: dict[str, Any]) -> Kept:
    """The entry put last and made lasting; whoever closes the connection before this is through takes all back."""
    row = connection.execute("SELECT number, hash FROM entry ORDER BY number DESC LIMIT 1").fetchone()
    last, before = row or (0, record_in.START)
    body = json.dumps({"entry": last + 1, **entry}, ensure_ascii=True, separators=(",", ":"))
    ending = record_in.chained(before, body)
    connection.execute("INSERT INTO entry (number, body, hash) VALUES (?, ?, ?)", (last + 1, body, ending))
    connection.execute("COMMIT")
    return Kept(str(path), last + 1, ending)


def _said(error: Exception) -> tuple[str, str]:
    # An error that SQLite did not number, or no error of its own, is one of what stands in the file.
    code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_CORRUPT) & 0xFF
    if code in (sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_BUSY):
        return f"is held by another writer for more than {_WAIT_S:.0f} seconds", "try again"
    if code == sqlite3.SQLITE_NOTADB:
        return "is not a record of audits", "name another file"
    if code == sqlite3.SQLITE_CORRUPT:
        return "is damaged; nothing was added", "read what is left with cache-check history, and begin another"
    return f"cannot be written: {error}", ""


def audit_entry(result: AuditResult) -> dict[str, Any]:
    """What is kept of an audit."""
    count, verdict, basis = result.count, result.verdict, result.basis
    struts = (
        KeptStruts(one.label, one.today.asked_step, one.today.wanted, one.book.best.count, one.today.best.count)
        for one in result.compared
    )
    written = (*count.lines, *count.sets) if count else ()
    return {
        "kind": "audit", "rig": result.name, "on": basis.on.isoformat(), "by": count.by if count else "",
        "second": count.second if count else "", "outcome": verdict.outcome, "why": list(verdict.why),
        "book": result.book, "count": count.sha256 if count else "", "rules": basis.rules_version,
        "rules_off": list(basis.rules_off), "counted": count is not None,
        "seen": [list(one) for one in result.looked.seen], "blank": [list(one) for one in result.looked.blank],
        "limits": [list(one) for one in result.limits],
        # The lines of a count as they were filled in: tags, notes and initials with them.
        "lines": [line.model_dump(mode="json", exclude_defaults=True) for line in written],
        "findings": [asdict(kept) for kept in kept_findings(result)], "struts": list(map(asdict, struts)),
    }  # fmt: skip


def kept_findings(result: AuditResult) -> list[KeptFinding]:
    """The findings of an audit as they are kept, each with its key."""
    return [
        KeptFinding(key(one), one.rule, one.severity, one.part, one.serial, one.where, one.what, audited.column)
        for audited in result.findings for one in (audited.finding,)
    ]  # fmt: skip


def key(one: Finding) -> str:
    """The same for the same thing found again, though its figures differ, or what is worst to lose for a need."""
    if one.serial or one.asked:
        return f"{one.rule}|{one.part}|{one.serial}" if one.serial else f"{one.rule}||{one.asked}"
    worded = "".join("#" if letter.isdigit() else letter for letter in one.what)
    return f"{one.rule}|{one.part}|{' '.join(worded.replace('#,#', '#').replace('#.#', '#').split())}"
