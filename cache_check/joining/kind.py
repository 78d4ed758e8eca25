"""What a kind of assembly rule may answer: ``class ExtensionCount``, in a file of ``kinds/``, is ``extension_count``.

A kind overrides the hooks it has something to say about.  Each answer is None, or the sentence that says
what is broken.  ``seat`` and ``measure`` may read all of a part.  ``joint`` and ``inward`` may read only kind,
family and ends, plus what ``reads`` names: the enumeration asks them once for all parts alike in these.  A
rule must not be laxer on a stack of more families, since the stricter governs.
"""

import re
from collections.abc import Iterable, Iterator
from datetime import date
from functools import cache
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any, ClassVar

from cache_check.joining.seats import Seat
from cache_check.model.cache import Item
from cache_check.model.family import Catalogue
from cache_check.model.part import TIES, Part
from cache_check.model.piece import Reason, Why
from cache_check.model.rule import Rule, RuleBook
from cache_check.units import Rounding, show

Reasons = Iterator[Reason]
SUMMED = ("extension", "adapter")  # the kinds of part that a bounded sum goes over


class Kind:
    """One rule at work.  ``measure`` and ``limit`` together bound a sum over the extensions and adapters of a strut."""

    reads: ClassVar[tuple[str, ...]] = ()

    def __init__(self, rule: Rule, book: RuleBook, catalogue: Catalogue) -> None:
        self.rule, self.book, self.catalogue = rule, book, catalogue
        self.severity = book.severity(rule.id)
        self.stops = self.severity == "stop"

    @property
    def forbids(self) -> bool:
        """Whether the kind can forbid a stack: it says something of seats, joints, order, a stack, or bounds one."""
        hooks = ("seat", "joint", "inward", "stack", "limit")
        return any(getattr(type(self), hook) is not getattr(Kind, hook) for hook in hooks)

    def is_on(self, families: Iterable[str]) -> bool:
        """Whether the rule is in force for these families."""
        return self.book.is_on(self.rule.id, sorted(families))

    def family_of(self, part: str) -> tuple[str, ...]:
        """The family of a part, as ``is_on`` and ``value`` want it."""
        return (self.catalogue.by_id[part].family,)

    def value(self, parameter: str, families: Iterable[str]) -> Any:
        """The value in force of one of the rule's parameters."""
        return self.book.value(self.rule.id, parameter, sorted(families))

    def seat(self, seat: Seat, families: frozenset[str]) -> str | None:
        """What is wrong with a part sitting so in a stack of these families."""
        return None

    def joint(self, lower: Seat, upper: Seat) -> str | None:
        """What is wrong with two seats meeting."""
        return None

    def inward(self, passed: tuple[Part, ...], part: Part) -> str | None:
        """What is wrong with a piece that comes next inward, from a fitting to the body, after those passed."""
        return None

    def stack(self, parts: tuple[Part, ...]) -> str | None:
        """What is wrong with a whole stack; only for what enumeration makes true by construction."""
        return None

    def measure(self, part: Part) -> int:
        """What one piece adds to the bounded sum; 0 for all that is not ``SUMMED``, over which nothing is summed."""
        return 0

    def limit(self, families: frozenset[str]) -> int | None:
        """The most that the sum may be; None where the kind bounds nothing."""
        return None

    def over(self, total: int, limit: int) -> str:
        """The sentence for a sum that is over its limit."""
        return f"{total} is over the limit of {limit}"

    def piece(self, item: Item, on: date) -> Reasons:
        """Why a piece is not usable on a day, or what is not known of it; called only where the rule is in force."""
        yield from ()

    def reason(self, why: Why, says: str = "", **more: Any) -> Reason:
        """A reason of this rule; it says its text unless it has figures to tell."""
        return Reason(why, self.rule.id, says or why.text, **more)

    def source_for(self, item: Item) -> str:
        """The source of a rule that only slings have a published one for; "" is the rule's own."""
        return "" if self.catalogue.by_id[item.part].kind in TIES else "common practice, no source"

    def note(self, seat: Seat) -> str | None:
        """What a builder must see to at this seat, broken or not."""
        return None


def in_both(length: int, rounding: Rounding) -> str:
    """A length in both unit systems: a rule does not know which the reader uses."""
    return f"{show(length, 'length', 'us', rounding)} ({show(length, 'length', 'si', rounding)})"


@cache
def files_of(room: str) -> tuple[ModuleType, ...]:
    """The files in the ``kinds`` of a room."""
    kinds = import_module(f"cache_check.{room}.kinds")
    files = sorted(file.stem for file in Path(*kinds.__path__).iterdir() if file.suffix == ".py")
    return tuple(import_module(f"{kinds.__name__}.{one}") for one in files if one != "__init__")


@cache
def classes() -> dict[str, type[Kind]]:
    """The class of each kind by its word."""
    named = (pair for file in files_of("joining") for pair in vars(file).items() if isinstance(pair[1], type))
    return {re.sub(r"\B(?=[A-Z])", "_", name).lower(): one for name, one in named if issubclass(one, Kind)}


def is_about_pieces(kind: str) -> bool:
    """Whether rules of a kind settle what single pieces are."""
    return kind in classes() and classes()[kind].piece is not Kind.piece


def kinds_in_force(book: RuleBook, catalogue: Catalogue) -> tuple[Kind, ...]:
    """A Kind for each rule that joining knows, on or off, in their order."""
    return tuple(classes()[rule.kind](rule, book, catalogue) for rule in book.rules if rule.kind in classes())
