"""Damage to well-formed input that keeps its structure: trees, tables, and now and then bytes."""

from __future__ import annotations

import csv
import io
from random import Random
from typing import Any

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
    """Something that is seldom right."""
    return draw.choice(draw.choice((NUMBERS, NUMBERS, WORDS, TREES)))


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
    """CSV with a few cells, rows or columns changed."""
    rows = list(csv.reader(io.StringIO(text)))
    for _ in range(draw.choice((1, 2, 4))):
        row = draw.choice(rows)
        how = draw.random()
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
