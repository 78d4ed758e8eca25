"""What an answer rests on: the lines at the head of a page, and the section before the caution."""

from collections.abc import Iterable, Iterator
from datetime import date
from fractions import Fraction
from typing import Any

from cache_check import units
from cache_check.model.cache import Source, Stated
from cache_check.model.result import Basis
from cache_check.model.rule import Parameter, Rule, RuleBook, Setting
from cache_check.report.page import Block, Points, table
from cache_check.report.say import UNKNOWN, ratio
from cache_check.units import System


def day(one: date | None) -> str:
    """A day as year-month-day; "unknown" where it is."""
    return one.isoformat() if one else UNKNOWN


def at_factor(basis: Basis, factor: Fraction, *, marked: bool) -> str:
    """At which design factor loads are told; ``marked``: some are used as their makers marked them, at a higher one."""
    return f"at {ratio(factor)}{above_mark(basis) or ' or stricter, as marked' * marked}"


def factors(basis: Basis) -> str:
    """The design factor, what is counted for more than its maker says, and who asks for more."""
    more = "".join(f"; {who}: {ratio(used)}" for who, used in basis.factors)
    return f"{ratio(basis.factor or Fraction(1))}{above_mark(basis)}{more}"


def above_mark(basis: Basis) -> str:
    """What is counted for more than its maker says, as an addition."""
    what = ", ".join(f"{name} ({ratio(marked)})" for name, marked in basis.above_mark)
    return f", above the maker's mark of {what}" if what else ""


def changed(basis: Basis) -> Iterator[str]:
    """The rules that are changed, or off."""
    yield from dict.fromkeys(one.rule for one in basis.settings if one.rule not in basis.rules_off)
    yield from (f"{rule} off" for rule in basis.rules_off)


def head(basis: Basis) -> Points:
    """Rig, book date, today, rules and which of them are changed, design factor, units."""
    books = ", ".join(f"{rig} {day(counted)}" for rig, counted in basis.book_dates)
    pooled = " (pooled as one)" if basis.pooled else ""
    factor = "not asked, since no load is" if basis.factor is None else factors(basis)
    system = {"us": "inches, pounds, pounds-force", "si": "mm, kg, kN"}[basis.units]
    rules = f"version {basis.rules_version}"
    rules += f", changed: {', '.join(found)}" if (found := tuple(changed(basis))) else ""
    items = [f"rig: {', '.join(basis.rigs)}{pooled}", f"counted on: {books}", f"today: {day(basis.on)}",
             f"rules: {rules}", f"design factor: {factor}", f"units: {system}"]  # fmt: skip
    items += [f"supposed: {change}" for change in basis.changes]
    items += [f"unlikely, and on somebody's word: {what} ({why})" for what, why in basis.on_word]
    return Points("This page rests on:", tuple(items))


def rests_on(basis: Basis, book: RuleBook, read: Iterable[Source] = ()) -> Iterator[Block]:
    """All of it; ``read`` are files beside those that the basis names: needs and policies."""
    yield head(basis)
    rows = [
        (one.rule, title_of(book, one.rule), setting_says(one, book, basis.units), where_it_holds(one),
         f"{one.by}: {one.why}" if one.why else one.by)
        for one in basis.settings
    ]  # fmt: skip
    yield table("rule|title|set to|holds for|by, and why", rows) if rows else _points("Rules changed by a setting", ())
    if basis.pooled:
        yield _points("Where rigs differ", basis.stricter)
    yield _points("Rules switched off", tuple(f"{rule}: {title_of(book, rule)}" for rule in basis.rules_off))
    if basis.stated:
        yield _points("Said once, of all pieces that do not say otherwise", tuple(map(_stated, basis.stated)))
    yield _points("Ignored", basis.ignored)
    yield _points("Unknown", basis.unknown)
    files = tuple(f"{source.path} (SHA-256 {source.sha256[:12]})" for source in dict.fromkeys((*basis.sources, *read)))
    yield _points("Files read", files)


def _points(lead: str, items: tuple[str, ...]) -> Points:
    return Points(f"{lead}:", items) if items else Points(f"{lead}: none.")


def _stated(one: Stated) -> str:
    days = (("inspected", one.inspected), ("webbing made", one.made))
    said = [f"{word} {day.isoformat()}" for word, day in days if day]
    return f"{one.rig}: {', '.join([*said, *([f'label {one.label}'] if one.label else [])])}"


def title_of(book: RuleBook, rule: str) -> str:
    """The title of a rule, or words that say that it is not in the book."""
    return book.by_id[rule].title if rule in book.by_id else "not a rule of this book"


def where_it_holds(setting: Setting) -> str:
    """What a setting is limited to."""
    if setting.family is not None:
        return f"family {setting.family}"
    return f"rig {setting.rig}" if setting.rig is not None else "everywhere"


def setting_says(setting: Setting, book: RuleBook, system: System) -> str:
    """What a setting sets, in words."""
    said = [] if setting.on is None else ["on" if setting.on else "off"]
    said += [] if setting.severity is None else [f"severity {setting.severity}"]
    known = book.by_id[setting.rule].parameters if setting.rule in book.by_id else {}
    said += [f"{name} {value_says(value, known.get(name), system)}" for name, value in setting.values.items()]
    return ", ".join(said) or "nothing"


def value_says(value: Any, parameter: Parameter | None, system: System) -> str:
    """A parameter's value in words; a limit is rounded to its stricter side."""
    if parameter is None:
        return str(value)
    if parameter.type in ("length", "force", "mass", "angle", "pressure"):
        rounding: units.Rounding = "down" if parameter.stricter == "lower" else "up"
        return units.show(Fraction(value), parameter.type, system, rounding)
    if parameter.type == "switch":
        return "on" if value else "off"
    if parameter.type == "words":
        return ", ".join(value) or "none"
    if parameter.type == "ratio":
        return f"{float(value):g}"
    return f"{value} days" if parameter.type == "days" else str(value)


def parameters_say(rule: Rule, book: RuleBook, system: System) -> str:
    """The parameters of a rule with the values in force."""
    said = [f"{name} {value_says(book.value(rule.id, name), one, system)}" for name, one in rule.parameters.items()]
    return "; ".join(said) or "none"
