"""Rule settings as people write them (``EXT-1: off``, ``EXT-2: {max: 32 in, why: ...}``), and rule values."""

from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction
from typing import Any, cast

from cache_check import units
from cache_check.errors import NotReadError, did_you_mean, listed
from cache_check.files import text
from cache_check.files.mistakes import Page, Spot, shown
from cache_check.files.reading import Reading
from cache_check.model.quantities import decimal_of
from cache_check.model.rule import SEVERITIES, Parameter, ParameterType, Rule, RuleBook, Setting
from cache_check.units import System

SWITCHES: Mapping[str, bool] = {"on": True, "off": False, "yes": True, "no": False}
BY = "this command"
_ON_OR_OFF = "write on or off"
_OR_ENTRIES = "write on, off, or the entries to change"


def switch(written: Any) -> bool:
    """True or false, also as on, off, yes and no; NotReadError where it is none of these."""
    if isinstance(written, bool):
        return written
    if isinstance(written, str) and written.lower() in SWITCHES:
        return SWITCHES[written.lower()]
    raise NotReadError(f"{shown(written)} is not on or off", _ON_OR_OFF)


def _whole(written: Any) -> int:
    if isinstance(written, bool) or not isinstance(written, int):
        raise NotReadError(f"{shown(written)} is not a whole number", "write digits alone, with no quotes")
    return written


def _share(written: Any) -> Fraction:
    text = str(written).strip()
    number = decimal_of(text.removesuffix("%").removesuffix(":1"))
    if isinstance(written, bool) or not isinstance(written, int | str) or number is None:
        raise NotReadError(f"{shown(written)} is not a ratio", 'write a number, "2:1" or "10%"')
    if abs(number.adjusted()) > 9:
        raise NotReadError(f"{shown(written)} is no likely ratio", "check it")
    return Fraction(number) / (100 if text.endswith("%") else 1)


def _words(written: Any) -> tuple[str, ...]:
    words = [written] if isinstance(written, str) else written
    if not isinstance(words, list) or not all(isinstance(word, str) and word.strip() for word in words):
        raise NotReadError(f"{shown(written)} is not a list of words", "write [one, another]")
    return tuple(word.strip().lower() for word in words)


_PLAIN: Mapping[str, Callable[[Any], int | Fraction]] = {"count": _whole, "days": _whole, "ratio": _share}


def value(written: Any, kind: ParameterType, stricter: Any, system: System | None) -> Any:
    """A parameter's value in base units (bare: of ``system``), rounded to its ``stricter`` side; else NotReadError."""
    if written is None:
        raise NotReadError("is blank", "write a value, or take the line out")
    if kind == "switch":
        return switch(written)
    if kind == "words":
        return _words(written)
    if kind in _PLAIN:
        number = _PLAIN[kind](written)
    elif kind == "length":
        number = units.length_nm(written, system, "down" if stricter == "lower" else "up")
    else:
        number = units.parse(written, cast("units.Dimension", kind), system)
    if number < 0:
        raise NotReadError("must not be negative")
    return number


def bounded(found: Any, parameter: Parameter) -> Any:
    """A value that the parameter can have; NotReadError where it is under the least or over the most."""
    for bound, side, way in ((parameter.least, "under", "more"), (parameter.most, "over", "less")):
        if bound is not None and (found < bound if side == "under" else found > bound):
            raise NotReadError(f"is {side} {bound}, which it can never be", f"write {bound} or {way}")
    return found


def read_settings(reading: Reading, book: RuleBook, key: str, by: str, **scope: str) -> tuple[Setting, ...]:
    """The settings of a file under a top-level key; whatever is wrong is noted on the reading."""
    written = reading.data.get(key)
    if written is not None and not isinstance(written, dict):
        reading.fault((key,), f"{shown(written)} is not a group of rules", 'write each as "EXT-1: off"')
    found = []
    for rule, said in reading.group(key).items():
        if rule not in book.by_id:
            right = did_you_mean(rule, book.by_id) or "the rules are listed by their id in the rules folder"
            reading.fault((key, rule), f"{rule!r} is not a rule", right)
            continue
        whole = not isinstance(said, dict)
        taken: dict[str, Any] = {"values": {}}
        for name, one in ({"on": said} if whole else said).items():
            try:
                _entry(book.by_id[rule], name, one, reading.units, taken)
            except NotReadError as error:
                right = _OR_ENTRIES if whole and error.right == _ON_OR_OFF else error.right
                reading.fault((key, rule, name), error.what, right)
        found.append(Setting(rule=rule, by=by[:200], **taken, **scope))
    return tuple(found)


def _entry(rule: Rule, name: str, written: Any, system: System | None, taken: dict[str, Any]) -> None:
    """Read one entry of a setting into what is taken; NotReadError where it is none."""
    if name in rule.parameters:
        one = rule.parameters[name]
        taken["values"][name] = bounded(value(written, one.type, one.stricter, system), one)
    elif name == "on":
        taken["on"] = switch(written)
        if rule.fixed and not taken["on"]:
            raise NotReadError(f"{rule.id} is part of what a strut is and stays on", "take the line out")
    elif name == "severity":
        if not isinstance(written, str) or written not in SEVERITIES:
            right = did_you_mean(written, SEVERITIES) if isinstance(written, str) else ""
            raise NotReadError(f"{shown(written)} is not one of {listed(SEVERITIES)}", right)
        taken["severity"] = written
        if rule.fixed and written != rule.severity:
            raise NotReadError(f"{rule.id} is part of what a strut is and keeps its severity", "take it out")
    elif name == "why":
        if not isinstance(written, str) or len(written) > 10_000:
            raise NotReadError(f"{shown(written)} is not text", "write the reason in words")
        taken["why"] = written
    else:
        names = [*rule.parameters, "on", "severity", "why"]
        right = did_you_mean(name, names) or f"{rule.id} takes {listed(names)}"
        raise NotReadError(f"{name!r} is not an entry of {rule.id}", right)


def with_said(book: RuleBook, said: Iterable[str]) -> RuleBook:
    """The book with what was said (RULE=on/off, RULE.ENTRY=VALUE) after all settings; its faults are one InputError."""
    reading = Reading({"set": {}}, Page("command line", "", [], lambda: {(): Spot(0, 0), ("set",): Spot(0, 0)}, {}))
    for one in said:
        where, equals, value = one.partition("=")
        rule, dot, entry = (part.strip() for part in where.partition("."))
        if not equals or not rule or (dot and not entry) or not value.strip():
            right = 'write RULE.ENTRY=VALUE, as "EXT-2.max=40 in", or RULE=off'
            reading.fault((), f"{one!r} is not a change of a rule", right)
            continue
        entries: dict[str, Any] = reading.data["set"].setdefault(rule, {})
        name = entry or "on"
        reading.page.spots |= {("set", rule): Spot(0, 0), ("set", rule, name): Spot(0, 0)}
        if name in entries:
            reading.fault(("set", rule, name), "is said twice", "keep one of them")
            continue
        parameter = book.by_id[rule].parameters.get(name) if rule in book.by_id else None
        words = parameter is not None and parameter.type == "words"
        entries[name] = [word.strip() for word in value.split(",")] if words else text.scalar(value.strip())
    return book.changed(settings=(*book.settings, *reading.sound(read_settings(reading, book, "set", BY))))
