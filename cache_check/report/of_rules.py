"""The answer of ``rules``: the list, and one rule explained."""

from collections.abc import Iterable, Iterator

from cache_check.model.result import RulesResult
from cache_check.model.rule import SEVERITIES, Rule, RuleBook
from cache_check.report import cells, shortly, told_rules
from cache_check.report.answer import Told, Topic
from cache_check.report.basis import parameters_say, setting_says, value_says, where_it_holds
from cache_check.report.cells import yes
from cache_check.report.page import Line, Part, Points, Rows, Short, Table
from cache_check.report.say import Say
from cache_check.units import System


def short(result: RulesResult, told: Told) -> Short:
    """The card of the one rule that was asked; else how many rules there are, what changed them and which are off."""
    book, system = book_of(result), told.say(result).system
    changed = tuple(Line("Changed", f"{rule}: {says}; {where}; by {by}" + f": {why}" * bool(why))
                    for rule, says, where, by, why in _set(result, system))  # fmt: skip
    if len(result.rules) == 1:
        (rule,) = result.rules
        facts = [Line(what, said) for what, said in _facts(rule, book)]
        values = [Line("Parameter", text) for text in _parameters(rule, book, system)]
        head = Line("", f"{rule.id} {rule.title}; rules version {result.version}", wide=True)
        return (Part((head,)), Part((*facts, *values)), Part(changed, "settings"))
    off = [rule.id for rule in result.rules if not book.is_on(rule.id)]
    by = ", ".join(f"{sum(book.severity(r.id) == s for r in result.rules)} {s}" for s in SEVERITIES)
    return (
        Part((Line("", shortly.title("rules", result), wide=True),)),
        Part((Line("Rules", f"{len(result.rules)} in the book: {by}"), Line("Off", ", ".join(off) or "none")), "rules"),
        Part(changed or (Line("Changed", "none"),), "settings"),
        Part((Line("One rule", "cache-check rules ID explains it: why, source, what to do"),)),
    )


def _set(result: RulesResult, system: System) -> Iterator[tuple[str, str, str, str, str]]:
    book = book_of(result)
    return ((s.rule, setting_says(s, book, system), where_it_holds(s), s.by, s.why) for s in result.settings)


def book_of(result: RulesResult) -> RuleBook:
    """The rules of an answer, to ask what is in force."""
    return RuleBook(version=result.version, rules=result.rules, settings=result.settings)


def _list(result: RulesResult, say: Say) -> Iterator[Table]:
    book, changed = book_of(result), {setting.rule for setting in result.settings}
    rows = (
        (rule.id, rule.title, _state(rule, book), parameters_say(rule, book, say.system), yes(rule.id in changed))
        for rule in result.rules
    )
    yield say.table("rule|title|in force|parameters|changed", rows)


def _state(rule: Rule, book: RuleBook) -> str:
    return f"{book.severity(rule.id)}{', fixed' * rule.fixed}" if book.is_on(rule.id) else "OFF"


def _facts(rule: Rule, book: RuleBook) -> tuple[tuple[str, str], ...]:
    fixed = ("Fixed", "it is part of what an assembly is and cannot be switched off")
    free = ("Not fixed", "it can be switched off or changed, and every answer says so")
    return (("Why", rule.why), ("In force", _state(rule, book)), ("Source", rule.source), ("Do", rule.remedy),
            ("Kind", f"{rule.kind}, there since {rule.since}"), fixed if rule.fixed else free)  # fmt: skip


def _parameters(rule: Rule, book: RuleBook, system: System) -> Iterator[str]:
    for name, one in rule.parameters.items():
        value = value_says(book.value(rule.id, name), one, system)
        yield f"{name} ({one.about or one.type}): {value}; stricter is {one.stricter}"


def _cards(result: RulesResult, say: Say) -> Iterable[Points | str]:
    book = book_of(result)
    for rule in result.rules:
        facts = (f"{what}: {said}" for what, said in _facts(rule, book))
        yield Points(f"{rule.id} {rule.title}:", (*facts, *_parameters(rule, book, say.system)))
    if not result.rules:
        yield "None."


def _rule_rows(result: RulesResult, _: Say) -> Rows:
    book, changed = book_of(result), {setting.rule for setting in result.settings}
    for rule in result.rules:
        state = (yes(book.is_on(rule.id)), book.severity(rule.id), yes(rule.fixed), yes(rule.id in changed))
        yield rule.id, rule.title, *state, rule.kind, rule.since


def _parameter_rows(result: RulesResult, _: Say) -> Rows:
    book = book_of(result)
    for rule in result.rules:
        for one in told_rules.rule(rule, book).parameters:
            yield rule.id, one.name, cells.text(one.value), one.value_unit, one.stricter, one.about


TABLE = "rules"
SECTIONS: dict[str, Topic] = {
    "rules": Topic("Rules", _list, "rule|title|in force|severity|fixed|changed|kind|since", _rule_rows),
    "rule": Topic("Each rule in full", _cards, "rule|parameter|value|unit|stricter|about", _parameter_rows),
    "settings": Topic("Settings that changed rules",
                      lambda one, say: (say.table("rule|set to|holds for|by|why", _set(one, say.system)),),
                      cells.SETTINGS, lambda one, _: cells.settings(one.settings, book_of(one))),
}  # fmt: skip
