"""When straps, chains and hooks leave service: published criteria and wear limits."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Criterion:
    """One criterion: the kinds of part it is of, words that name it, what it says, its limit and source."""

    of: tuple[str, ...]
    words: tuple[str, ...]
    says: str
    limit: str
    source: str


@dataclass(frozen=True)
class Removal:
    """All of them; ``least_link`` gives, by size of chain (nm), the least size at any point of a link (nm)."""

    criteria: tuple[Criterion, ...]
    least_link: dict[int, int]
    chain_source: str

    def named(self, kind: str, condition: str) -> tuple[Criterion, ...]:
        """The criteria for a kind of part that the words of a condition name."""
        written = condition.casefold().replace("-", " ").replace(",", " ").replace(";", " ").split()
        return tuple(
            one
            for one in self.criteria
            if kind in one.of and any(word.startswith(sign) for word in written for sign in one.words)
        )
