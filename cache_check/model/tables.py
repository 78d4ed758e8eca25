"""Published tables: what unmarked straps and chains are rated for, and when they leave service."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache

from cache_check.frozen import dataclass
from cache_check.model.part import Chain, Tie
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


@lru_cache(maxsize=4096)
def _plain(text: str) -> str:
    """Words alone, apart by single spaces: "don't use!" is "dont use".  Kept: rules name the same for every piece."""
    kept = "".join(sign if sign.isalnum() else "" if sign in "'’" else " " for sign in text.casefold())
    return " ".join(kept.split())


@dataclass(frozen=True)
class DefaultWll:
    """Working load limits (N) that stand in for a missing mark: webbing by width, chain by size and grade (nm)."""

    webbing: tuple[tuple[int, Fraction], ...]
    chain: tuple[tuple[int, int, Fraction], ...]
    unmarked_grade: int
    source: str


@dataclass(frozen=True)
class TieRating:
    """The rated tension (N) of a strap or chain, None where it is unknown, and where it comes from."""

    rated: Fraction | None
    by: str


def rating_of(tie: Tie, table: DefaultWll) -> TieRating:
    """The rating of one tie.  A mark always wins; a size that the table does not list stays unknown."""
    if tie.wll is not None:
        return TieRating(tie.wll, "marked")
    if tie.size is None:
        return TieRating(None, "no mark and no size: unknown")
    if isinstance(tie, Chain):
        grade = tie.grade or table.unmarked_grade
        found = {(size, of): wll for size, of, wll in table.chain}.get((tie.size, grade))
        said = f"grade {grade}" + ("" if tie.grade else ", as unmarked chain")
    else:
        found, said = dict(table.webbing).get(tie.size), "webbing"
    if found is None:
        return TieRating(None, f"no mark, and the size is not listed ({said}): unknown")
    return TieRating(found, f"no mark: {table.source} for its size ({said})")
