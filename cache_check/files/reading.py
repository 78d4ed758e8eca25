"""One file being read: its data, its page, and everything that is wrong with it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from cache_check.errors import InputError, Mistake
from cache_check.files import text
from cache_check.files.place import Page, Route
from cache_check.files.words import in_words, together
from cache_check.files.workbook.read import is_table
from cache_check.files.workbook.read import load as load_tables
from cache_check.model.cache import Source
from cache_check.units import YEARS, System

KINDS = ("cache", "county", "family", "needs", "policy", "prices", "situation")
_MOST_MISTAKES = 100
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_Model = TypeVar("_Model", bound=BaseModel)


class Reading:
    """A file of one kind while it is read.  ``data`` is the top mapping; ``finish`` raises what was wrong."""

    def __init__(self, data: dict[str, Any], page: Page) -> None:
        self.data = data
        self.page = page

    @property
    def units(self) -> System | None:
        """The file's unit system; None where it names none."""
        written = self.data.get("units")
        return written if written in ("us", "si") else None

    @property
    def source(self) -> Source:
        """The file, to be named on pages."""
        return Source(path=self.page.name, sha256=self.page.sha256)

    def fault(self, route: Route, what: str, right: str = "") -> None:
        """Note a mistake at a route, once."""
        mistake = self.page.mistake(route, what, right)
        if mistake not in self.page.met:
            self.page.met.add(mistake)
            self.page.mistakes.append(mistake)

    def group(self, *route: str) -> dict[str, Any]:
        """The mapping at a route, or an empty one where there is none (what is amiss is said elsewhere)."""
        value: Any = self.data
        for part in route:
            value = value.get(part) if isinstance(value, dict) else None
        return value if isinstance(value, dict) else {}

    def days(self, holder: dict[str, Any], route: Route, names: Iterable[str]) -> None:
        """Turn the named entries of ``holder`` from ISO text into dates, in place; None where it is none."""
        for name in names:
            if name in holder:
                holder[name] = self._day(holder[name], (*route, name))

    def _day(self, written: Any, route: Route) -> date | None:
        try:
            day = written
            if isinstance(written, str) and _DAY.fullmatch(written.strip()):
                day = date.fromisoformat(written.strip())
        except ValueError:
            self.fault(route, f"{written} is not a day of the calendar", "check month and day")
            return None
        if day is not None and not isinstance(day, date):
            self.fault(route, f"{written!r} is not a date", "write year-month-day, as 2026-03-01")
        elif day is not None and not YEARS[0] <= day.year <= YEARS[1]:
            self.fault(route, f"{written} is no day of a piece or a book", f"check the year: {YEARS[0]} to {YEARS[1]}")
        else:
            return day
        return None

    def record(self, model: type[_Model], data: Any, route: Route = ()) -> _Model | None:
        """Validate ``data``, which stands at ``route``; note every mistake and return None where there is any."""
        context = {"units": self.units}
        try:
            return model.model_validate(data, context=context)
        except ValidationError as first:
            error = first
        if _numbers_to_text(error, data):
            try:
                return model.model_validate(data, context=context)
            except ValidationError as second:
                error = second
        for one in together(error.errors(include_url=False)):
            self.fault((*route, *one["loc"]), *in_words(one, model))
        return None

    def sound(self, file: _Model | None) -> _Model:
        """The record of the whole file, once nothing was wrong with it.

        Raises:
            InputError: at least one mistake was noted.
        """
        if file is None or self.page.mistakes:
            raise InputError(self.in_order())
        return file

    def in_order(self) -> list[Mistake]:
        """The mistakes of this file from top to bottom."""
        found = sorted(self.page.mistakes, key=lambda mistake: (mistake.line, mistake.column))
        if len(found) > _MOST_MISTAKES:
            more = Mistake(self.page.name, f"{len(found) - _MOST_MISTAKES} more mistakes are not listed")
            return [*found[:_MOST_MISTAKES], more]
        return found

    def finish(self) -> None:
        """Raise everything that was wrong.

        Raises:
            InputError: at least one mistake was noted.
        """
        if self.page.mistakes:
            raise InputError(self.in_order())


def _numbers_to_text(error: ValidationError, data: Any) -> bool:
    """Turn bare whole numbers that stand where text is meant (``serial: 4711``) into their text, in place."""
    turned = False
    for one in error.errors(include_url=False):
        written = one["input"]
        if one["type"] == "string_type" and isinstance(written, int) and not isinstance(written, bool):
            turned |= _replace(data, one["loc"], str(written))
    return turned


def _replace(data: Any, route: Route, value: str) -> bool:
    holder, last = None, None
    for part in route:
        if (isinstance(data, dict) and part in data) or (isinstance(data, list) and isinstance(part, int)):
            holder, last, data = data, part, data[part]  # type: ignore[index]
    if holder is None or isinstance(data, dict | list):
        return False
    holder[last] = value  # type: ignore[index]
    return True


def open_file(path: str | Path, kind: str) -> Reading:
    """Load a file and see that it is of the asked kind, which its key "cache", "family" and so on says.

    A workbook, or a folder of CSV files, may stand wherever a file may.

    Raises:
        InputError: it cannot be read, or is a file of another kind.
    """
    data, page = load_tables(Path(path), kind) if is_table(Path(path)) else text.load(path)
    return as_kind(data, page, kind)


def as_kind(data: Any, page: Page, kind: str) -> Reading:
    """A reading of loaded data, if it is of the asked kind.

    Raises:
        InputError: the data is of another kind.
    """
    if not isinstance(data, dict):
        right = f'begin with "{kind}: " and a name'
        raise InputError([*page.mistakes, page.at(1, 1, f"is not a {kind} file", right)])
    if kind not in data:
        other = [name for name in KINDS if name in data]
        what = f"is a {other[0]} file, not a {kind} file" if other else f"missing {kind!r}"
        right = "" if other else f'begin with "{kind}: " and a name'
        raise InputError([*page.mistakes, page.at(1, 1, what, right)])
    return Reading(data, page)
