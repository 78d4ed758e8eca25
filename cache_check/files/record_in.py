"""Reads a record of audits as far as it can be read, and says everything that is wrong with it."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any
from urllib.parse import quote

from cache_check.files.record import MARK, START, TRIGGERS, chained, own, refuse
from cache_check.model.history import Entry, History, KeptFinding, KeptStruts
from cache_check.model.rule import SEVERITIES

_LARGEST = 500_000_000
_HEX = 64
_DAMAGE = (sqlite3.DatabaseError, UnicodeDecodeError)
"""What a damaged file leads to; the database names damaged things in its messages, which then are no text."""
_Row = tuple[int, str, str]
"""Number, body, hash."""


def read_record(path: Path) -> History:
    """A record, entries in their order; what is wrong with it stands in its faults.

    Raises:
        InputError: there is no such file, or nothing in it can be read as a record.
    """
    if not path.is_file():
        raise refuse(path, "there is no such record", "cache-check audit --record makes one")
    faults: list[str] = []
    try:
        rows = _rows(path, faults)
    except _DAMAGE as error:
        faults.append(f"the file is damaged: {error}" if isinstance(error, sqlite3.Error) else "the file is damaged")
        rows = []
    if faults:
        rows = _with_salvaged(path, rows, faults)
    if not rows and faults:
        raise refuse(path, "is not a record of audits, or nothing in it can be read", "; ".join(faults[:2]))
    return History(str(path), tuple(_entries(rows, faults)), tuple(faults))


def _connect(path: Path) -> sqlite3.Connection:
    """Open to write if that may be, since an interrupted entry is then cleared away; else to read."""
    try:
        return _opened(path, "rw")
    except sqlite3.OperationalError:
        return _opened(path, "ro")


def _opened(path: Path, mode: str) -> sqlite3.Connection:
    name = quote(str(path.resolve()))
    connection = sqlite3.connect(f"file:{name}?mode={mode}", uri=True, timeout=10.0, isolation_level=None)
    connection.text_factory = lambda raw: raw.decode("utf-8", "replace")
    try:
        connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except _DAMAGE:
        connection.close()
        raise
    return connection


def _rows(path: Path, faults: list[str]) -> list[_Row]:
    with closing(_connect(path)) as connection:
        if not own(connection):
            raise sqlite3.DatabaseError("it is a database of something else")
        names = {name for (name,) in connection.execute("SELECT name FROM sqlite_master")}
        if "entry" not in names:
            return []
        gone = [name for name in TRIGGERS if name not in names]
        if gone:
            faults.append("the guards against changes were taken out of the file")
        damage = [text for (text,) in connection.execute("PRAGMA integrity_check(5)") if text != "ok"]
        faults += [f"the file is damaged: {text.splitlines()[0]}" for text in damage[:1]]
        return list(_each(connection, _highest(connection, faults), faults))


def _highest(connection: sqlite3.Connection, faults: list[str]) -> int:
    """The highest number that was ever given out."""
    found = [0]
    for question in ("SELECT max(number) FROM entry", "SELECT seq FROM sqlite_sequence WHERE name = 'entry'"):
        try:
            row = connection.execute(question).fetchone()
        except _DAMAGE:
            faults.append("the list of entries is damaged")
            continue
        found.append(row[0] if row and isinstance(row[0], int) else 0)
    return min(max(found), 1_000_000)


def _each(connection: sqlite3.Connection, last: int, faults: list[str]) -> Iterator[_Row]:
    """Every entry by its number, so that one that cannot be read does not hide the others."""
    for number in range(1, last + 1):
        try:
            row = connection.execute("SELECT body, hash FROM entry WHERE number = ?", (number,)).fetchone()
        except _DAMAGE:
            faults.append(f"entry {number} cannot be read")
            continue
        if row is None:
            faults.append(f"entry {number} is gone")
        elif isinstance(row[0], str) and isinstance(row[1], str):
            yield number, row[0], row[1]
        else:
            faults.append(f"entry {number} is no text")


def _with_salvaged(path: Path, rows: list[_Row], faults: list[str]) -> list[_Row]:
    """The rows, with those that lie whole in the bytes of a damaged file."""
    known = {number: (number, body, ending) for number, body, ending in rows}
    salvaged = 0
    with path.open("rb") as file:
        text = file.read(_LARGEST).decode("latin-1")
    start = text.find(f'{{"{MARK}":1,')
    while start >= 0:
        found = _salvage(text, start)
        if found is not None and found[0] not in known:
            known[found[0]] = found
            salvaged += 1
        start = text.find(f'{{"{MARK}":1,', start + 1)
    if salvaged:
        faults.append(f"{salvaged} entries were read from the bytes of the file; others may be lost")
    return [known[number] for number in sorted(known)]


def _salvage(text: str, start: int) -> _Row | None:
    try:
        data, end = json.JSONDecoder().raw_decode(text, start)
    except (ValueError, RecursionError):
        return None
    ending = text[end : end + _HEX]
    number = data.get("entry")
    if not isinstance(number, int) or len(ending) < _HEX or set(ending) - set("0123456789abcdef"):
        return None
    return number, text[start:end], ending


def _entries(rows: list[_Row], faults: list[str]) -> Iterator[Entry]:
    """The entries, each with whether it follows from the one before."""
    before, expected = START, 1
    for number, body, ending in rows:
        sound = chained(before, body) == ending
        if not sound:
            link = "does not follow from the one before it" if number == expected else "follows a gap"
            faults.append(f"entry {number} {link}: it, or one before it, was changed or is missing")
        before, expected = ending, number + 1
        entry = _entry(number, body, ending, sound=sound)
        if entry is None:
            faults.append(f"entry {number} is not what an entry is")
        else:
            yield entry


def _entry(number: int, body: str, ending: str, *, sound: bool) -> Entry | None:
    try:
        data: Any = json.loads(body)
        corrects = data.get("corrects")
        return Entry(
            number=number,
            kind=str(data["kind"]),
            rig=str(data.get("rig", "")),
            on=str(data.get("on", "")),
            by=str(data.get("by", "")),
            second=str(data.get("second", "")),
            outcome=str(data.get("outcome", "")),
            book=str(data.get("book", "")),
            says=str(data.get("says", "")),
            corrects=int(corrects) if corrects is not None else None,
            findings=tuple(_finding(one) for one in data.get("findings", ())),
            struts=tuple(KeptStruts(**one) for one in data.get("struts", ())),
            hash=ending,
            sound=sound,
        )
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return None


def _finding(one: dict[str, Any]) -> KeptFinding:
    finding = KeptFinding(**one)
    if finding.severity not in SEVERITIES:
        raise ValueError(finding.severity)
    return finding
