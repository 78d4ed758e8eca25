"""Rules changed by a word on the command line, ``EXT-2.max=40 in`` or ``EXT-3=off``, read as a policy file's are."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from cache_check.files import text
from cache_check.files.place import Page, Spot
from cache_check.files.reading import Reading
from cache_check.files.settings import SettingsReader
from cache_check.model.rule import RuleBook

BY = "this command"


def with_said(book: RuleBook, said: Iterable[str]) -> RuleBook:
    """The book with what was said in force, after every other setting.

    Args:
        book: the rules, policies among them.
        said: each RULE=VALUE (on, off) or RULE.ENTRY=VALUE; lists of words are parted by commas.

    Raises:
        InputError: all that is wrong with what was said.
    """
    places: dict[str, Spot] = {}
    reading = Reading({"set": {}}, Page("command line", "", [], Spot(0, 0, {"set": Spot(0, 0, places)})))
    for one in said:
        _take(reading, book, places, one)
    settings = SettingsReader(reading, book, BY).read("set")
    reading.finish()
    return book.changed(settings=(*book.settings, *settings))


def _take(reading: Reading, book: RuleBook, places: dict[str, Spot], one: str) -> None:
    where, equals, value = one.partition("=")
    rule, dot, entry = (part.strip() for part in where.partition("."))
    if not equals or not rule or (dot and not entry) or not value.strip():
        reading.fault(
            (), f"{one!r} is not a change of a rule", 'write RULE.ENTRY=VALUE, as "EXT-2.max=40 in", or RULE=off'
        )
        return
    entries: dict[str, Any] = reading.data["set"].setdefault(rule, {})
    name = entry or "on"
    inside = places.setdefault(rule, Spot(0, 0, {})).inside
    assert isinstance(inside, dict)
    inside[name] = Spot(0, 0)
    if name in entries:
        reading.fault(("set", rule, name), "is said twice", "keep one of them")
        return
    parameter = book.by_id[rule].parameters.get(name) if rule in book.by_id else None
    if parameter is not None and parameter.type == "words":
        entries[name] = [word.strip() for word in value.split(",")]
    else:
        entries[name] = text.scalar(value.strip())
