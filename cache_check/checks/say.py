"""The phrases that all checks share; those around the figures of a cache are in ``facts``."""

from collections.abc import Sequence
from functools import partial

from cache_check import errors
from cache_check.model.verdict import Link
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


def outcome(want: int, have: int, binds: Sequence[str], unknown: Sequence[Link]) -> str:
    """How a gap ends: "3 short", or "enough"; never where one more allows the next strut, or it may not hold."""
    named = listed(one.name for one in unknown)
    if want > have:
        return f"{want - have} short" + f", not known: {named}" * bool(unknown)
    if unknown:
        return f"enough in number, and it is not known what they hold: {named}"
    if not binds:
        return "enough" if want else "none wanted"
    more = f" and {len(binds) - 1} more" if len(binds) > 1 else ""
    return f"none short, and one more helps the next strut ({binds[0]}{more})"
