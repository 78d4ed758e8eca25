"""What a record of audits is, and how far a file is one: its guards, its numbers and its chain of hashes.

The chain holds no secret.  It shows an entry that was edited, taken out or put elsewhere; it cannot show a chain that
was written anew from its start, or cut at its end with the counter set back.  For that there is the receipt: the hash
that was told, and printed for signing, when an entry was kept.
"""

import json
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing
from hashlib import sha256
from pathlib import Path
from urllib.parse import quote

from pydantic import TypeAdapter

from cache_check.errors import AskError, refused
from cache_check.model.history import Entry, History, Receipt

APPLICATION = 0x43434B31
START = sha256(b"cache_check record").hexdigest()  # the hash that the first entry is chained to
TABLE = "CREATE TABLE entry (number INTEGER PRIMARY KEY AUTOINCREMENT, body TEXT NOT NULL, hash TEXT NOT NULL)"
GUARDS = {
    name: f"CREATE TRIGGER {name} BEFORE {what} ON entry "
    f"BEGIN SELECT RAISE(ABORT, 'an entry is never {done}; write a correction'); END"
    for what, done in (("UPDATE", "changed"), ("DELETE", "deleted"))
    for name in (f"entry_is_not_{done}",)
}
_LEAST_RECEIPT = 12  # letters of a receipt that tell entries apart; so many are shown in the list of entries
_DAMAGE = (sqlite3.DatabaseError, UnicodeDecodeError)
"""What a damaged file leads to; the database names damaged things in its messages, which then are no text."""
_BLANK = {"rig": "", "on": "", "by": "", "second": "", "outcome": "", "book": "", "says": "", "corrects": None,
          "findings": (), "struts": ()}  # fmt: skip
"""What an entry of another kind, or of another version, may not say."""
_ENTRY = TypeAdapter(Entry)
_Row = tuple[int, str, str, bool]  # number, body, hash, and whether that follows from the hash before


def refuse_no_file(path: Path) -> None:
    """InputError of what is no file or empty: a record holds its first entry from the start."""
    if not path.exists():
        raise refused(path, "there is no such record", "cache-check audit --record makes one")
    if not path.is_file():
        raise refused(path, "is not a file", "name the record of audits")
    if not path.stat().st_size:
        what = "is empty: not a record of audits, and if it was one, every entry is gone"
        raise refused(path, what, "look for a copy; to begin another, name a file that is not there")


def chained(before: str, body: str) -> str:
    """The hash of an entry."""
    return sha256(f"{before}\n{body}".encode()).hexdigest()


def read_record(path: Path, receipts: Sequence[str] = ()) -> History:
    """A record, entries in their order; what is wrong with it stands in its faults.

    ``receipts`` are hashes that were told when entries were kept, whole or their first letters; AskError of one that
    is none.  InputError where there is no such file, it is empty, or nothing in it can be read as a record.
    """
    refuse_no_file(path)
    try:
        with closing(_connect(path)) as connection:
            if not own(connection):
                raise refused(path, "is a database of something else, and not a record of audits")
            rows, faults = checked(connection)
    except _DAMAGE as error:
        why = f": {error}" if isinstance(error, sqlite3.Error) else ""
        raise refused(path, f"is not a record of audits, or is damaged{why}", "look for a copy") from None
    if not (entries := tuple(_entries(rows, faults))):
        raise refused(path, f"holds no entry that can be read: {'; '.join(faults[:2]) or 'none was kept'}")
    broken = next((number for number, *_, sound in rows if not sound), rows[-1][0] + 1)
    checks = tuple(_receipt(given, entries, broken) for given in receipts)
    faults += [
        f"no entry has the receipt {one.given}: the entry that it was given for was changed or taken out, "
        "or the whole record was written anew"
        for one in checks if one.entry is None
    ]  # fmt: skip
    return History(str(path), entries, tuple(faults), checks)


def _receipt(given: str, entries: Sequence[Entry], broken: int) -> Receipt:
    written = "".join(given.split()).casefold()
    if len(written) < _LEAST_RECEIPT or set(written) - set("0123456789abcdef"):
        raise AskError(f"{given!r} is not a receipt; write at least its first {_LEAST_RECEIPT} letters and digits")
    number = next((one.number for one in entries if one.hash.startswith(written)), None)
    return Receipt(written, number, number is not None and number < broken)


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


def own(connection: sqlite3.Connection) -> bool:
    """Whether an open file is a record."""
    return bool(connection.execute("PRAGMA application_id").fetchone() == (APPLICATION,))


def checked(connection: sqlite3.Connection) -> tuple[list[_Row], list[str]]:
    """Every row that can be read, and what is wrong: guards, damage, numbers that are gone, hashes that disagree."""
    told = dict(connection.execute("SELECT name, sql FROM sqlite_master"))
    faults = []
    if any(told.get(name) != sql for name, sql in GUARDS.items()):
        faults.append("the guards against changes were taken out of the file, or changed")
    damage = [text for (text,) in connection.execute("PRAGMA integrity_check(5)") if text != "ok"]
    faults += [f"the file is damaged: {text.splitlines()[0]}" for text in damage[:1]]
    if "entry" not in told:
        return [], [*faults, "the list of entries is gone"]
    given_out, rows = _given_out(connection, faults), list(_rows(connection, faults))
    return rows, [*faults, *_broken(rows, given_out)]


def _rows(connection: sqlite3.Connection, faults: list[str]) -> Iterator[_Row]:
    """The entries in their order, up to the first damage."""
    before = START
    try:
        for number, body, ending in connection.execute("SELECT number, body, hash FROM entry ORDER BY number"):
            if isinstance(body, str) and isinstance(ending, str):
                numbered = body.startswith(f'{{"entry":{number},')  # else it is a copy of another
                yield number, body, ending, numbered and chained(before, body) == ending
                before = ending
            else:
                faults.append(f"entry {number} is no text")
    except _DAMAGE:
        faults.append("the list of entries is damaged, and not read beyond the damage")


def _given_out(connection: sqlite3.Connection, faults: list[str]) -> int:
    """The highest number that was ever given to an entry."""
    try:
        row = connection.execute("SELECT seq FROM sqlite_sequence WHERE name = 'entry'").fetchone()
    except _DAMAGE:
        faults.append("the counter of entries is damaged")
        return 0
    return row[0] if row and isinstance(row[0], int) else 0


def _broken(rows: Sequence[_Row], given_out: int) -> Iterator[str]:
    """The runs of numbers that no entry has, and the entries whose hash does not follow from what stands before."""
    expected = 1
    end = max([given_out, 0, *(number for number, *_ in rows)]) + 1
    for number, _, _, sound in (*rows, (end, "", "", True)):
        if number > expected:
            run = f"entry {expected} is" if number == expected + 1 else f"entries {expected} to {number - 1} are"
            yield f"{run} gone, or cannot be read"
        if not sound:
            link = "does not follow from the one before it" if number == expected else "follows a gap"
            yield f"entry {number} {link}: it, or one before it, was changed or is missing"
        expected = number + 1


def _entries(rows: Sequence[_Row], faults: list[str]) -> Iterator[Entry]:
    """The entries as this version knows them.  What only another version says is passed over."""
    for number, body, ending, sound in rows:
        try:
            whole = json.dumps(_BLANK | json.loads(body) | {"number": number, "hash": ending, "sound": sound})
            entry = _ENTRY.validate_json(whole, strict=True)
        except (ValueError, TypeError, RecursionError):
            faults.append(f"entry {number} is not what an entry is")
        else:
            yield entry
