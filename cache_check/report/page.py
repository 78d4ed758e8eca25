"""A page, before anyone has decided how to show it: the same sections, points and tables for every renderer."""

import unicodedata
from collections.abc import Iterable
from typing import Literal

from cache_check.frozen import dataclass

Form = Literal["table", "json", "csv", "markdown"]
NOT_ASKED = "not asked"
Mark = Literal["met", "not met", "not known", ""]
ALL = "all"  # what asks for every section
REMINDER = "A planning aid, not a load rating: read the caution at the end before you act on this page."
NOT_COUNTED = "Friction is not counted. Pre-tension of straps is not counted."
CAUTION = (
    "This is a planning aid. It is not a load rating, and nobody may work under a vehicle on the strength of it.",
    "The maker's current chart and the label on the part come first, then training, local codes and incident command.",
    "Inspect every part before use. Check every strut again after each movement, cut or lift.",
    "Nobody goes under or between on a strut that has not been verified.",
    NOT_COUNTED,
    "Closed lengths are rounded up, open lengths down, rated loads down, asked loads up, weights up.",
)


@dataclass(frozen=True)
class View:
    """How an answer is wanted."""

    form: Form = "table"
    show: tuple[str, ...] = ()
    width: int = 100
    colored: bool = False

    def wants(self, *sections: str) -> bool:
        """Whether any of these sections is shown, so that it is worth working out."""
        return self.form == "json" or ALL in self.show or any(one in self.show for one in sections)


@dataclass(frozen=True)
class Points:
    """A lead and the points under it; the points may be none."""

    lead: str
    items: tuple[str, ...] = ()


@dataclass(frozen=True)
class Column:
    """A column of a table: its head and whether it holds words or figures."""

    head: str
    holds: Literal["words", "figures"] = "words"


@dataclass(frozen=True)
class Table:
    """Rows under column heads, or ``none`` in their place."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]  # one cell for each column; blank only where that means "nothing"
    none: str = "None."


Cell = str | int | None
Rows = Iterable[tuple[Cell, ...]]  # rows before they are shown; None is what was not asked, is not known or is none
Block = str | Points | Table  # a block that is a text is a paragraph


@dataclass(frozen=True)
class Section:
    """A heading and what stands under it."""

    heading: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Line:
    """A line of a short answer; without label under the one before; ``mark`` colours, ``wide`` begins at the margin."""

    label: str
    text: str
    mark: Mark = ""
    wide: bool = False


@dataclass(frozen=True)
class Part:
    """Lines of a short answer that belong together; ``more`` names the section that has what did not fit."""

    lines: tuple[Line, ...]
    more: str = ""


Short = tuple[Part, ...]


@dataclass(frozen=True)
class Page:
    """A title and its sections."""

    title: str
    sections: tuple[Section, ...]


def plain(text: str) -> str:
    """Text as one line, line breaks as spaces, with what would steer a terminal or reorder figures spelled out."""
    line = " ".join(text.split())
    return line if line.isascii() and line.isprintable() else spelled(line)


def spelled(text: str) -> str:
    """Text with what would steer a terminal spelled out, but for its line breaks."""
    return "".join(f"<U+{ord(one):04X}>" if one != "\n" and _steers(one) else one for one in text)


def _steers(one: str) -> bool:
    return one in "\u061c\u200e\u200f" or unicodedata.category(one) in ("Cc", "Cs", "Zl", "Zp") or (
        unicodedata.bidirectional(one) in ("LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI")
    )  # fmt: skip


def short(text: str, most: int) -> str:
    """Text as one line of at most ``most`` characters, an ellipsis where something is left out."""
    said = plain(text)
    return said if len(said) <= most else f"{said[: most - 1]}…"


def words(heads: str) -> tuple[Column, ...]:
    """Columns from their heads, parted by "|"; a head that begins with "#" holds figures."""
    each = heads.split("|")
    return tuple(Column(head.removeprefix("#"), "figures" if head.startswith("#") else "words") for head in each)


def table(heads: str, rows: Rows, none: str = "None.") -> Table:
    """A table from its heads as ``words`` has them; None in a cell says that it was not asked."""
    cells = tuple(tuple(NOT_ASKED if one is None else str(one) for one in row) for row in rows)
    return Table(words(heads), cells, none)


def said(counted: str = NOT_COUNTED) -> tuple[str, ...]:
    """The caution, with what this answer says of friction and pre-tension."""
    return tuple(counted if line == NOT_COUNTED else line for line in CAUTION)


def caution(counted: str = NOT_COUNTED) -> tuple[Points]:
    """The section at the end of a page."""
    return (Points("Before you act on this page:", said(counted)),)
