"""What a cell means, read as a person meant it or refused in words, and written so that it is read back the same.

Readers return plain data as of YAML: text, whole numbers, true, false, lists.  Numbers have a spreadsheet's 15 digits.
"""

import csv
import io
import re
from collections.abc import Callable, Mapping
from contextlib import suppress
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any
from unicodedata import normalize

from cache_check.errors import NotReadError
from cache_check.files.mistakes import shown
from cache_check.files.text import scalar
from cache_check.files.workbook.grid import Grid, Raw

NOTHING = "nothing"  # an empty list, which is not the same as a blank: an end that takes nothing, say
UNRATED = "unrated"  # a load of a chart that is not rated; a blank after the last load of a row is nothing
YES = frozenset({"yes", "y", "true", "on", "x", "✓", "✔", "1"})
NO = frozenset({"no", "n", "false", "off", "0"})
_DAYS = ("%Y %m %d", "%d %B %Y", "%d %b %Y", "%B %d %Y", "%b %d %Y")
_TWO_WAYS = re.compile(r"\d{1,2}[-/.]\d{1,2}[-/.]\d{2,4}")
_DECIMAL = re.compile(r"-?\d{1,12}(\.\d{1,9})?")
_DATED = ("is a date or time here; a spreadsheet may have made it one", "format the cell as text and write it again")
_RATIO = ("is a time of day; a spreadsheet makes one of 2:1", "write the first number alone, as 2")
_DATE_RIGHT = "write year-month-day, as 2026-03-01"
_FIRST_SERIAL, _LAST_SERIAL = 20_000, 80_000  # days since 1899-12-30 that a date may be: 1954 to 2119


def clean(text: str) -> str:
    """Text without the spaces around it that nobody meant."""
    return text.replace("\u00a0", " ").replace("\u200b", "").replace("\ufeff", "").strip()


def digits(number: float) -> str:
    """A number as a spreadsheet shows it, without an exponent."""
    return format(Decimal(format(number, ".15g")), "f")


def plain(raw: Raw, dated: tuple[str, str] = _DATED) -> str:
    """The text of a cell; NotReadError of an error, and with ``dated`` of a date or time of day, which are no text."""
    if isinstance(raw, NotReadError):
        raise raw
    if isinstance(raw, bool):
        return "true" if raw else "false"
    if isinstance(raw, date | time | timedelta):
        raise NotReadError(*dated)
    return digits(raw) if isinstance(raw, int | float) else clean(raw or "")


def _quantity(raw: Raw, _grid: Grid) -> Any:
    right = "write the number, a fraction as 58 1/2 with the whole number before it, or as a decimal"
    said = plain(raw, ("is a date or time; a spreadsheet makes them of fractions such as 1/2", right))
    signs = re.sub(r"\s*[¼-¾⅐-⅞]", lambda at: f" {normalize('NFKC', at[0].strip())}", said)
    return scalar(signs.replace("⁄", "/").strip())


def _load(raw: Raw, grid: Grid) -> Any:
    load = _quantity(raw, grid)
    return None if str(load).casefold() in (UNRATED, "-", "–", "n/a") else load


def _flag(raw: Raw, _grid: Grid) -> Any:
    if (text := plain(raw).casefold()) not in YES | NO:
        raise NotReadError(f"{shown(plain(raw))} is not yes or no", "write yes or no")
    return text in YES


def _day(raw: Raw, grid: Grid) -> Any:
    if isinstance(raw, datetime):
        if raw.time() != time():
            raise NotReadError(f"{raw.isoformat(' ')} has a time of day", _DATE_RIGHT)
        return raw.date().isoformat()
    if isinstance(raw, date):
        return raw.isoformat()
    text = plain(raw)
    if not re.fullmatch(r"\d{5}", text):
        return _written_day(text)
    if grid.epoch is None or not _FIRST_SERIAL <= int(text) <= _LAST_SERIAL:
        raise NotReadError(f"{int(text)} is not a date", _DATE_RIGHT)
    return (grid.epoch + timedelta(days=int(text))).isoformat()  # a spreadsheet keeps a date as a number of days


def _written_day(text: str) -> str:
    """A date in words or figures, if it can be read in one way only; "sept" is September too."""
    bare = re.sub(r"[T ]00:00(:00)?$|(?<=\d)(st|nd|rd|th)\b|(?<=\bsep)t\b", "", text, flags=re.I)
    for form in _DAYS:
        with suppress(ValueError):
            return datetime.strptime(" ".join(re.split(r"[-/.,\s]+", bare)), form).date().isoformat()
    if _TWO_WAYS.fullmatch(text):
        raise NotReadError(f"{text!r} may be two different days", _DATE_RIGHT)
    if re.search(r"\b\d{4}\b", text):
        raise NotReadError(f"{text} is not a day of the calendar", "check month and day")
    raise NotReadError(f"{shown(text)} is not a date", _DATE_RIGHT)


def _split(text: str, marks: str) -> list[str]:
    """The entries of a list in a cell, each in double quotes where it holds the mark itself."""
    lines = text.replace("\r", "").split("\n") if "\n" in text and '"' not in text else [text]
    found: list[str] = []
    for line in lines:
        mark = next((one for one in marks if one in line), marks[0])
        found += [clean(entry) for entry in next(csv.reader([line], delimiter=mark, skipinitialspace=True), [])]
    return [entry for entry in found if entry]


def _numbered(raw: Raw, _grid: Grid) -> Any:
    """Pieces by name: "1 binder; 2 hook"."""
    pieces: dict[str, Any] = {}
    if plain(raw).casefold() == NOTHING:
        return {}
    for entry in _split(plain(raw), ";,"):
        if (found := re.fullmatch(r"(\d+)\s*[x×]?\s+(.+)", entry, re.DOTALL)) is None:
            raise NotReadError(f"{shown(entry)} is not pieces of a part", "write the number first, as 1 binder; 2 hook")
        name = clean(found[2])
        if name in pieces:
            raise NotReadError(f"{name!r} is there twice", "keep one of them")
        pieces[name] = scalar(found[1])
    return pieces


def _points(raw: Raw, _grid: Grid) -> Any:
    """How many attachment points, or the limit of each: "3000; 3000; unknown"."""
    text = plain(raw)
    if ";" not in text and re.fullmatch(r"\d+", text):
        return scalar(text)
    return [{} if entry.casefold() == "unknown" else {"wll": scalar(entry)} for entry in _split(text, ";")]


def _value(raw: Raw, _grid: Grid) -> Any:
    """A rule's value: text, a number, or words parted by semicolons."""
    text = plain(raw)
    return _split(text, ";") if ";" in text or text.startswith('"') else scalar(text)


def _values(raw: Raw, grid: Grid) -> Any:
    value = _value(raw, grid)
    return [scalar(clean(one)) for one in value] if isinstance(value, list) else value


READERS: Mapping[str, Callable[[Raw, Grid], Any]] = {
    "text": lambda raw, _: plain(raw), "number": lambda raw, _: scalar(plain(raw)),
    "length": _quantity, "force": _quantity, "load": _load, "mass": _quantity,
    "factor": lambda raw, _: scalar(plain(raw, _RATIO)), "flag": _flag, "date": _day, "pieces": _numbered,
    "list": lambda raw, _: [] if plain(raw).casefold() == NOTHING else _split(plain(raw), ";,"),
    "points": _points, "value": _value, "values": _values,
    # Places parted by semicolons, the numbers of each by commas.
    "places": lambda raw, _: [[scalar(clean(n)) for n in at.split(",")] for at in plain(raw).split(";") if clean(at)],
}  # fmt: skip


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


def _quoted(entries: Any) -> str:
    return "; ".join(map(_entry, map(str, entries if isinstance(entries, list) else [entries]))) or NOTHING


def _entry(entry: str) -> str:
    if not any(sign in entry for sign in ';,"\n') and entry == clean(entry) and entry.casefold() != NOTHING:
        return entry
    out = io.StringIO()
    csv.writer(out, delimiter=";", quoting=csv.QUOTE_ALL, lineterminator="").writerow([entry])
    return out.getvalue()


def _parted(entries: list[str]) -> str:
    """Entries of which one alone is followed by the mark, so that it is read as a list."""
    return "; ".join(entries) + (";" if len(entries) == 1 else "")


def _written_points(points: Any) -> Raw:
    if isinstance(points, int):
        return points
    return _parted(["unknown" if not one or one.get("wll") is None else str(one["wll"]) for one in points]) or 0


def _written_text(value: Any) -> Raw:
    return str(value).lower() if isinstance(value, bool) else str(value)


def _written_places(places: Any) -> Raw:
    triples = ([place[axis] for axis in "xyz"] if isinstance(place, dict) else place for place in places)
    return "; ".join(", ".join(map(str, triple)) for triple in triples)


_WRITERS: Mapping[str, Callable[[Any], Raw]] = {
    "text": _written_text, "flag": lambda value: "yes" if value else "no", "list": _quoted,
    "pieces": lambda of: NOTHING if not of or of == "none" else _quoted([f"{n} x {name}" for name, n in of.items()]),
    "date": lambda day: day if isinstance(day, date) else date.fromisoformat(str(day).strip()),
    "points": _written_points, "places": _written_places,
    "value": lambda value: _quoted(value) if isinstance(value, list) else _written_scalar(value),
    "values": lambda value: _parted([*map(str, value)]) if isinstance(value, list) else _written_text(value),
}  # fmt: skip


def written(reads: str, value: Any) -> Raw:
    """The cell for a value of plain data in a column that is read so; None where there is none."""
    return None if value is None else _WRITERS.get(reads, _written_scalar)(value)
