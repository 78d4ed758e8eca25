"""YAML text to plain data, with the place of every key.

Only what people write by hand is read: mappings, lists, text, whole numbers, true, false and blank.  All
other plain scalars stay the text that was written, so ``010``, ``12:30``, ``no`` and ``26.5`` arrive as
they stand and the field they belong to decides.  Anchors, tags and repeated keys are refused.
"""

import hashlib
import os
import re
from functools import partial
from operator import attrgetter
from pathlib import Path
from typing import Any

import yaml
from yaml import MappingEndEvent, MappingStartEvent, ScalarEvent, SequenceEndEvent
from yaml.reader import ReaderError

from cache_check.errors import InputError, Mistake, did_you_mean, refused
from cache_check.files.mistakes import Page, Route, Spot

LARGEST_FILE = 5_000_000
DEEPEST = 40
_read: set[tuple[int, int]] = set()  # every file that was read, so that no answer is written over one
_identity = attrgetter("st_dev", "st_ino")
_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_WHOLE = re.compile(r"0|-?[1-9][0-9]{0,17}")
_WORDS: dict[str, bool | None] = {
    "": None, "~": None, "null": None, "Null": None, "NULL": None,
    "true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False,
}  # fmt: skip
_BREAK = "\r\n|[\n\r\x85\u2028\u2029]"
_SYNTAX = (
    ("cannot start any token", "a character stands here that YAML keeps for itself", "put the text in quotes"),
    ("mapping values are not allowed", "a second colon, or a wrong indent", "put text with a colon in quotes"),
    ("unexpected end of stream", "the file ends inside quotes or brackets", "close them"),
    ("expected ',' or", "a bracket is not closed, or a comma is missing", "close it"),
    ("find expected ':'", "a key without its colon", 'write "key: value"'),
    ("find expected key", "this line is not indented like the ones above, or has no key", "indent it alike"),
    ("<block end>", "this line is not indented like the ones above, or has no key", "indent it alike"),
    ("expected '-' indicator", "this line is not indented like the list above", "begin it with a hyphen"),
    ("maximum nesting depth", f"more than {DEEPEST} levels inside one another", "write it flatter"),
    ("block sequence entries are not allowed", "a list cannot begin on this line", "begin it on the next"),
)
_SEEN_LATE = ("expected ',' or", "unexpected end of stream", "find expected ':'")
"""Problems that YAML notices only after the place where the person went wrong."""


def scalar(text: str) -> Any:
    """What a plain scalar means: blank, true or false, a whole number, else its own text."""
    if text in _WORDS:
        return _WORDS[text]
    return int(text) if text[-1].isdigit() and _WHOLE.fullmatch(text) else text


_Inside = dict[str, Any] | list[Any] | None
"""For each entry of a group or list the event at which it stands, and the same of what is inside it."""


class _Builder:
    """Builds data from parser events, and keeps where each stood; how deep they nest is bounded here."""

    def __init__(self, page: Page, text: str) -> None:
        self.page, self.next = page, _Loader(text).get_event

    def document(self) -> Any:
        """What the only document says, from which the page may learn all places; None where there is none."""
        whole, number = None, 0
        while (event := self.next()) is not None:
            number += isinstance(event, yaml.DocumentStartEvent)
            if number > 1:
                self._refuse(event, "a second document begins here", "keep one document to a file")
            elif isinstance(event, yaml.NodeEvent):
                whole, inside = self._value(event, 0)
                self.page.placed = partial(_spots, event, inside, ())
        return whole

    def _refuse(self, event: Any, what: str, right: str) -> None:
        raise InputError([self._at(event, what, right)])

    def _at(self, event: Any, what: str, right: str) -> Mistake:
        return self.page.at(event.start_mark.line + 1, event.start_mark.column + 1, what, right)

    def _value(self, event: Any, deep: int) -> tuple[Any, _Inside]:
        if event.anchor is not None or event.tag is not None:
            self._marked(event)
        kind = event.__class__
        if kind is ScalarEvent:
            return event.value if event.style else scalar(self._plain(event)), None
        if deep >= DEEPEST:
            self._refuse(event, f"more than {DEEPEST} levels inside one another", "write it flatter")
        if kind is MappingStartEvent:
            return self._group(deep + 1)
        entries: list[Any] = []
        places: list[Any] = []
        while (one := self.next()).__class__ is not SequenceEndEvent:
            value, inside = self._value(one, deep + 1)
            entries.append(value)
            places.append((one, inside))
        return entries, places

    def _group(self, deep: int) -> tuple[dict[str, Any], _Inside]:
        group: dict[str, Any] = {}
        places: dict[str, Any] = {}
        while (event := self.next()).__class__ is not MappingEndEvent:
            if event.anchor is not None or event.tag is not None:
                self._marked(event)
            if event.__class__ is not ScalarEvent:
                self._refuse(event, "a key must be plain text", "put a name before the colon")
            key = event.value if event.style else self._plain(event)
            if key == "<<" and not event.style:
                self._refuse(event, "merge keys (<<) are not read here", "write the entries out")
            value, inside = self._value(self.next(), deep)
            if key in group:
                what = f"{key!r} is written twice, first on line {places[key][0].start_mark.line + 1}"
                self.page.note(self._at(event, what, "keep one of them"))
            else:
                group[key], places[key] = value, (event, inside)
        return group, places

    def _marked(self, event: Any) -> None:
        if event.anchor is not None:
            right = "write the value out, or put a text in quotes"
            self._refuse(event, "anchors (&) and aliases (*) are not read here", right)
        if event.tag != "!":
            self._refuse(event, "tags (!) are not read here", "take the tag out, or put the text in quotes")

    def _plain(self, event: Any) -> str:
        """A text without quotes; one number that YAML splits in two, as ``[24,500]``, is noted."""
        text: str = event.value
        if text[:1].isdigit():
            line, at = self.page.lines[event.start_mark.line], event.start_mark.column
            if at >= 2 and line[at - 1] == "," and line[at - 2].isdigit():
                what = "a comma between digits reads here as the end of one number and the start of the next"
                right = "write decimals with a point and thousands without a mark, and a space after a comma"
                self.page.note(self._at(event, what, right))
        return text


def _spots(event: Any, inside: _Inside, route: Route) -> dict[Route, Spot]:
    """The place of what stands at a route and of all that is inside it."""
    spots = {route: Spot(event.start_mark.line + 1, event.start_mark.column + 1)}
    for key, (at, below) in inside.items() if isinstance(inside, dict) else enumerate(inside or ()):
        spots |= _spots(at, below, (*route, key))
    return spots


def read_bytes(path: Path, name: str) -> bytes:
    """The bytes of a file; InputError where it is not there, no file, not to be read, or larger than people write."""
    try:
        if path.is_dir():
            raise refused(name, "is a folder, not a file")
        if path.exists() and not path.is_file():
            raise refused(name, "is a pipe or a device, not a file", "save it to a file first")
        with path.open("rb") as file:
            raw = file.read(LARGEST_FILE + 1)
            _read.add(_identity(os.fstat(file.fileno())))
    except FileNotFoundError:
        raise refused(name, "there is no such file", _nearby(path)) from None
    except PermissionError:
        raise refused(name, "may not be read by you", "ask for leave to read it") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "that is not the name of a file"
        raise refused(name, f"cannot be read: {reason.lower()}") from None
    if len(raw) > LARGEST_FILE:
        size = LARGEST_FILE // 1_000_000
        raise refused(name, f"is larger than {size} MB", "split it, or check that it is the right file")
    return raw


def was_read(path: Path) -> bool:
    """Whether a file, under any of its names, was read by this process."""
    return path.exists() and _identity(path.stat()) in _read


def _nearby(path: Path) -> str:
    try:
        return did_you_mean(path.name, sorted({entry.name for entry in path.parent.iterdir()} - {path.name}))
    except (OSError, ValueError):
        return ""


def decoded(raw: bytes, name: str, right: str = "save the file as UTF-8 in your editor") -> str:
    """The text of a file; InputError where it is not UTF-8, or holds a NUL byte."""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise refused(name, "is not UTF-8 text", right, line=raw.count(b"\n", 0, error.start) + 1) from None
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise refused(name, "holds a NUL byte, so it is not a text file", line=line)
    return text


def _syntax(error: Exception, page: Page) -> Mistake:
    if (mark := getattr(error, "problem_mark", None)) is None:
        return page.at(0, 0, "holds a character that may not stand in a text file", "save it again as plain text")
    problem = str(getattr(error, "problem", "") or "")
    line, column = min(mark.line, len(page.lines) - 1), mark.column
    shown = page.lines[line]
    if "\t" in shown[: len(shown) - len(shown.lstrip())] or shown[column : column + 1] == "\t":
        return page.at(line + 1, column + 1, "a tab stands where spaces belong", "indent with spaces")
    opened = getattr(error, "context_mark", None)
    if opened is not None and any(sign in problem for sign in _SEEN_LATE):
        line, column = min(opened.line, len(page.lines) - 1), opened.column
    told = ((what, right) for sign, what, right in _SYNTAX if sign in problem)
    return page.at(line + 1, column + 1, *next(told, (f"is not YAML: {problem}", "")))


def load(path: str | Path) -> tuple[Any, Page]:
    """The plain data of a YAML file, and the page with all places and its lesser mistakes; InputError where unread."""
    name = str(path)
    raw = read_bytes(Path(path), name)
    return parse(decoded(raw, name), name, hashlib.sha256(raw).hexdigest())


def parse(text: str, name: str, sha256: str = "") -> tuple[Any, Page]:
    """Like ``load`` for text at hand; ``name`` stands for the file in messages."""
    simple = text.isascii() and "\r" not in text  # as most are, and then parted in a tenth of the time
    page = Page(name, sha256, text.split("\n") if simple else re.split(_BREAK, text), dict, {})
    try:
        data = _Builder(page, text).document()
    except (yaml.YAMLError, ReaderError) as error:
        raise InputError([_syntax(error, page)]) from None
    if data is None:
        raise refused(name, "is empty")
    return data, page
