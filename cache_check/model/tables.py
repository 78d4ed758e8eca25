"""Published tables: what unmarked straps and chains are rated for, and when they leave service."""

from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache

from pydantic import Field, StrictInt

from cache_check.frozen import dataclass
from cache_check.model.part import Chain, Tie
from cache_check.model.quantities import Force, Length
from cache_check.model.record import Name, Record, Text


class Criterion(Record):
    """One criterion: the kinds of part it is of, words that name it, what it says, its limit and source."""

    of: tuple[Name, ...]
    words: tuple[Name, ...]
    says: Name
    limit: Name
    source: Name
    status: Text = ""


class LinkSize(Record):
    """The least size at any point of a link, by size of chain, with the most wear where the source gives both."""

    size: Length
    least: Length
    wear_64ths: StrictInt | None = None


class LinkSizes(Record):
    """The least sizes of links, and their source."""

    source: Name
    status: Text = ""
    sizes: tuple[LinkSize, ...] = Field(min_length=1)


class Removal(Record):
    """What ends the service of straps, chains and hooks."""

    criteria: tuple[Criterion, ...] = Field(min_length=1)
    chain: LinkSizes

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


class ListedLimit(Record):
    """The limit (N) of a size (nm), of chain also of a grade; ``disputed`` is the higher of another copy, not used."""

    size: Length = Field(alias="size_in")
    grade: StrictInt | None = None
    wll: Force = Field(alias="wll_lbf")
    source: Text
    status: Text
    disputed: Force | None = Field(default=None, alias="disputed_wll_lbf")


class DefaultWll(Record):
    """Working load limits that stand in for a missing mark."""

    source: Name
    status: Text
    unmarked_grade: StrictInt = Field(alias="unmarked_chain_grade")
    webbing: tuple[ListedLimit, ...]
    chain: tuple[ListedLimit, ...]


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
    rows, grade, said = table.webbing, None, "webbing"
    if isinstance(tie, Chain):
        rows, grade = table.chain, tie.grade or table.unmarked_grade
        said = f"grade {grade}" + ("" if tie.grade else ", as unmarked chain")
    found = next((row.wll for row in rows if (row.size, row.grade) == (tie.size, grade)), None)
    if found is None:
        return TieRating(None, f"no mark, and the size is not listed ({said}): unknown")
    return TieRating(found, f"no mark: {table.source} for its size ({said})")
