"""Published tables: what unmarked straps and chains are rated for, and when they leave service."""

from pydantic import Field, StrictInt

from cache_check.model.piece import says_one_of
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
