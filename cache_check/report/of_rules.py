"""The answer of ``rules``: the list, and one rule explained."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from cache_check.model.result import RulesResult
from cache_check.model.rule import SEVERITIES, Rule, RuleBook
from cache_check.report import told_rules
from cache_check.report.answer import Maker, Told
from cache_check.report.basis import parameters_say, setting_says, value_says, where_it_holds
from cache_check.report.data import SETTINGS, Data, Rows, settings, text, yes
from cache_check.report.page import Line, Part, Points, Section, Short, Table, words
from cache_check.report.say import Say
from cache_check.units import System

SECTIONS: dict[str, Maker] = {
    "rules": lambda one, told: _list(one, _system(told)),
    "rule": lambda one, told: _card(one, book_of(one), _system(told)),
    "settings": lambda one, told: _settings(one, book_of(one), _system(told)),
}


def _system(told: Told) -> System:
    system: System = told.more["units"]
    return system


def title(result: RulesResult) -> str:
    """The head of the whole page."""
    return f"Rules in force, version {result.version}"


def short(result: RulesResult, told: Told) -> Short:
    """The card of the one rule that was asked; else how many rules there are, what changed them and which are off."""
    book, system = book_of(result), _system(told)
    if len(result.rules) == 1:
        (rule,) = result.rules
        facts = [Line(what, said) for what, _, said in (text.partition(": ") for text in _facts(rule, book))]
        values = [Line("Parameter", text) for text in _parameters(rule, book, system)]
        head = Line("", f"{rule.id} {rule.title}; rules version {result.version}", wide=True)
        return (Part((head,)), Part((*facts, *values)), Part(tuple(_changes(result, book, system)), "settings"))
    off = [rule for rule in result.rules if not book.is_on(rule.id)]
    by = ", ".join(f"{sum(book.severity(r.id) == s for r in result.rules)} {s}" for s in SEVERITIES)
    lines = (
        Line("Rules", f"{len(result.rules)} in the book: {by}"),
        Line("Off", ", ".join(r.id for r in off) or "none"),
    )
    return (
        Part((Line("", title(result), wide=True),)),
        Part(lines, "rules"),
        Part(tuple(_changes(result, book, system)) or (Line("Changed", "none"),), "settings"),
        Part((Line("One rule", "cache-check rules ID explains it: why, source, what to do"),)),
    )


def _changes(result: RulesResult, book: RuleBook, system: System) -> Iterator[Line]:
    for one in result.settings:
        why = f": {one.why}" if one.why else ""
        yield Line("Changed", f"{one.rule}: {setting_says(one, book, system)}; {where_it_holds(one)}; by {one.by}{why}")


def _list(result: RulesResult, system: System) -> Section:
    """All rules with what is in force where no family or rig of several says otherwise."""
    book = book_of(result)
    changed = {setting.rule for setting in result.settings}
    rows = tuple(
        (
            rule.id,
            rule.title,
            _state(rule, book),
            parameters_say(rule, book, system),
            "yes" if rule.id in changed else "no",
        )
        for rule in result.rules
    )
    return Section("Rules", (Table(words("rule|title|in force|parameters|changed"), rows),))


def book_of(result: RulesResult) -> RuleBook:
    """The rules of an answer, to ask what is in force."""
    return RuleBook(version=result.version, rules=result.rules, settings=result.settings)


def _state(rule: Rule, book: RuleBook) -> str:
    if not book.is_on(rule.id):
        return "OFF"
    return f"{book.severity(rule.id)}, fixed" if rule.fixed else book.severity(rule.id)


def _settings(result: RulesResult, book: RuleBook, system: System) -> Section:
    rows = tuple(
        (one.rule, setting_says(one, book, system), where_it_holds(one), one.by, one.why) for one in result.settings
    )
    return Section("Settings that changed rules", (Table(words("rule|set to|holds for|by|why"), rows),))


def _facts(rule: Rule, book: RuleBook) -> tuple[str, ...]:
    """What a rule says, each with what it is before a colon."""
    return (
        f"Why: {rule.why}",
        f"In force: {_state(rule, book)}",
        f"Source: {rule.source}",
        f"Do: {rule.remedy}",
        f"Kind: {rule.kind}, there since {rule.since}",
        "Fixed: it is part of what an assembly is and cannot be switched off"
        if rule.fixed
        else "Not fixed: it can be switched off or changed, and every answer says so",
    )


def _parameters(rule: Rule, book: RuleBook, system: System) -> tuple[str, ...]:
    return tuple(
        f"{name} ({one.about or one.type}): {value_says(book.value(rule.id, name), one, system)}; "
        f"stricter is {one.stricter}"
        for name, one in rule.parameters.items()
    )


def _card(result: RulesResult, book: RuleBook, system: System) -> Section:
    blocks = tuple(
        Points(f"{rule.id} {rule.title}:", (*_facts(rule, book), *_parameters(rule, book, system)))
        for rule in result.rules
    )
    return Section("Each rule in full", blocks or ("None.",))


def _rule_rows(result: RulesResult, _: Say, __: Any) -> Rows:
    book, changed = book_of(result), {setting.rule for setting in result.settings}
    for rule in result.rules:
        state = (yes(book.is_on(rule.id)), book.severity(rule.id), yes(rule.fixed), yes(rule.id in changed))
        yield rule.id, rule.title, *state, rule.kind, rule.since


def _parameter_rows(result: RulesResult, _: Say, __: Any) -> Rows:
    """A row for each parameter, its value in SI with the unit beside it, as in JSON."""
    book = book_of(result)
    for rule in result.rules:
        for one in told_rules.rule(rule, book).parameters:
            yield rule.id, one.name, text(one.value), one.value_unit, one.stricter, one.about


TABLES = {
    "rules": Data("rule|title|in force|severity|fixed|changed|kind|since", _rule_rows),
    "rule": Data("rule|parameter|value|unit|stricter|about", _parameter_rows),
    "settings": Data(SETTINGS, lambda one, _, __: settings(one.settings, book_of(one))),
}
