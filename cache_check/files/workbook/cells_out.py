"""How a value of plain data is written into a cell, so that ``cells`` reads it back the same."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from cache_check.files.workbook.cells import NOTHING, clean, digits
from cache_check.files.workbook.grid import Raw

_DECIMAL = re.compile(r"-?\d{1,12}(\.\d{1,9})?")


def _written_scalar(value: Any) -> Raw:
    """A value as a number where that is exactly what it says, else as its text."""
    if isinstance(value, bool):
        return "on" if value else "off"
    if isinstance(value, int):
        return value if abs(value) < 10**15 else str(value)
    text = str(value)
    if _DECIMAL.fullmatch(text):
        number = float(text)
        exact = text.rstrip("0").rstrip(".") if "." in text else text
        if digits(number) == exact:
            return number
    return text


def quoted(entries: list[Any], mark: str = ";") -> str:
    """A list for one cell, entries in quotes where they must be."""
    if not entries:
        return NOTHING
    return f"{mark} ".join(_quoted(str(entry)) for entry in entries)


def _quoted(entry: str) -> str:
    if not any(sign in entry for sign in ';,"\n') and entry == clean(entry) and entry.casefold() != NOTHING:
        return entry
    out = io.StringIO()
    csv.writer(out, delimiter=";", quoting=csv.QUOTE_ALL, lineterminator="").writerow([entry])
    return out.getvalue()


def _written_points(value: Any) -> Raw:
    if isinstance(value, int):
        return value
    limits = ["unknown" if not point or point.get("wll") is None else str(point["wll"]) for point in value]
    return "; ".join(limits) + (";" if len(limits) == 1 else "") if limits else 0


def _text(value: Any) -> Raw:
    return str(value).lower() if isinstance(value, bool) else str(value)


def _day(value: Any) -> Raw:
    return value if isinstance(value, date) else date.fromisoformat(str(value).strip())


def _list(value: Any) -> Raw:
    return quoted(value if isinstance(value, list) else [value])


def _pieces(value: Any) -> Raw:
    return NOTHING if not value or value == "none" else quoted([f"{number} x {name}" for name, number in value.items()])


def _value(value: Any) -> Raw:
    return quoted(value) if isinstance(value, list) else _written_scalar(value)


def _values(value: Any) -> Raw:
    if not isinstance(value, list):
        return _text(value)
    return "; ".join(map(str, value)) + (";" if len(value) == 1 else "")


def _places(value: Any) -> Raw:
    triples = ([place[axis] for axis in "xyz"] if isinstance(place, dict) else place for place in value)
    return "; ".join(", ".join(map(str, triple)) for triple in triples)


_WRITERS: Mapping[str, Callable[[Any], Raw]] = {
    "text": _text, "flag": lambda value: "yes" if value else "no", "date": _day, "list": _list, "pieces": _pieces,
    "points": _written_points, "value": _value, "values": _values, "places": _places,
}  # fmt: skip


def written(reads: str, value: Any) -> Raw:
    """The cell for a value of plain data in a column that is read so; None where there is none."""
    return None if value is None else _WRITERS.get(reads, _written_scalar)(value)
