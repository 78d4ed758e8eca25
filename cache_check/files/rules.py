"""What comes with the program: the rules, which policies change or add to, tables beside them, and starter files."""

import re
from collections.abc import Iterable
from datetime import date
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar, get_args

from cache_check.errors import NotReadError, did_you_mean, listed, refused
from cache_check.files import text
from cache_check.files.mistakes import Route, shown
from cache_check.files.reading import Reading, open_file
from cache_check.files.settings import bounded, read_settings, value, with_said
from cache_check.model.record import Name, Record
from cache_check.model.rule import ParameterType, Rule, RuleBook
from cache_check.units import System

if TYPE_CHECKING:
    from cache_check.model.tables import DefaultWll, Removal

WRITTEN = date(2026, 3, 1)  # the day on which starter files were written; ``starter`` writes them as of another
_TABLES = ("default_wll", "removal")  # files among the rules that are none, and are read only where asked for
_Table = TypeVar("_Table", bound=Record)


class RulesFile(Record):
    """A file of rules as written."""

    version: Name
    rules: tuple[Rule, ...] = ()


class PolicyFile(Record):
    """A policy file as written: settings that hold everywhere, and extra rules of known kinds."""

    policy: Name
    title: Name | None = None
    units: System | None = None
    set: dict[Name, Any] | None = None
    rules: tuple[Rule, ...] = ()


def rules_folder() -> Path:
    """Where the rules lie: inside the installed package, or beside it in the source tree."""
    package = Path(__file__).resolve().parent.parent
    inside = package / "_rules"
    return inside if inside.is_dir() else package.parent / "rules"


def _parameter_values(reading: Reading) -> None:
    rules = reading.data.get("rules")
    for number, rule in enumerate(rules if isinstance(rules, list) else ()):
        parameters = rule.get("parameters") if isinstance(rule, dict) else None
        for name, one in (parameters if isinstance(parameters, dict) else {}).items():
            if not isinstance(one, dict) or "value" not in one or one.get("type") not in get_args(ParameterType):
                continue
            try:
                one["value"] = value(one["value"], one["type"], one.get("stricter"), reading.units)
            except NotReadError as error:
                reading.fault(("rules", number, "parameters", name, "value"), error.what, error.right)


def _unlike(reading: Reading, rules: Iterable[Any], known: Iterable[str]) -> None:
    seen = set(known)
    for number, rule in enumerate(rules):
        if rule.id in seen:
            reading.fault(("rules", number, "id"), f"rule {rule.id!r} is there already", "give it an id of its own")
        seen.add(rule.id)


def _rules_of(path: Path, known: Iterable[str]) -> RulesFile | None:
    data, page = text.load(path)
    if not isinstance(data, dict) or not isinstance(data.get("rules"), list):
        return None  # a table of data, which is passed over
    reading = Reading(data, page)
    _parameter_values(reading)
    if (file := reading.record(RulesFile, data)) is not None:
        _unlike(reading, file.rules, known)
    return reading.sound(file)


@cache
def rules_in(folder: Path) -> RuleBook:
    """The rules of all YAML files in a folder, by name; InputError where one cannot be read, or there is no rule."""
    rules: list[Rule] = []
    versions: set[str] = set()
    for path in sorted(folder.glob("*.yaml")):
        if path.stem not in _TABLES and (file := _rules_of(path, [rule.id for rule in rules])) is not None:
            rules.extend(file.rules)
            versions.add(file.version)
    if not rules:
        raise refused(folder, "holds no rules", "install the program again")
    return RuleBook.model_construct(version=", ".join(sorted(versions)), rules=tuple(rules))


def _with_policy(book: RuleBook, path: str | Path) -> RuleBook:
    reading = open_file(path, "policy")
    _parameter_values(reading)
    file = reading.record(PolicyFile, reading.data)
    extra = _extra_rules(reading, file, book) if file else ()
    wider = RuleBook(version=book.version, rules=book.rules + extra)
    settings = reading.sound(read_settings(reading, wider, "set", f"policy {reading.data['policy']}"))
    return RuleBook(version=book.version, rules=wider.rules, settings=book.settings + settings)


def _extra_rules(reading: Reading, file: PolicyFile, book: RuleBook) -> tuple[Rule, ...]:
    _unlike(reading, file.rules, book.by_id)
    kinds = {rule.kind: rule for rule in book.rules}
    for number, rule in enumerate(file.rules):
        if rule.kind in kinds:
            _same_parameters(reading, ("rules", number), rule, kinds[rule.kind])
        else:
            right = did_you_mean(rule.kind, kinds) or f"the kinds are {listed(sorted(kinds))}"
            reading.fault(("rules", number, "kind"), f"{shown(rule.kind)} is not a kind of rule", right)
    return tuple(rule for rule in file.rules if rule.id not in book.by_id)


def _same_parameters(reading: Reading, route: Route, rule: Rule, like: Rule) -> None:
    """The code of a kind reads the parameters that its first rule has, so an extra rule must have just those."""
    for name, parameter in like.parameters.items():
        if (mine := rule.parameters.get(name)) is None:
            right = f"rules of this kind take it, as {like.id} does"
            reading.fault((*route, "parameters"), f"missing {name!r}", right)
        elif (mine.type, mine.stricter) != (parameter.type, parameter.stricter):
            right = f"write type: {parameter.type}, stricter: {parameter.stricter}, as in {like.id}"
            reading.fault((*route, "parameters", name), "is not of the type that this kind of rule takes", right)
        else:
            try:
                bounded(mine.value, parameter)
            except NotReadError as error:
                reading.fault((*route, "parameters", name, "value"), error.what, error.right)
    for name in rule.parameters:
        if name not in like.parameters:
            right = f"{like.id} shows what this kind takes"
            reading.fault((*route, "parameters", name), f"{name!r} is nothing that this kind of rule takes", right)


def read_rules(policies: Iterable[str | Path] = (), folder: Path | None = None, said: Iterable[str] = ()) -> RuleBook:
    """The rules of the program, or of a ``folder``, with the policies' settings and extra rules, later ones last.

    ``policies`` are files as of ``--rules``; ``said`` are changes as of ``--set``, which win over them.  Every mistake
    of the first file that has any is one InputError.
    """
    book = rules_in(folder or rules_folder())
    for path in policies:
        book = _with_policy(book, path)
    said = tuple(said)
    return with_said(book, said) if said else book


def _table(name: str, model: type[_Table], folder: Path | None) -> _Table:
    data, page = text.load((folder or rules_folder()) / f"{name}.yaml")
    written: Any = data.get(name) if isinstance(data, dict) else None
    reading = Reading({"units": "us"}, page)
    return reading.sound(reading.record(model, written, (name,)))


@cache
def default_wll(folder: Path | None = None) -> "DefaultWll":
    """The limits of webbing and chain without a mark; InputError where the folder's file cannot be read."""
    from cache_check.model.tables import DefaultWll

    return _table("default_wll", DefaultWll, folder)


@cache
def removal(folder: Path | None = None) -> "Removal":
    """What ends the service of straps, chains and hooks; InputError where the folder's file cannot be read."""
    from cache_check.model.tables import Removal

    return _table("removal", Removal, folder)


def starter_text(kind: str) -> str:
    """The starter text of a kind of file, as it was written."""
    return (Path(__file__).parent / "starters" / f"{kind}.yaml").read_text(encoding="utf-8")


def starter(kind: str, today: date) -> str:
    """The starter text of a kind of file, its days as if it had been written today: none is overdue yet."""

    def moved(day: re.Match[str]) -> str:
        return (date.fromisoformat(day[0]) + (today - WRITTEN)).isoformat()

    return re.sub(r"\b\d{4}-\d{2}-\d{2}\b", moved, starter_text(kind))


def starter_workbook(kinds: Iterable[str], today: date) -> bytes:
    """A workbook that explains itself, with the invented entries of the starter files of these kinds."""
    from cache_check.files.workbook.layout import told
    from cache_check.files.workbook.sheet import filled
    from cache_check.files.workbook.xlsx import write_workbook

    sheets = filled({kind: text.parse(starter(kind, today), kind)[0] for kind in kinds})
    return write_workbook(sheets, read_me=told("read me")["lines"])
