"""Rules and settings in the shape of the JSON."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from cache_check.model.result import RulesResult
from cache_check.model.rule import Parameter, Rule, RuleBook, Setting
from cache_check.report import answers, records
from cache_check.units import NM_PER_MM

_UNIT = {"length": "mm", "force": "N", "mass": "kg", "angle": "deg", "days": "days"}


def rules(result: RulesResult) -> answers.RulesShape:
    """The answer of ``rules``, with what is in force where no family or rig of several says otherwise."""
    book = RuleBook(version=result.version, rules=result.rules, settings=result.settings)
    return answers.RulesShape(
        version=result.version,
        rules=[_rule(one, book) for one in result.rules],
        settings=[setting(one, book) for one in result.settings],
    )


def _rule(one: Rule, book: RuleBook) -> answers.RuleShape:
    return answers.RuleShape(
        rule=one.id, title=one.title, on=book.is_on(one.id), severity=book.severity(one.id), fixed=one.fixed,
        why=one.why, source=one.source, remedy=one.remedy, kind=one.kind, since=one.since,
        parameters=[_parameter(name, p, book.value(one.id, name)) for name, p in one.parameters.items()],
    )  # fmt: skip


def _parameter(name: str, one: Parameter, in_force: Any) -> answers.ParameterShape:
    value, unit = _value(in_force, one)
    return answers.ParameterShape(
        name=name, type=one.type, value=value, value_unit=unit, stricter=one.stricter, about=one.about
    )


def setting(one: Setting, book: RuleBook) -> records.SettingShape:
    """A setting, its values in SI."""
    rule = book.by_id.get(one.rule)
    values = []
    for name, written in one.values.items():
        value, unit = _value(written, rule.parameters.get(name) if rule else None)
        values.append(records.ValueShape(name=name, value=value, value_unit=unit))
    return records.SettingShape(
        rule=one.rule, on=one.on, severity=one.severity, values=values, family=one.family, rig=one.rig,
        by=one.by, why=one.why,
    )  # fmt: skip


def _value(value: Any, parameter: Parameter | None) -> tuple[Any, str]:
    """A value in SI and its unit."""
    unit = _UNIT.get(parameter.type, "") if parameter else ""
    if unit == "mm":
        return value / NM_PER_MM, unit
    if isinstance(value, Fraction):
        return float(value), unit
    return list(value) if isinstance(value, tuple) else value, unit
