"""When straps, chains and hooks leave service: published criteria and wear limits."""

from __future__ import annotations

from collections.abc import Iterable

from cache_check.frozen import dataclass
from cache_check.model.record import Name, Record, Text


class Criterion(Record):
    """One criterion: the kinds of part it is of, words that name it, what it says, its limit and source."""

    of: tuple[Name, ...]
    words: tuple[Name, ...]
    says: Name
    limit: Name
    source: Name
    status: Text = ""


@dataclass(frozen=True)
class Removal:
    """All of them; ``least_link`` gives, by size of chain (nm), the least size at any point of a link (nm)."""

    criteria: tuple[Criterion, ...]
    least_link: dict[int, int]

    def named(self, kind: str, condition: str) -> tuple[Criterion, ...]:
        """The criteria for a kind of part that the words of a condition name."""
        return tuple(one for one in self.criteria if kind in one.of and says_one_of(condition, one.words))


def says_one_of(text: str, phrases: Iterable[str]) -> bool:
    """Whether one of some words or phrases begins at a word of a text, whatever its case and its signs."""
    return any(f" {_plain(phrase)}" in f" {_plain(text)}" for phrase in phrases)


def _plain(text: str) -> str:
    """Words alone, apart by single spaces: "don't use!" is "dont use"."""
    kept = "".join(sign if sign.isalnum() else "" if sign in "'’" else " " for sign in text.casefold())
    return " ".join(kept.split())
