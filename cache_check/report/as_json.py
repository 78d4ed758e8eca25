"""Answers as JSON: one envelope for every command, filled from the results as they are, and its JSON Schema.

Values and schema come from the annotations of the model alone: a field or public property more in the model is a key
more here; ``model/told.py`` says how units and keys are named.
"""

import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import fields, is_dataclass, replace
from datetime import date
from enum import Enum
from fractions import Fraction
from functools import cache
from inspect import cleandoc
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

from cache_check import __version__
from cache_check.frozen import dataclass
from cache_check.model.audit import AuditResult
from cache_check.model.cache import Source
from cache_check.model.exercise import ExerciseResult
from cache_check.model.history import History
from cache_check.model.load import LoadResult
from cache_check.model.purchase import BuyResult, County
from cache_check.model.record import Record
from cache_check.model.result import BuildResult, CheckResult, ReachResult, RulesResult
from cache_check.model.rule import Rule, RuleBook, Setting
from cache_check.model.staging import StageResult
from cache_check.model.told import UNTOLD, Keys, Unit
from cache_check.report import told_rules
from cache_check.report.page import NOT_COUNTED, said

DRAFT = "https://json-schema.org/draft/2020-12/schema"
VERSION = 2  # raised when a key goes or changes its meaning; a key more does not raise it
ANSWERS: dict[str, type] = {
    "check": CheckResult, "reach": ReachResult, "build": BuildResult, "rules": RulesResult, "load": LoadResult,
    "stage": StageResult, "buy": BuyResult, "audit": AuditResult, "history": History, "exercise": ExerciseResult,
}  # fmt: skip
_MORE: dict[str, dict[str, type]] = {"buy": {"county": County}}  # beside a command's answers, null if not asked
Encode = Callable[[Any, Any], Any]
_PLAIN: dict[Any, str] = {str: "string", int: "integer", bool: "boolean", float: "number", Fraction: "number"}
_PLAIN[NoneType] = "null"
_INSTEAD: dict[type, tuple[type, Encode]] = {
    Setting: (told_rules.ToldSetting, told_rules.setting), Rule: (told_rules.ToldRule, told_rules.rule),
}  # fmt: skip


def as_json(command: str, results: Sequence[Any], book: RuleBook | None = None, read: Iterable[Source] = (),
            counted: str = NOT_COUNTED, **more: Any) -> str:  # fmt: skip
    """The answers of a command; ``read`` are files beside those that the results name."""
    named = [source for one in results for source in getattr(getattr(one, "basis", None), "sources", ())]
    envelope: dict[str, Any] = {
        "schema": f"cache-check/{command}/{VERSION}",
        "tool": {"name": "cache-check", "version": __version__},
        "caution": list(said(counted)),
        "inputs": [{"path": one.path, "sha256": one.sha256} for one in dict.fromkeys([*named, *read])],
        "answers": [as_told(one, book) for one in results],
    }
    for key in _MORE.get(command, {}):
        envelope[key] = as_told(more[key], book) if more.get(key) is not None else None
    return json.dumps(envelope, indent=2, ensure_ascii=False) + "\n"


def schemas() -> dict[str, dict[str, Any]]:
    """The JSON Schema of each command's answer."""
    return {command: _schema(command, kind) for command, kind in ANSWERS.items()}


def _schema(command: str, kind: type) -> dict[str, Any]:
    answer, known = schema_of(kind)
    properties: dict[str, Any] = {
        "schema": {"const": f"cache-check/{command}/{VERSION}"},
        "tool": closed({"name": {"const": "cache-check"}, "version": {"type": "string"}}),
        "caution": {"type": "array", "items": {"type": "string"}},
        "inputs": {"type": "array", "items": closed({"path": {"type": "string"}, "sha256": {"type": "string"}})},
        "answers": {"type": "array", "items": answer},
    }
    for key, beside in _MORE.get(command, {}).items():
        form, others = schema_of(beside)
        properties[key] = {"anyOf": [form, {"type": "null"}]}
        known |= others
    return {"$schema": DRAFT, "title": f"cache-check {command} {VERSION}",
            "description": "SI, units in key names, unrounded; null is unknown, not asked or none.",
            **closed(properties), "$defs": dict(sorted(known.items()))}  # fmt: skip


@dataclass(frozen=True)
class Form:
    """How values of a type are told: the ending of their key, the value, its schema and the records that it names."""

    ending: str
    encode: Encode
    schema: dict[str, Any]
    names: tuple[type, ...] = ()


def as_told(value: Any, book: RuleBook | None) -> Any:
    """A result as JSON values."""
    kind: Any = type(value)
    return _form(kind).encode(value, book)


def schema_of(kind: type) -> tuple[dict[str, Any], dict[str, Any]]:
    """The schema of a result's type, and of every record that it names by name."""
    top = _form(kind)
    known: dict[str, Any] = {}
    waiting = list(top.names)
    while waiting:
        one = waiting.pop()
        if _called(one) not in known:
            members = {key: form.schema for _, key, form in _members(one)}
            known[_called(one)] = _described(one.__doc__ or "", closed(members))
            waiting += [named for _, _, form in _members(one) for named in form.names]
    return top.schema, dict(sorted(known.items()))


@cache
def _form(hint: Any, named: Keys | None = None) -> Form:
    """The form of a type, else TypeError; ``named`` are the keys of the tuple of unlike things that it is or lists."""
    origin, inner = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return _marked(inner[0], inner[1:])
    if origin in (Union, UnionType):
        return _either(inner, named)
    if origin is list or inner[-1:] == (Ellipsis,):
        of = _form(inner[0], named)
        schema = {"type": "array", "items": of.schema}
        return Form(of.ending, lambda value, book: [of.encode(one, book) for one in value], schema, of.names)
    if origin is tuple:
        return _keyed(hint, named)
    return _single(hint)


def _single(hint: Any) -> Form:
    if hint in _INSTEAD:
        kind, change = _INSTEAD[hint]
        form = _form(kind)
        return Form("", lambda value, book: form.encode(change(value, book), book), form.schema, form.names)
    if get_origin(hint) is Literal:
        return Form("", _as_number, {"enum": list(get_args(hint))})
    if hint is date:
        return Form("", lambda value, _: value.isoformat(), {"type": "string", "format": "date"})
    if isinstance(hint, type) and issubclass(hint, Enum):
        return Form("", lambda value, _: value.name.lower(), {"enum": [one.name.lower() for one in hint]})
    if hint in _PLAIN:
        return Form("", _as_number, {"type": _PLAIN[hint]})
    if isinstance(hint, type) and (is_dataclass(hint) or issubclass(hint, Record)):

        def encode(value: Any, book: RuleBook | None) -> dict[str, Any]:
            return {key: form.encode(getattr(value, name), book) for name, key, form in _members(hint)}

        return Form("", encode, {"$ref": f"#/$defs/{_called(hint)}"}, (hint,))
    raise TypeError(f"{hint}: nothing says how this is told")


def _described(about: str, schema: dict[str, Any]) -> dict[str, Any]:
    return {"description": cleandoc(about).replace("``", '"'), **schema}


def _marked(hint: Any, marks: tuple[Any, ...]) -> Form:
    form = _form(hint, next((mark for mark in marks if isinstance(mark, Keys)), None))
    if note := next((mark for mark in marks if isinstance(mark, str)), None):
        form = replace(form, schema=_described(note, form.schema))
    if (unit := next((mark for mark in marks if isinstance(mark, Unit)), None)) is None:
        return form
    if unit.per == 1:
        return Form(unit.ending, _as_number, form.schema)
    return Form(unit.ending, lambda value, _: value / unit.per, form.schema | {"type": "number"})


def _keyed(hint: Any, named: Keys | None) -> Form:
    if named is None:
        raise TypeError(f"{hint}: a tuple of unlike things needs Keys")
    forms = [_form(one) for one in get_args(hint)]
    if len(forms) != len(named.names):
        raise TypeError(f"{hint}: {len(forms)} members and {len(named.names)} keys")
    if named.by_name:
        return Form("", _figure, closed({"name": {"type": "string"}, "value": {"type": ["number", "string"]}}))
    members = [(_key(name, form), form) for name, form in zip(named.names, forms, strict=True)]

    def encode(value: Any, book: RuleBook | None) -> dict[str, Any]:
        return {key: form.encode(one, book) for (key, form), one in zip(members, value, strict=True)}

    schema = closed({key: form.schema for key, form in members})
    return Form("", encode, schema, tuple(name for form in forms for name in form.names))


def _figure(value: tuple[str, int | str], _: RuleBook | None) -> dict[str, Any]:
    name, figure = value
    if name.endswith("_nm") and not isinstance(figure, str):
        return {"name": f"{name.removesuffix('_nm')}_mm", "value": figure / 1_000_000}
    return {"name": name, "value": _as_number(figure, _)}


def _either(kinds: tuple[Any, ...], named: Keys | None) -> Form:
    forms = [_form(kind, named) for kind in kinds]
    either = {"anyOf": [one.schema for one in forms]}
    if len(forms) > 2 or NoneType not in kinds:
        return Form("", _as_number, either)
    (form,) = (one for kind, one in zip(kinds, forms, strict=True) if kind is not NoneType)
    return Form(form.ending, lambda v, book: None if v is None else form.encode(v, book), either, form.names)


def _as_number(value: Any, _: RuleBook | None) -> Any:
    if isinstance(value, Fraction):
        return float(value)
    return list(value) if isinstance(value, tuple) else value


@cache
def _members(kind: type) -> tuple[tuple[str, str, Form], ...]:
    return tuple((name, _key(name, form), form) for name, hint in _hints(kind) if (form := _form(hint)))


def _hints(kind: type) -> Iterator[tuple[str, Any]]:
    hints = get_type_hints(kind, include_extras=True)
    own = [one.name for one in fields(kind)] if is_dataclass(kind) else list(kind.model_fields)  # type: ignore[attr-defined]
    found = [(name, hints[name]) for name in own]
    for name, one in (of for above in reversed(kind.__mro__) for of in vars(above).items()):
        if isinstance(one, property) and not name.startswith(("_", "model_")):
            found.append((name, get_type_hints(one.fget, include_extras=True)["return"]))
    return ((name, hint) for name, hint in found if UNTOLD not in getattr(hint, "__metadata__", ()))


def _key(name: str, form: Form) -> str:
    return f"{name}_{form.ending}" if form.ending and not name.endswith(f"_{form.ending}") else name


def _called(kind: type) -> str:
    return f"{kind.__module__.rpartition('.')[2]}.{kind.__name__}"


def closed(properties: dict[str, Any]) -> dict[str, Any]:
    """The schema of an object with these keys, all there and no other."""
    return {"type": "object", "properties": properties, "required": list(properties), "additionalProperties": False}
