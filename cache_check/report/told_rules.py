"""Rules and settings as they are told: what is in force, each value in SI with its unit beside it."""

from fractions import Fraction
from typing import Any

from cache_check.frozen import dataclass
from cache_check.model.rule import Parameter, ParameterType, Rule, RuleBook, Setting, Severity, Stricter
from cache_check.units import NM_PER_MM

_UNIT = {"length": "mm", "force": "N", "mass": "kg", "angle": "deg", "days": "days"}
Value = float | int | bool | str | list[str]


@dataclass(frozen=True)
class ToldValue:
    """A named value and its unit ("mm", "N", "kg", "deg", "days" or "")."""

    name: str
    value: Value
    value_unit: str


@dataclass(frozen=True)
class ToldSetting:
    """A setting that changed a rule; values in SI."""

    rule: str
    on: bool | None
    severity: Severity | None
    values: tuple[ToldValue, ...]
    family: str | None
    rig: str | None
    by: str
    why: str


@dataclass(frozen=True)
class ToldParameter:
    """A parameter of a rule, the value that is in force in SI."""

    name: str
    type: ParameterType
    value: Value
    value_unit: str
    stricter: Stricter
    about: str


@dataclass(frozen=True)
class ToldRule:
    """One rule with what is in force where no family or rig of several says otherwise."""

    rule: str
    title: str
    on: bool
    severity: Severity
    fixed: bool
    why: str
    source: str
    remedy: str
    kind: str
    since: str
    parameters: tuple[ToldParameter, ...]


def rule(one: Rule, book: RuleBook) -> ToldRule:
    """A rule with what is in force."""
    of = one.parameters.items()
    told = (ToldParameter(name, p.type, *_value(book.value(one.id, name), p), p.stricter, p.about) for name, p in of)
    return ToldRule(one.id, one.title, book.is_on(one.id), book.severity(one.id), one.fixed, one.why, one.source,
                    one.remedy, one.kind, one.since, tuple(told))  # fmt: skip


def setting(one: Setting, book: RuleBook) -> ToldSetting:
    """A setting, its values in SI."""
    known = book.by_id[one.rule].parameters if one.rule in book.by_id else {}
    values = tuple(ToldValue(name, *_value(value, known.get(name))) for name, value in one.values.items())
    return ToldSetting(one.rule, one.on, one.severity, values, one.family, one.rig, one.by, one.why)


def _value(value: Any, parameter: Parameter | None) -> tuple[Any, str]:
    unit = _UNIT.get(parameter.type, "") if parameter else ""
    if unit == "mm":
        return value / NM_PER_MM, unit
    if isinstance(value, Fraction):
        return float(value), unit
    return list(value) if isinstance(value, tuple) else value, unit
