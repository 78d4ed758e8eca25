"""The sheets "rules", "own rules" and "own parameters": changes to rules, and rules that a policy adds."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cache_check.files.place import Route
from cache_check.files.workbook.columns import Column, Table
from cache_check.files.workbook.draft import Draft
from cache_check.files.workbook.sheets.entry import Cells, entries, of_entry, put_row
from cache_check.files.workbook.table import Row, Sheet
from cache_check.model.rule import SEVERITIES

_RULE = Column("rule", ("rule",), note="its id, as EXT-1; blank goes on with the one above", wide=10)
_OF_RULE = (
    Column("on", ("on",), "value", "blank leaves it as it is", ("on", "off")),
    Column("severity", ("severity",), note="blank leaves it as it is", choices=SEVERITIES),
)
_PARAMETER = Column("parameter", (), note="what to change; one row for each", wide=18)
_VALUE = Column(
    "value", (), "value", "a length, weight or load carries its unit; words are parted by semicolons", wide=18
)
_WHY = Column("why", ("why",), note="the reason", wide=40)
SETTINGS = Table("rules", "Changes to rules, with the reason.", (_RULE, *_OF_RULE, _PARAMETER, _VALUE, _WHY))
RESERVED = ("on", "severity", "why")
OWN = Table(
    "own rules",
    "In a policy: further rules of known kinds.",
    (
        Column("rule", ("id",), wide=10),
        Column("title", ("title",), wide=24),
        Column("on", ("on",), "flag", choices=("yes", "no")),
        Column("why", ("why",), wide=40),
        Column("severity", ("severity",), choices=SEVERITIES),
        Column("source", ("source",), wide=24),
        Column("kind", ("kind",), wide=18),
        Column("remedy", ("remedy",), wide=40),
        Column("since", ("since",)),
        Column("fixed", ("fixed",), "flag", choices=("yes", "no")),
    ),
)
PARAMETERS = Table(
    "own parameters",
    "In a policy: the parameters of its own rules.",
    (
        Column("rule", ("rule",), wide=10),
        Column("parameter", ("parameter",), wide=18),
        Column("type", ("type",)),
        Column("value", ("value",), "value", wide=18),
        Column("stricter", ("stricter",)),
        Column("about", ("about",), wide=40),
    ),
)


def read_settings(sheet: Sheet, draft: Draft, at: Route) -> None:
    """Put each row at its rule."""
    rule: str | None = None
    for row in sheet.rows():
        rule = str(row.get("rule") or rule or "")
        if not rule:
            sheet.fault(row.spot, "this row has no 'rule'", "write its id, or clear the row")
            continue
        if not draft.has((*at, rule)):
            draft.put((*at, rule), {}, row.at("rule"))
        _put_setting(sheet, draft, (*at, rule), row)


def _put_setting(sheet: Sheet, draft: Draft, route: Route, row: Row) -> None:
    name = row.get("parameter")
    if name is not None and _VALUE not in row.spots:
        sheet.fault(row.at("parameter"), f"{name!r} has no value", "write it, or clear the row")
    elif name is None and _VALUE in row.spots:
        sheet.fault(row.at("value"), "a value of no parameter", "write the parameter before it")
    elif name is not None and _VALUE in row.values:
        _put_once(sheet, draft, (*route, str(name)), row.values[_VALUE], row, _VALUE)
    for column in (*_OF_RULE, _WHY):
        if column in row.values:
            _put_once(sheet, draft, (*route, *column.route), row.values[column], row, column)


def _put_once(sheet: Sheet, draft: Draft, route: Route, value: Any, row: Row, column: Column) -> None:
    if draft.has(route):
        if draft.at(route) != value:
            sheet.fault(row.spots[column], f"{route[-1]!r} is written twice", "keep one of them")
        return
    draft.put(route, value, row.spots[column])


def setting_rows(settings: Any) -> Iterator[Cells]:
    """A row for each parameter that a setting changes, one for a setting that changes none."""
    for rule, entry in entries(settings).items():
        whole = entry if isinstance(entry, dict) else {"on": entry}
        first = {"rule": rule} | {name: whole[name] for name in RESERVED if whole.get(name) is not None}
        values = {name: value for name, value in whole.items() if name not in RESERVED}
        for name, value in values.items():
            yield first | {"parameter": name, "value": value}
            first = {"rule": rule}
        if not values:
            yield first


def read_own(sheet: Sheet, draft: Draft, at: Route) -> None:
    """Put each row into the list of rules."""
    for number, row in enumerate(sheet.rows()):
        draft.put((*at, number), {}, row.at("rule"))
        put_row(draft, (*at, number), row, OWN.columns)


def read_parameters(sheet: Sheet, draft: Draft, at: Route) -> None:
    """Put each row into the parameters of its rule."""
    known = {rule.get("id"): number for number, rule in enumerate(draft.at(at) if draft.has(at) else [])}
    for row in sheet.rows():
        rule, name = row.get("rule"), row.get("parameter")
        if rule not in known or not name:
            sheet.fault(row.spot, "this row has no parameter of a rule in the sheet own rules", "name both")
            continue
        route = (*at, known[rule], "parameters", str(name))
        if draft.has(route):
            sheet.fault(row.at("parameter"), f"{name!r} is written twice", "keep one of them")
            continue
        draft.put(route, {}, row.at("parameter"))
        put_row(draft, route, row, PARAMETERS.columns[2:])


def own_rows(rules: Any) -> Iterator[Cells]:
    """A row for each rule that a policy adds."""
    for rule in rules or ():
        yield of_entry(rule, OWN, skip=0)


def parameter_rows(rules: Any) -> Iterator[Cells]:
    """A row for each parameter of those rules."""
    for rule in rules or ():
        for name, parameter in entries(rule.get("parameters")).items():
            yield {"rule": rule["id"], "parameter": name} | of_entry(parameter, PARAMETERS, skip=2)
