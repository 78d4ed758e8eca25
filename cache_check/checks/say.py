"""The phrases that all checks share; those around the figures of a cache are in ``facts``."""

from collections.abc import Sequence
from functools import partial

from cache_check import errors
from cache_check.model.result import Gap
from cache_check.model.rule import Rule
from cache_check.units import ratio as ratio

listed = partial(errors.listed, last="and")
_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def several(number: int, noun: str, nouns: str = "") -> str:
    """A number with its noun: "1 base", "5 bases"."""
    return f"{number} {noun if number == 1 else nouns or noun + 's'}"


def verb(number: int, one: str, many: str) -> str:
    """The form of a verb that agrees with a number."""
    return one if number == 1 else many


def word(number: int) -> str:
    """A small number in a word, a larger one in digits."""
    return _WORDS[number] if number < len(_WORDS) else str(number)


def gap(rule: Rule, what: str, have: int, want: int, binds: tuple[str, ...], needs: str, more: str = "") -> Gap:
    """A gap that says what ``needs`` how many, how it ends and what is there; never enough where one more helps."""
    says = f"{needs}: {outcome(max(0, want - have), binds)} ({have} usable{more})"
    return Gap(what, have, want, says, rule.id, binds)


def outcome(short: int, binds: Sequence[str]) -> str:
    """How a gap ends: "3 short", or "enough"; never enough where one more allows the next strut of something asked."""
    if short or not binds:
        return f"{short} short" if short else "enough"
    more = f" and {len(binds) - 1} more" if len(binds) > 1 else ""
    return f"none short, and one more helps the next strut ({binds[0]}{more})"
