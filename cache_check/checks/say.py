"""How a check says what it found: the rule's own words around the figures, and the phrases all checks share."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any

from cache_check.checks.facts import Mustered
from cache_check.model.cache import Item
from cache_check.model.counting import Binding
from cache_check.model.finding import Figure, Finding
from cache_check.model.result import Gap
from cache_check.model.rule import Rule
from cache_check.units import Rounding, show

_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def finding(
    facts: Mustered,
    rule: Rule,
    *,
    what: str,
    effect: str,
    figures: tuple[tuple[str, Figure], ...] = (),
    part: str = "",
    where: str = "",
    rig: str = "",
    remedy: str = "",
    serial: str = "",
) -> Finding:
    """A finding of a rule; severity, title, source and, unless a better is given, remedy are the rule's in force.

    ``rig`` is the id of the rig that holds the piece.  Without ``where``, the places of ``part`` are named.
    """
    return Finding(
        rule=rule.id,
        title=rule.title,
        severity=facts.muster.book.severity(rule.id),
        rig=rig if rig and len(facts.muster.cache.rigs) > 1 else facts.muster.cache.title,
        what=what,
        effect=effect,
        remedy=remedy or rule.remedy,
        source=rule.source,
        figures=figures,
        part=part,
        where=where or places(facts, part),
        serial=serial,
    )


def of_piece(facts: Mustered, rule: Rule, item: Item, where: str, what: str, effect: str, **more: Any) -> Finding:
    """A finding about one piece that has a serial."""
    return finding(
        facts, rule, what=f"{name(facts, item.part)} {item.serial}: {what}", effect=effect, part=item.part, where=where,
        rig=item.rig, serial=item.serial, **more,
    )  # fmt: skip


def short_finding(facts: Mustered, rule: Rule, gap: Gap, effect: str, part: str = "") -> Finding:
    """The finding of a gap in which something is short."""
    figures = (("have_count", gap.have), ("want_count", gap.want), ("short_count", gap.short))
    return finding(facts, rule, what=gap.says, effect=effect, figures=figures, part=part)


def places(facts: Mustered, part: str) -> str:
    """Where the pieces of a part type lie, with the rig where several are pooled."""
    pooled = len(facts.muster.cache.rigs) > 1
    found = {
        f"{line.rig}: {line.where}" if pooled else line.where: None
        for line in facts.muster.cache.stock
        if line.part == part and line.where
    }
    return ", ".join(found)


def name(facts: Mustered, part: str) -> str:
    """What a part is called to people."""
    return facts.muster.cache.catalogue.said.get(part, part)


def pieces(facts: Mustered, part: str, number: int) -> str:
    """Pieces of a part type: "2 × long-body"."""
    return f"{number} × {name(facts, part)}"


def left(facts: Mustered, part: str) -> str:
    """How many of a part are left to use, as the end of an effect."""
    have, booked = facts.muster.usable.counts[part], facts.muster.cache.counted.get(part, 0)
    return f"{have} of {booked} {name(facts, part)} left to use"


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


def listed(names: Iterable[str], last: str = "and") -> str:
    """Names as a list in a sentence."""
    found = list(names)
    return f" {last} ".join(part for part in (", ".join(found[:-1]), found[-1]) if part) if found else "none"


def length(facts: Mustered, nanometres: int | Fraction, rounding: Rounding) -> str:
    """A length in the units of the cache; the caller knows which way is the safe one."""
    return show(nanometres, "length", facts.muster.cache.units, rounding)


def force(facts: Mustered, newtons: int | Fraction, rounding: Rounding) -> str:
    """A force in the units of the cache; the caller knows which way is the safe one."""
    return show(newtons, "force", facts.muster.cache.units, rounding)


def mass(facts: Mustered, kilograms: Fraction, rounding: Rounding) -> str:
    """A mass in the units of the cache; the caller knows which way is the safe one."""
    return show(kilograms, "mass", facts.muster.cache.units, rounding)


def over(facts: Mustered, shortest: int, longest: int) -> str:
    """The length, or range, of an ask."""
    if shortest == longest:
        return f"at {length(facts, longest, 'nearest')}"
    return f"over {length(facts, shortest, 'nearest')} to {length(facts, longest, 'nearest')}"


def ratio(factor: Fraction) -> str:
    """A design factor as people write it: "2:1"."""
    return f"{float(factor):g}:1"


def binds(facts: Mustered, binding: Binding) -> str:
    """What stops the next strut."""
    if binding.untold:
        return f"what stops the next strut: {binding.untold}"
    more = binding.more(facts.muster.cache.catalogue.said)
    if not more:
        return "neither one part more nor two together allow the next strut"
    return f"{'' if binding.singles else 'no single part helps; '}{', or '.join(more)} allows the next strut"
