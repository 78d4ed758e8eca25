"""The sheets "rules", "own rules" and "own parameters": changes to rules, and rules that a policy adds."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cache_check.files.place import Route
from cache_check.files.settings import RESERVED
from cache_check.files.workbook.layout import Cells, Heading, Layout, entries, headings, layout, of_entry
from cache_check.files.workbook.sheet import SheetReader, SheetRow

_, *_RULE, _, _VALUE, _WHY = headings("rules")
_OF_RULE = tuple(_RULE)


class _Settings(Layout):
    def read(self, sheet: SheetReader, at: Route) -> None:
        """Put each row at its rule."""
        for rule, row in sheet.going_on("rule", "write its id, or clear the row"):
            if not sheet.page.has((*at, rule)):
                sheet.page.put((*at, rule), {}, row.at("rule"))
            name = row.get("parameter")
            if name is not None and _VALUE not in row.spots:
                sheet.fault(row.at("parameter"), f"{name!r} has no value", "write it, or clear the row")
            elif name is None and _VALUE in row.spots:
                sheet.fault(row.at("value"), "a value of no parameter", "write the parameter before it")
            elif name is not None:
                _put_once(sheet, (*at, rule, str(name)), row, _VALUE)
            for heading in (*_OF_RULE, _WHY):
                _put_once(sheet, (*at, rule, *heading.route), row, heading)

    def rows(self, data: Any) -> Iterator[Cells]:
        """A row for each parameter that a setting changes, one for a setting that changes none."""
        for rule, entry in entries(data).items():
            whole = entry if isinstance(entry, dict) else {"on": entry}
            first = {"rule": rule} | {name: whole[name] for name in RESERVED if whole.get(name) is not None}
            values = {name: value for name, value in whole.items() if name not in RESERVED}
            for name, value in values.items():
                yield first | {"parameter": name, "value": value}
                first = {"rule": rule}
            if not values:
                yield first


def _put_once(sheet: SheetReader, route: Route, row: SheetRow, heading: Heading) -> None:
    sheet.put_once(route, row, heading, f"{route[-1]!r} is written twice", "keep one of them")


class _Own(Layout):
    def read(self, sheet: SheetReader, at: Route) -> None:
        """Put each row into the list of rules."""
        for number, row in enumerate(sheet.rows()):
            sheet.page.put((*at, number), {}, row.at("rule"))
            row.put(sheet.page, (*at, number), self.headings)

    def rows(self, data: Any) -> Iterator[Cells]:
        """A row for each rule that a policy adds."""
        return (of_entry(rule, self.headings) for rule in data or ())


class _Parameters(Layout):
    def read(self, sheet: SheetReader, at: Route) -> None:
        """Put each row into the parameters of its rule."""
        known = {
            rule.get("id"): number for number, rule in enumerate(sheet.page.value(at) if sheet.page.has(at) else [])
        }
        for row in sheet.rows():
            rule, name = row.get("rule"), row.get("parameter")
            route = (*at, known.get(rule, 0), "parameters", str(name))
            if rule not in known or not name:
                sheet.fault(row.spot, "this row has no parameter of a rule in the sheet own rules", "name both")
            elif sheet.page.has(route):
                sheet.fault(row.at("parameter"), f"{name!r} is written twice", "keep one of them")
            else:
                sheet.page.put(route, {}, row.at("parameter"))
                row.put(sheet.page, route, self.headings[2:])

    def rows(self, data: Any) -> Iterator[Cells]:
        """A row for each parameter of those rules."""
        for rule in data or ():
            for name, parameter in entries(rule.get("parameters")).items():
                yield {"rule": rule["id"], "parameter": name} | of_entry(parameter, self.headings[2:])


SETTINGS = layout("rules", _Settings)
OWN = layout("own rules", _Own)
PARAMETERS = layout("own parameters", _Parameters)
