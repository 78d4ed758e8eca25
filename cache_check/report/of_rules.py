"""The pages of ``rules``: the list, and one rule explained."""

from __future__ import annotations

from cache_check.model.result import RulesResult
from cache_check.model.rule import Rule, RuleBook
from cache_check.report.basis import parameters_say, setting_says, value_says, where_it_holds
from cache_check.report.page import Block, Page, Paragraph, Points, Section, Table, words
from cache_check.report.say import counted
from cache_check.units import System


def page(result: RulesResult, system: System) -> Page:
    """All rules with what is in force; the card of a rule when there is only one.

    A setting that holds for one family or one rig of several shows under the settings only.
    """
    book = book_of(result)
    if len(result.rules) == 1:
        return _card(result, book, system)
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
    table = Table(words("rule|title|in force|parameters|changed"), rows)
    blocks: list[Block] = [Paragraph(f"Version {result.version}, {counted(len(result.rules), 'rule')}."), table]
    return Page("Rules in force", (Section("Rules", tuple(blocks)), _settings(result, book, system)))


def book_of(result: RulesResult) -> RuleBook:
    """The rules of an answer, to ask what is in force."""
    return RuleBook(version=result.version, rules=result.rules, settings=result.settings)


def _state(rule: Rule, book: RuleBook) -> str:
    if not book.is_on(rule.id):
        return "OFF"
    return f"{book.severity(rule.id)}, fixed" if rule.fixed else book.severity(rule.id)


def _settings(result: RulesResult, book: RuleBook, system: System) -> Section:
    lines = tuple(
        f"{one.rule}: {setting_says(one, book, system)}; {where_it_holds(one)}; by {one.by}"
        + (f": {one.why}" if one.why else "")
        for one in result.settings
    )
    return Section("Settings that changed rules", (Points("Changed:", lines) if lines else Paragraph("None."),))


def _card(result: RulesResult, book: RuleBook, system: System) -> Page:
    (rule,) = result.rules
    facts = (
        f"why: {rule.why}",
        f"in force: {_state(rule, book)}",
        f"source: {rule.source}",
        f"do: {rule.remedy}",
        f"kind: {rule.kind}",
        f"there since: {rule.since}",
        "it is part of what an assembly is and cannot be switched off"
        if rule.fixed
        else "it can be switched off or changed, and the page will say so",
    )
    parameters = tuple(
        f"{name} ({one.about or one.type}): {value_says(book.value(rule.id, name), one, system)}; "
        f"stricter is {one.stricter}"
        for name, one in rule.parameters.items()
    )
    listed = Points("Parameters:", parameters) if parameters else Paragraph("It takes no parameters.")
    return Page(
        f"{rule.id} {rule.title}",
        (
            Section("Rule", (Paragraph(f"Rules version {result.version}."), Points("What it says:", facts), listed)),
            _settings(result, book, system),
        ),
    )
