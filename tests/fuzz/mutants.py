"""Damage to well-formed input that keeps its structure: trees, tables, and now and then bytes."""

from __future__ import annotations

import contextlib
import copy
import csv
import io
import json
import re
import sqlite3
import zipfile
from pathlib import Path
from random import Random
from typing import Any
from xml.sax.saxutils import escape

from cache_check.files.record_in import START, chained

NUMBERS = (
    0, -1, 1, 2, 7, 10**9, 10**22, -(10**9), 0.5, 1e-6, 1e-300, 1e300, "0", "0.5", "1/2", "1/0", "1/" + "9" * 40,
    "9" * 25, "1e400", "nan", "inf", "10 %", "4:1", "0:1", "1/999999999999 in", "0.000001 deg", "90 deg", "6.25 in",
    "120 mm", "1 nm", "5000 lbf", "5000 psi", "22 kN", "99999999 ft",
)  # fmt: skip
WORDS = (
    "", " ", "unknown", "yes", "no", "off", "on", "none", "true", "~", "x" * 3_000, "a\u2028b", "a\u202eb", "a\x07b",
    "<script>alert(1)</script>", '"\'', "=1+1", "@x", "P/strap", "short-body", "strap", "../../etc/passwd", "/dev/null",
    "{}", "[", "&a *a", "!!python/object:os.system", "édge", "\ud7ff", "2026-02-30", "2026-11-25", "edge", "at rest",
    "all", "EXT-2", "rescue-41",
)  # fmt: skip
TREES: tuple[Any, ...] = (None, True, False, [], {}, [[]], {"a": {"b": 1}}, [1, 2, 3], [None], {"": ""}, [0] * 300)


def value(draw: Random) -> Any:
    """Something that is seldom right, and that may be changed further."""
    return copy.deepcopy(draw.choice(draw.choice((NUMBERS, NUMBERS, WORDS, TREES))))


def _places(tree: Any) -> list[tuple[Any, Any]]:
    """Every place of a tree: what holds it, and its key or number there."""
    found: list[tuple[Any, Any]] = []
    waiting = [tree]
    while waiting:
        one = waiting.pop()
        keys = list(one) if isinstance(one, dict) else list(range(len(one))) if isinstance(one, list) else []
        found += [(one, key) for key in keys]
        waiting += [one[key] for key in keys]
    return found


def tree(one: Any, draw: Random) -> Any:
    """A tree with one to three places changed, in place."""
    for _ in range(draw.choice((1, 1, 1, 2, 3))):
        places = _places(one)
        if not places:
            return value(draw)
        holder, key = draw.choice(places)
        _CHANGES[draw.choice(list(_CHANGES))](holder, key, places, draw)
    return one


def gentle(one: Any, draw: Random) -> Any:
    """A tree with one to four values changed for such as a person may well mean, in place: most of these are read."""
    for _ in range(draw.choice((1, 1, 2, 4))):
        plain = [(holder, key) for holder, key in _places(one) if not isinstance(holder[key], dict | list)]
        if not plain:
            return one
        holder, key = draw.choice(plain)
        like = [other[k] for other, k in plain if k == key or type(other[k]) is type(holder[key])]
        if isinstance(holder, dict) and draw.random() < 0.15:
            del holder[key]
        elif isinstance(holder[key], int) and not isinstance(holder[key], bool):
            holder[key] = draw.choice((0, 1, 2, 3, 8, 40, holder[key] + 1, holder[key] * 2, draw.choice(like)))
        else:
            same = [other[k] for other, k in plain if k == key]
            holder[key] = draw.choice(same if len(same) > 1 else like)
    return one


def _replace(holder: Any, key: Any, _places: Any, draw: Random) -> None:
    holder[key] = value(draw)


def _scale(holder: Any, key: Any, _places: Any, draw: Random) -> None:
    old = holder[key]
    by = draw.choice((0.1, 10, 1000, 1e-6, -1, 0))
    holder[key] = old * by if isinstance(old, int | float) and not isinstance(old, bool) else value(draw)


def _drop(holder: Any, key: Any, _places: Any, _draw: Random) -> None:
    del holder[key]


def _rename(holder: Any, key: Any, _places: Any, draw: Random) -> None:
    old = holder.pop(key)
    if isinstance(holder, dict):
        holder[draw.choice(WORDS) if draw.random() < 0.5 else f"{key}s"] = old
    else:
        holder.insert(0, old)


def _swap(holder: Any, key: Any, places: list[tuple[Any, Any]], draw: Random) -> None:
    other, there = draw.choice(places)
    holder[key] = str(other[there])[:200] if isinstance(other[there], dict | list) else other[there]


def _wrap(holder: Any, key: Any, _places: Any, draw: Random) -> None:
    holder[key] = draw.choice(([holder[key]], {"value": holder[key]}, str(holder[key])))


_CHANGES: dict[str, Any] = {
    "replace": _replace, "again": _replace, "scale": _scale, "drop": _drop, "rename": _rename, "swap": _swap,
    "wrap": _wrap,
}  # fmt: skip


def table(text: str, draw: Random) -> str:
    """CSV with a few cells, rows or columns changed, half the time for cells of its own."""
    rows = list(csv.reader(io.StringIO(text)))
    own = draw.random() < 0.5
    for _ in range(draw.choice((1, 2, 4))):
        row = draw.choice(rows)
        how = draw.random()
        if own and row:
            row[draw.randrange(len(row))] = draw.choice((*draw.choice(rows), "", "0", "1", "yes", "no"))
            continue
        if how < 0.6 and row:
            row[draw.randrange(len(row))] = str(value(draw))
        elif how < 0.75:
            rows.insert(draw.randrange(len(rows)), list(draw.choice(rows)))
        elif how < 0.9 and len(rows) > 1:
            rows.remove(row)
        else:
            row.append(str(value(draw)))
    made = io.StringIO()
    csv.writer(made).writerows(rows)
    return made.getvalue()


_CELL = re.compile(rb'<c r="[A-Z]+[0-9]+"[^>]*?(?:/>|>.*?</c>)', re.DOTALL)


def workbook(data: bytes, draw: Random) -> bytes:
    """A workbook with a few cells of one or two sheets changed, in the XML that it is."""
    with zipfile.ZipFile(io.BytesIO(data)) as whole:
        files = {name: whole.read(name) for name in whole.namelist()}
    sheets = [name for name in files if name.startswith("xl/worksheets/sheet")]
    for _ in range(draw.choice((1, 2, 5))):
        name = draw.choice(sheets)
        cells = list(_CELL.finditer(files[name]))
        if cells:
            old = draw.choice(cells)
            files[name] = files[name][: old.start()] + _cell(old[0], draw) + files[name][old.end() :]
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as new:
        for name, text in files.items():
            new.writestr(name, text)
    return made.getvalue()


def _cell(old: bytes, draw: Random) -> bytes:
    """A cell at the place of another, with something that is seldom right in it."""
    place = old[: old.index(b'"', 6) + 1]
    said = draw.choice((str(value(draw)), str(value(draw)), "0", "-1", "0.5", "1e300"))
    text = escape(said).encode("utf-8", "surrogatepass")
    return draw.choice((
        place + b' t="inlineStr"><is><t>' + text + b"</t></is></c>", place + b"><v>" + text + b"</v></c>",
        place + b' t="' + draw.choice((b"b", b"e", b"d", b"s", b"x")) + b'"><v>' + text + b"</v></c>",
        place + b"><f>" + text + b"</f></c>", place + b"/>",
    ))  # fmt: skip


def record(data: bytes, draw: Random, room: Path) -> bytes:
    """A record of audits with one entry or the table changed behind its guards, at times with hashes that agree."""
    room.write_bytes(data)
    with contextlib.closing(sqlite3.connect(room, isolation_level=None)) as connection:
        if draw.random() < 0.9:
            for (guard,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
                connection.execute(f'DROP TRIGGER "{guard}"')
        with contextlib.suppress(sqlite3.Error, UnicodeError, OverflowError):
            draw.choice((_entry_changed, _entry_changed, _entry_changed, _table_changed))(connection, draw)
    made = room.read_bytes()
    room.unlink()
    return made


def _entry_changed(connection: sqlite3.Connection, draw: Random) -> None:
    """One entry's text changed as a tree, and half the time every hash made anew."""
    rows = connection.execute("SELECT number, body, hash FROM entry ORDER BY number").fetchall()
    at = draw.randrange(len(rows))
    rows[at] = (rows[at][0], json.dumps(tree(json.loads(rows[at][1]), draw)), rows[at][2])
    before, again = START, draw.random() < 0.5
    for number, body, old in rows:
        before = chained(before, body) if again else old
        connection.execute("UPDATE entry SET body = ?, hash = ? WHERE number = ?", (body, before, number))


def _table_changed(connection: sqlite3.Connection, draw: Random) -> None:
    odd = draw.choice((*NUMBERS, *WORDS))
    connection.execute(*draw.choice((
        ("DELETE FROM entry WHERE number = ?", (draw.randint(1, 2),)), ("DELETE FROM entry", ()),
        ("UPDATE entry SET number = ? WHERE number = 2", (odd,)), ("UPDATE entry SET hash = ?", (odd,)),
        ("UPDATE entry SET body = ? WHERE number = 1", (odd,)), ("DROP TABLE entry", ()),
        ("UPDATE entry SET body = CAST(? AS BLOB)", (str(odd),)), ("ALTER TABLE entry RENAME TO entries", ()),
        ("ALTER TABLE entry ADD COLUMN more", ()), ("PRAGMA application_id = 7", ()), ("CREATE VIEW v AS SELECT 1", ()),
    )))  # fmt: skip


def raw(data: bytes, draw: Random) -> bytes:
    """Bytes cut, turned, doubled, or of another encoding."""
    at = draw.randrange(len(data) + 1)
    how = draw.randrange(6)
    if how == 0:
        return data[:at]
    if how == 1:
        return data[:at] + bytes(draw.randrange(256) for _ in range(draw.choice((1, 4)))) + data[at + 1 :]
    if how == 2:
        return data[:at] + data[at : at + 40] * draw.choice((2, 50)) + data[at:]
    if how == 3:
        return (
            data[:at] + draw.choice((b"\x00", b"\xff\xfe", b"\xef\xbb\xbf", b"\r", b"\t", b"- - - ", b"{[")) + data[at:]
        )
    if how == 4:
        return data.decode("utf-8", "replace").encode("utf-16")
    return data.replace(b"\n", b"\r", draw.choice((1, -1)))
