"""One file being read: its data, its page, and everything that is wrong with it."""

from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError

from cache_check.errors import InputError, Mistake, refused
from cache_check.files import text
from cache_check.files.mistakes import Page, Route, in_words, together
from cache_check.model.cache import Source
from cache_check.units import System

if TYPE_CHECKING:
    from cache_check.files.workbook.grid import Grid

KINDS = ("cache", "county", "family", "needs", "policy", "prices", "situation")
WORKBOOKS = (".xlsx", ".xlsm", ".xltx", ".xltm", ".xls", ".xlsb", ".ods", ".fods")
"""Suffixes of workbooks; those that cannot be read are refused in words that say so."""
GIVEN = {
    "needs": "give it to check with --needs", "policy": "give it with --rules",
    "prices": "give it to buy with --prices", "situation": "give it to load, after the cache",
}  # fmt: skip
"""Where a file goes that was given as another kind."""
_MOST_MISTAKES = 100
_Model = TypeVar("_Model", bound=BaseModel)
_Read = TypeVar("_Read")


class Reading:
    """A file of one kind while it is read.  ``data`` is the top mapping; ``sound`` raises what was wrong."""

    def __init__(self, data: dict[str, Any], page: Page) -> None:
        self.data = data
        self.page = page

    @property
    def units(self) -> System | None:
        """The file's unit system; None where it names none."""
        return system_of(self.data)

    @property
    def source(self) -> Source:
        """The file, to be named on pages."""
        return Source.model_construct(path=self.page.name, sha256=self.page.sha256)

    def fault(self, route: Route, what: str, right: str = "") -> None:
        """Note a mistake at a route, once."""
        self.page.note(self.page.mistake(route, what, right))

    def group(self, key: str) -> dict[str, Any]:
        """The mapping under a key, or an empty one where there is none (what is amiss is said elsewhere)."""
        value = self.data.get(key)
        return value if isinstance(value, dict) else {}

    def record(self, model: type[_Model], data: Any, route: Route = ()) -> _Model | None:
        """Validate ``data``, which stands at ``route``; note every mistake and return None where there is any."""
        try:
            return model.model_validate(data, context={"units": self.units})
        except ValidationError as error:
            for one in together(error.errors(include_url=False)):
                self.fault((*route, *one["loc"]), *in_words(one, model))
        return None

    def sound(self, file: _Read | None) -> _Read:
        """What was read of the whole file; where anything was wrong with it, an InputError."""
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


def system_of(data: Mapping[str, Any]) -> System | None:
    """The unit system that a file names; None where it names none."""
    return next((one for one in get_args(System) if one == data.get("units")), None)


def open_file(path: str | Path, kind: str) -> Reading:
    """Load a file, workbook or folder of the kind that its key ("cache" and so on) says; InputError of another."""
    return as_kind(*load(Path(path), kind), kind)


def kind_of(path: Path, kind: str) -> str:
    """The kind that a file says it is, ``kind`` before others, "" where it says none; InputError where unread."""
    data = load(path, kind)[0]
    return next((name for name in (kind, *KINDS) if name in data), "") if isinstance(data, dict) else ""


def as_kind(data: Any, page: Page, kind: str) -> Reading:
    """A reading of loaded data; InputError where it is of another kind than was asked."""
    if isinstance(data, dict) and kind in data:
        return Reading(data, page)
    what, right = f"is not a {kind} file", f'begin with "{kind}: " and a name'
    if isinstance(data, dict):
        what = f"missing {kind!r}"
        if other := next((name for name in KINDS if name in data), ""):
            what, right = f"is a {other} file, not a {kind} file", GIVEN.get(other, "")
    raise InputError([*page.mistakes, page.at(1, 1, what, right)])


def is_table(path: Path) -> bool:
    """Whether a path is a workbook, by its suffix, or a folder."""
    return path.suffix.casefold() in WORKBOOKS or path.is_dir()


def grids(path: Path) -> "tuple[list[Grid], str]":
    """The sheets of a workbook or folder of CSV files as cells, and the SHA-256 of it; InputError where it is none."""
    if path.is_dir():
        from cache_check.files.workbook.grid import read_grids as read_folder

        return read_folder(path)
    from cache_check.files.workbook.xlsx import read_grids

    return read_grids(path)


def load(path: Path, kind: str) -> tuple[Any, Page]:
    """The data of a file, workbook or folder as a kind, and its page with its mistakes; InputError where unread."""
    if path.suffix.casefold() in (".csv", ".tsv") and path.is_file():
        right = "a filled count sheet is given to audit, after the cache; other CSV files are read as a folder"
        raise refused(str(path), f"is one table, not a {kind} file", right)
    if not is_table(path):
        return text.load(path)
    from cache_check.files.workbook.sheet import data_of

    found, whole = grids(path)
    return data_of(found, str(path), whole, kind)


def digest(path: Path) -> str:
    """The SHA-256 of a file; of a folder, over the names and bytes of its CSV files."""
    return grids(path)[1] if path.is_dir() else sha256(path.read_bytes()).hexdigest()
