"""Mistakes: where everything stood, a route of keys to line and column; and what pydantic found wrong, in plain words.

Lines and columns count from 1, and so do entries of lists in the routes that are shown: ``charts[1].rows[3]``.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from functools import cached_property
from types import UnionType
from typing import Annotated, Any, NamedTuple, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic_core import ErrorDetails

from cache_check.errors import Mistake, did_you_mean, listed
from cache_check.frozen import dataclass

Route = tuple[str | int, ...]
_OURS = (
    r"""[\s{"']*(cache|county|count|family|needs|policy|prices|situation|rules|title|units|families|types|parts|scenes"""
    r"""|rigs|set|charts)["']?\s*:"""
)
"""How some line of a file that people write for us begins; of one without, whatever its name, nothing is shown."""
SUPPLIED = frozenset({"id", "family", "part", "rig"})
"""Fields of records that the place of an entry supplies, so that nobody is told to write them."""
_WIDEST = 160


class Spot(NamedTuple):
    """Where a key or entry stands: line and column, in a table of which sheet, and its number among the sheets."""

    line: int
    column: int
    sheet: str = ""
    order: int = 0


def shown_route(route: Iterable[str | int]) -> str:
    """A route as people read it."""
    text = ""
    for part in route:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if text else part
    return text


@dataclass
class Page:
    """One file that was read: its lines, how the places of all that it says are found, and the mistakes met so far."""

    name: str
    sha256: str
    lines: list[str]
    placed: Callable[[], dict[Route, Spot]]
    mistakes: dict[Mistake, None]

    @cached_property
    def spots(self) -> dict[Route, Spot]:
        """The places of all that it says, found when they are first asked for: most files have no mistake."""
        return self.placed()

    def nearest(self, route: Route) -> Route:
        """As much of a route as is there, so that a missing field points at its parent."""
        walked: Route = ()
        for part in route:
            walked = (*walked, part) if (*walked, part) in self.spots else walked
        return walked

    def at(self, line: int, column: int, what: str, right: str = "", route: str = "") -> Mistake:
        """A mistake at a line and column of this page, with the line itself if the file is one of ours."""
        ours = any(map(re.compile(_OURS).match, self.lines))
        shown = self.lines[line - 1].replace("\t", " ").rstrip() if ours and 0 < line <= len(self.lines) else ""
        if not shown.isprintable() or column > _WIDEST:
            shown = ""
        if len(shown) > _WIDEST:
            shown = shown[:_WIDEST] + " ..."
        return Mistake(self.name, what, right, route, line, column, shown)

    def note(self, mistake: Mistake) -> None:
        """Keep a mistake, once."""
        self.mistakes[mistake] = None

    def mistake(self, route: Route, what: str, right: str = "") -> Mistake:
        """A mistake at the place of a route."""
        walked = self.nearest(route)
        return self.at(self.spots[walked].line, self.spots[walked].column, what, right, shown_route(walked))


def shown(value: Any) -> str:
    """What was written, short enough to repeat."""
    if value is None:
        return "a blank"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "a group of entries"
    if isinstance(value, list | tuple):
        return "a list"
    text = repr(value)
    return text if len(text) <= 60 else text[:56] + " ...'"


def model_at(kind: Any, route: Route) -> type[BaseModel] | None:
    """The record class that a pydantic route leads to, starting at an annotation."""
    origin, arguments = get_origin(kind), get_args(kind)
    if origin is Annotated:
        return model_at(arguments[0], route)
    if origin in (Union, UnionType):
        return next((found for one in arguments if (found := model_at(one, route)) is not None), None)
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        if not route:
            return kind
        by_name = {field.alias or name: field for name, field in kind.model_fields.items()}
        return model_at(by_name[str(route[0])].annotation, route[1:]) if route[0] in by_name else None
    if origin in (dict, tuple, list) and route:
        return model_at(arguments[1 if origin is dict else 0], route[1:])
    return None


def together(errors: Iterable[ErrorDetails]) -> list[ErrorDetails]:
    """The errors worth telling: all fields that one entry misses as one, and no list called empty that is not."""
    kept: list[ErrorDetails] = []
    missing: dict[Route, ErrorDetails] = {}
    for error in errors:
        if error["type"] == "too_short" and error["input"]:
            continue
        if error["type"] == "missing":
            first = missing.setdefault(error["loc"][:-1], error)
            first["ctx"] = {"names": [*first.get("ctx", {}).get("names", ()), str(error["loc"][-1])]}
            if first is not error:
                continue
        kept.append(error)
    return kept


def _unknown_field(error: ErrorDetails, model: Any) -> tuple[str, str]:
    name = str(error["loc"][-1])
    record = model_at(model, error["loc"][:-1])
    fields = record.model_fields.items() if record else ()
    names = [n for n in (field.alias or n for n, field in fields) if n not in SUPPLIED and n != name]
    right = did_you_mean(name, names) or (f"the fields here are {', '.join(names)}" if names else "")
    return f"{name!r} is not a field here", right


def _not_one_of(error: ErrorDetails, model: Any) -> tuple[str, str]:
    names = [name.strip().strip("'") for name in str(error["ctx"]["expected"]).replace(" or ", ", ").split(", ")]
    written = error["input"]
    close = did_you_mean(written, names) if isinstance(written, str) else ""
    return f"{shown(written)} is not one of {listed(names)}", close


def _value(error: ErrorDetails, _model: Any) -> tuple[str, str]:
    what, _, right = str(error["ctx"]["error"]).partition("; ")
    return (f"{shown(error['input'])} is {what}" if what.startswith("not ") else what), right


def _least(error: ErrorDetails, _model: Any) -> tuple[str, str]:
    least = error["ctx"]["ge"]
    return (f"{error['input']} is too few", f"write {least} or more") if least else ("must not be negative", "")


_LARGE = re.compile(r"-?[1-9][0-9]{18,}")  # digits that no reader takes for a number
_PLAIN: Mapping[str, tuple[str, str]] = {
    "string_too_short": ("is empty", "write a name"),
    "string_too_long": ("is too long", "shorten it"),
    "too_short": ("is empty", "write at least one entry"),
}
_NOT: Mapping[str, tuple[str, str]] = {
    kind: (noun, right)
    for kinds, noun, right in (
        ("dict_type model_type model_attributes_type", "a group of entries",
         'write its entries below it, each "name: value"'),
        ("tuple_type list_type frozen_set_type", "a list", "write [one, another]"),
        ("int_type int_parsing int_from_float", "a whole number",
         "write digits alone, with no quotes, leading zero, point or comma"),
        ("bool_type", "true or false", "write true or false"),
        ("string_type", "text", "put it in quotes"),
    )
    for kind in kinds.split()
}  # fmt: skip
_SAID: Mapping[str, Callable[[ErrorDetails, Any], tuple[str, str]]] = {
    "missing": lambda error, _model: (f"missing {', '.join(map(repr, error['ctx']['names']))}", ""),
    "extra_forbidden": _unknown_field,
    "literal_error": _not_one_of,
    "value_error": _value,
    "greater_than_equal": _least,
    "less_than_equal": lambda error, _model: (f"{error['input']} is too many", f"write {error['ctx']['le']} or fewer"),
}


def in_words(error: ErrorDetails, model: Any) -> tuple[str, str]:
    """One pydantic error as (what is wrong, what would be right)."""
    kind = error["type"]
    if kind in _SAID:
        return _SAID[kind](error, model)
    if kind in _NOT:
        noun, right = _NOT[kind]
        if isinstance(error["input"], str) and _LARGE.fullmatch(error["input"]):
            return f"{shown(error['input'])} is too large a number", "write 18 digits at most"
        blank = "is blank", "write a value, or take the line out"
        return blank if error["input"] is None else (f"{shown(error['input'])} is not {noun}", right)
    return _PLAIN.get(kind) or (
        f"{shown(error['input'])} cannot be read here", error["msg"][:1].lower() + error["msg"][1:]
    )  # fmt: skip
